/** What the end of the place's own water service asks for: fill by, dump by. */
import { quietAnswer } from './answer-sections.ts';
import type { Section, Told } from './body.ts';
import { spellWords } from './cold.ts';
import { pointSection, sentences } from './points.ts';
import { cautions, figures, howTo, placeTimeRows } from './sections.ts';
import { inReaderZone } from './times.ts';

const GALLON_L = 3.785411784;

export function fillByOutline(told: Told): readonly (Section | null)[] {
  const shutAt = told.facts.service?.waterShutAt ?? null;
  return [
    pointSection(told, {
      before: placeTimeRows(told),
      sure: sureWords(told),
      why: sentences([
        shutAt === null
          ? 'The place shuts its water off.'
          : `The place shuts its water off ${inReaderZone(shutAt, told)}.`,
        `${spellWords(told)}.`,
      ]),
      ifNot: sentences(['After that there is only what is on board.', lastsWords(told)]),
      else: 'Bring water in jugs, fill elsewhere, or leave before.',
    }),
    figures(told),
    cautions(told, 'fill'),
    howTo(told, 'fill'),
    quietAnswer(told),
  ];
}

export function dumpByOutline(told: Told): readonly (Section | null)[] {
  const shutAt = told.facts.service?.dumpShutAt ?? null;
  return [
    pointSection(told, {
      before: placeTimeRows(told),
      sure: sureWords(told),
      why: sentences([
        shutAt === null
          ? 'The place shuts its dump station.'
          : `The place shuts its dump station ${inReaderZone(shutAt, told)}.`,
        `${spellWords(told)}.`,
      ]),
      ifNot: 'Full tanks cannot be emptied here after that; their valves and elbows freeze first.',
      else: 'Dump at another station on the way, or leave before.',
    }),
    figures(told),
    cautions(told, 'dump'),
    howTo(told, 'dump'),
    quietAnswer(told),
  ];
}

function sureWords({ facts }: Told): string {
  if (facts.service?.because === 'cold')
    return 'As sure as the forecast: the cold is what shuts it, and it may come sooner.';
  return 'The date is the place’s own; cold may shut it sooner.';
}

/** How long what is on board lasts; empty where that is not known. */
function lastsWords({ facts }: Told): string {
  const { onBoardLitres = null, perDayLitres = null } = facts.service ?? {};
  if (onBoardLitres === null) return '';
  const held = `About ${volume(onBoardLitres)} are on board`;
  if (perDayLitres === null || perDayLitres <= 0) return `${held}.`;
  const days = Math.floor(onBoardLitres / perDayLitres);
  const long = days === 0 ? 'less than a day' : days === 1 ? 'a day' : `${days} days`;
  return `${held}: ${long} at ${volume(perDayLitres)} a day.`;
}

/** Tanks are labelled in either. */
function volume(litres: number): string {
  return `${Math.round(litres / GALLON_L)} gal (${Math.round(litres)} L)`;
}
