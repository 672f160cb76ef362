import { formatTemperature } from '../quantity/temperature.ts';
import { actionAnswer, checkedAnswer } from './answer-sections.ts';
import type { Section, Told } from './body.ts';
import { circuitsWords } from './circuits.ts';
import { spellWords } from './cold.ts';
import { pointSection, sentences } from './points.ts';
import { jobOf } from './procedure.ts';
import { closedSentence } from './reason.ts';
import { cautions, figures, howTo, placeTimeRows, shedRows, suspectNote } from './sections.ts';
import { inReaderZone, methodOf } from './times.ts';
import { actionWords, doingWords, verb } from './words.ts';

/** The messages about what may have happened unseen: frozen, no-forecast. */

export function frozenOutline(told: Told): readonly (Section | null)[] {
  const { firstPart } = told.facts;
  const part =
    firstPart === null ? null : `The ${firstPart} ${verb(firstPart, 'is', 'are')} the first to suffer.`;
  return [
    pointSection(told, {
      sure: 'Computed, not seen: by the forecast and what is known of this unit, water in it has frozen or is freezing. Nobody has looked yet.',
      why: sentences([`${spellWords(told)}.`, part]),
      ifNot:
        'Ice may have split what it fills: with the supply or the pump on, that floods the floor at the thaw.',
      else: roundIceWords(told),
    }),
    figures(told),
    cautions(told, 'thaw'),
    howTo(told, 'thaw'),
    checkedAnswer(told),
  ];
}

/** One frozen elbow is no reason to give the rest up. */
function roundIceWords({ facts: { advice } }: Told): string {
  const thaw = 'thaw it first, then drain or winterize it before more cold.';
  const closed = advice === null ? null : closedSentence(advice);
  if (advice?.circuits === undefined || closed === null || advice.action === 'nothing')
    return `It cannot be drained, blown out or pumped through ice: ${thaw}`;
  return sentences([
    closed,
    `Still open, so do not wait for the thaw: ${circuitsWords(advice.circuits)}; ${doingWords(advice.action)} that now keeps it from freezing too.`,
    `Where nothing comes out ice is in the way: ${thaw}`,
  ]);
}

export function noForecastOutline(told: Told): readonly (Section | null)[] {
  const { facts, notice } = told;
  const job = jobOf(notice.action, methodOf(told));
  return [
    suspectNote(told),
    pointSection(told, {
      before: [...shedRows(told), ...placeTimeRows(told), { label: 'What to do', value: blindWords(told) }],
      sure: 'Not at all: what the weather does is unknown.',
      why: `There is no usable forecast for this place.${facts.problem === null ? '' : ` What is wrong: ${facts.problem}`}`,
      ifNot: `${lastKnownWords(told)} Cold may come that nobody tells you of.`,
      else: 'Look at another forecast for the place yourself.',
    }),
    figures(told),
    cautions(told, job),
    howTo(told, job),
    actionAnswer(told),
  ];
}

function lastKnownWords(told: Told): string {
  const { facts, reader } = told;
  const known = facts.lastKnown;
  if (known === null) {
    return 'No earlier forecast is known for it either, so nothing says that it stays above freezing.';
  }
  const low = formatTemperature(known.lowestOutsideC, reader.temperature);
  const past = known.lowestAt < facts.asOf ? ' That hour has passed; what came after it is unknown.' : '';
  return `The last forecast, of ${inReaderZone(known.asOf, told)}, went down to ${low} on ${inReaderZone(known.lowestAt, told)}.${past}`;
}

function blindWords(told: Told): string {
  const { notice, reader } = told;
  if (notice.action !== 'nothing') {
    const action = actionWords(notice.action, methodOf(told));
    return `The advice in force stays: ${action}. ${told.facts.lastKnown === null ? 'Do it' : 'Act on the last known low'} and do not wait for the forecast to come back.`;
  }
  const freezing = formatTemperature(0, reader.temperature);
  const hard = formatTemperature(-4, reader.temperature);
  return `${told.facts.lastKnown === null ? '' : 'Act on the last known low as if it still held. '}Look at another forecast. If it goes below ${freezing}: hose off, outside shower emptied. If it stays below ${hard} for hours, or you cannot find out: drain it.`;
}
