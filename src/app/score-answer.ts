/** The answer of `drainby score`: `drainby.score/1` with the names that people know. */
import { scorecard, type Scorecard, type ScoreQuestion } from '../verify/scorecard.ts';

interface Labels {
  readonly place: string;
  /** By id. */
  readonly units: Readonly<Record<string, string>>;
}

export interface ScoreAnswer extends Scorecard {
  readonly label: string;
  readonly advice: (Scorecard['advice'][number] & { readonly label: string })[];
}

export function scoreAnswer(question: ScoreQuestion, labels: Labels): ScoreAnswer {
  const card = scorecard(question);
  const advice = card.advice.map((of) => ({ ...of, label: labels.units[of.unit] ?? of.unit }));
  return { ...card, label: labels.place, advice };
}
