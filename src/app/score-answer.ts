/** The answer of `drainby score`: `drainby.score/1` with the names that people know, and what it goes without. */
import { scorecard, type Scorecard, type ScoreQuestion } from '../verify/scorecard.ts';
import type { JudgedNights } from './advice-nights.ts';

interface About {
  readonly place: string;
  /** By id. */
  readonly units: Readonly<Record<string, string>>;
  /** By unit: nights of which nothing can be said. */
  readonly leftOut?: Readonly<Record<string, JudgedNights['leftOut']>>;
  /** Readings that are not believed. */
  readonly doubted?: number;
  /** What is wrong with the sensor, and what is not known yet: full sentences. */
  readonly doubts?: readonly string[];
  readonly missing?: readonly string[];
  /** Of what is kept: what cannot be read. */
  readonly damaged?: readonly string[];
  readonly attributions?: readonly string[];
}

type OfUnit = Scorecard['advice'][number] & {
  readonly label: string;
  readonly leftOut: JudgedNights['leftOut'];
};

export interface ScoreAnswer extends Scorecard {
  readonly label: string;
  readonly advice: OfUnit[];
  readonly doubtedReadings: number;
  readonly doubts: readonly string[];
  readonly missing: readonly string[];
  readonly damaged: readonly string[];
  readonly attributions: readonly string[];
}

const NONE: JudgedNights['leftOut'] = { withoutTruth: 0, withoutAdvice: 0, afterHarm: 0, ahead: 0 };

export function scoreAnswer(question: ScoreQuestion, about: About): ScoreAnswer {
  const {
    units,
    leftOut = {},
    doubted = 0,
    doubts = [],
    missing = [],
    damaged = [],
    attributions = [],
  } = about;
  const card = scorecard(question);
  const advice = card.advice.map((of) => ({
    ...of,
    label: units[of.unit] ?? of.unit,
    leftOut: leftOut[of.unit] ?? NONE,
  }));
  return {
    ...card,
    label: about.place,
    advice,
    doubtedReadings: doubted,
    doubts,
    missing,
    damaged,
    attributions,
  };
}
