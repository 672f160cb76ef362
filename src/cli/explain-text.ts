/** The explanation for a terminal of 80 columns: what the cold does to a unit, and why, for a layman. */
import type { ExplainAnswer } from '../app/explain-answer.ts';
import { moneyWords } from '../message/money-words.ts';
import { uncapital } from '../message/words.ts';
import { formatLocal } from '../quantity/local-time.ts';
import { stateWords } from './state-words.ts';
import { advised } from './explain-advice.ts';
import { flows } from './explain-flows.ts';
import { forecastSources } from './explain-forecast.ts';
import { heat } from './explain-heat.ts';
import { hours } from './explain-hours.ts';
import { parts } from './explain-parts.ts';
import { story } from './explain-story.ts';
import { unknowns } from './explain-unknowns.ts';
import { instantOf, items, sentences, type ExplainDisplay, type ExplainView } from './explain-view.ts';

export function explainText(answer: ExplainAnswer, display: ExplainDisplay): string {
  const view: ExplainView = { answer, display };
  return [
    heading(view),
    story(view),
    advised(view),
    hours(view),
    parts(view),
    flows(view),
    heat(view),
    money(view),
    unknowns(view),
    forecastSources(view),
    assumed(view),
    'All series and parameters: --json.\n',
  ]
    .filter((piece) => piece !== '')
    .join('\n\n');
}

/** What the work costs and what leaving it would. */
function money({ answer }: ExplainView): string {
  const words = answer.money === null ? '' : moneyWords(answer.money);
  return words === '' ? '' : sentences(words);
}

/** What was left open, by the forecast or by the config. */
function assumed({ answer: { assumptions } }: ExplainView): string {
  return assumptions.length === 0 ? '' : `What was assumed:\n${items(assumptions)}`;
}

function heading({ answer, display }: ExplainView): string {
  const { member, label, place, hours: known } = answer;
  const shown = { asOf: instantOf(answer.asOf), timeZone: display.timeZone };
  const which = member.middle
    ? 'the middle course of the forecast'
    : `member ${member.index} of the forecast`;
  const from = formatLocal(instantOf(answer.asOf), display.timeZone);
  const to = formatLocal(instantOf(known.time.at(-1)), display.timeZone);
  return [
    sentences(`${label} at ${place.label}, as it stands: ${uncapital(stateWords(answer, shown))}`),
    sentences(`On ${which}, ${from} to ${to}`),
  ].join('\n');
}
