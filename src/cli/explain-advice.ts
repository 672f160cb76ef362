/** What is advised over all members, in a line of the explanation. */
import { takesSentence } from '../message/reason.ts';
import { actionWords } from '../message/words.ts';
import { near, sentences, type ExplainView } from './explain-view.ts';

/** Empty: there is no advice. */
export function advised(view: ExplainView): string {
  const { advice } = view.answer;
  if (advice === null) return '';
  const action = advice.partial === true ? 'drain-part' : advice.action;
  const what = actionWords(action, advice.method ?? null, advice.measures ?? null);
  const start = advice.startBy === null ? '' : `, start by ${near(advice.startBy, view)}`;
  const takes = takesSentence({ ...advice, action });
  return sentences(
    `What check advises, over all members: ${what}${start}.${takes === null ? '' : ` ${takes}`}`,
  );
}
