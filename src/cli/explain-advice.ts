/** What is advised over all members, in a line of the explanation. */
import { takesSentence, throughColdSentence } from '../message/reason.ts';
import { actionWords } from '../message/words.ts';
import { instantOf, near, sentences, type ExplainView } from './explain-view.ts';

/** Empty: there is no advice. */
export function advised(view: ExplainView): string {
  const { advice } = view.answer;
  if (advice === null) return '';
  const action = advice.partial === true ? 'drain-part' : advice.action;
  const what = actionWords(action, advice.method ?? null, advice.measures ?? null);
  const start = advice.startBy === null ? '' : `, start by ${near(advice.startBy, view)}`;
  const takes = takesSentence({ ...advice, action });
  const why = throughCold(view);
  return sentences(
    [`What check advises, over all members: ${what}${start}.`, why, takes]
      .filter((s) => s !== null)
      .join(' '),
  );
}

/** Why lesser work does not do, of which the chances within the window do not tell. */
function throughCold({ answer: { advice, member }, display }: ExplainView): string | null {
  const through = advice?.throughCold;
  if (through === undefined) return null;
  const { until, chanceOfDamage: chances } = through;
  const resolution = member.weight ?? 0;
  return throughColdSentence(
    { throughCold: { until: instantOf(until ?? undefined), chances } },
    { chances: { perAction: chances, tolerance: {}, resolution } },
    display.timeZone,
  );
}
