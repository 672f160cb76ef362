import { formatTemperature } from '../quantity/temperature.ts';
import { paragraph, section } from './body.ts';
import type { Section, Told } from './body.ts';
import { jobOf } from './procedure.ts';
import { coldWords } from './reason.ts';
import {
  actionAnswer,
  cautions,
  checkedAnswer,
  lowRows,
  figures,
  howTo,
  spellBlocks,
  placeTimeRows,
  suspectNote,
} from './sections.ts';
import { inReaderZone, methodOf } from './times.ts';
import { actionWords, verb } from './words.ts';

/** The messages about what may have happened unseen: frozen, no-forecast. */

export function frozenOutline(told: Told): readonly (Section | null)[] {
  const { facts, reader } = told;
  const part =
    facts.firstPart === null
      ? ''
      : ` The ${facts.firstPart} ${verb(facts.firstPart, 'is', 'are')} the first to suffer.`;
  return [
    figures(told, lowRows(told)),
    howTo(told, 'thaw'),
    checkedAnswer(told),
    cautions(told, 'thaw'),
    section('Why', [
      paragraph(
        `By the forecast and what is known of this unit, water in it has frozen or is freezing; nobody has seen it yet.${part} ${coldWords(facts, reader)}.`,
      ),
      ...spellBlocks(told),
    ]),
  ];
}

export function noForecastOutline(told: Told): readonly (Section | null)[] {
  const { facts, notice } = told;
  const job = jobOf(notice.action, methodOf(told));
  const problem = facts.problem === null ? '' : ` What is wrong: ${facts.problem}`;
  return [
    figures(told, placeTimeRows(told)),
    suspectNote(told),
    section('What is known', [
      paragraph(`There is no usable forecast for this place.${problem}`),
      paragraph(lastKnownWords(told)),
    ]),
    section('What to do', [paragraph(blindWords(told))]),
    howTo(told, job),
    actionAnswer(told),
    cautions(told, job),
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
  const look = 'Look at another forecast for the place yourself.';
  if (notice.action !== 'nothing') {
    const action = actionWords(notice.action, methodOf(told));
    return `The advice in force stays: ${action}. ${told.facts.lastKnown === null ? 'Do it' : 'Act on the last known low'} and do not wait for the forecast to come back. ${look}`;
  }
  const freezing = formatTemperature(0, reader.temperature);
  const hard = formatTemperature(-4, reader.temperature);
  return `${told.facts.lastKnown === null ? '' : 'Act on the last known low as if it still held. '}${look} If it goes below ${freezing}: hose off, outside shower emptied. If it stays below ${hard} for hours, or you cannot find out: drain it.`;
}
