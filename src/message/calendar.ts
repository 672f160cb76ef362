/** The work as a calendar holds it: one entry per episode, unit and person, moved with the time and taken back at the end. */
import type { MessageKind } from '../decision/memory.ts';
import { asksForWorkNow, type Told } from './body.ts';
import type { CalendarEntry } from './message.ts';
import { limitWords, spellWords } from './cold.ts';
import { sentences } from './points.ts';
import { sureWords } from './sure.ts';
import { circuitsOf, inReaderZone, methodOf, workOf } from './times.ts';
import { orderWords } from './words.ts';

/** Where nobody has said how long the work takes. */
const WORK_MINUTES = 60;

/** What ends the work: a unit that may be filled again is told so in the all-clear's place. */
const OVER: readonly MessageKind[] = ['all-clear', 'fill-again'];

/** Null: there is nothing to hold, or nothing to take back. */
export function calendarOf(told: Told): CalendarEntry | null {
  const { facts, notice, reader } = told;
  const { episode } = facts;
  if (episode === undefined || episode === null || notice.forecastBack === true) return null;
  const entry = {
    uid: `${plainId(`${episode.id}.${facts.unit.id}.${reader.id}`)}@drainby.invalid`,
    // RFC 5545, 3.8.7.4: it rises with each change; seconds do, whichever of two messages comes first.
    sequence: Math.max(0, Math.floor(facts.asOf - episode.since)),
    location: facts.place.label,
  };
  if (OVER.includes(notice.kind)) return { ...entry, ...takenBack(told) };
  if (!asksForWorkNow(notice) || notice.startBy === null) return null;
  // An entry in the past reminds nobody.
  const start = Math.max(notice.startBy, facts.asOf);
  const minutes = (workOf(told) ?? WORK_MINUTES) + (facts.travelMinutes ?? 0);
  return {
    ...entry,
    cancelled: false,
    start,
    end: start + 60 * minutes,
    summary: orderOf(told),
    description: sentences([
      `Start by ${inReaderZone(notice.startBy, told)}.`,
      sureWords(told),
      `${spellWords(told)}.`,
      limitWords(told),
      'The steps and their cautions are in the message.',
    ]),
  };
}

/** A calendar finds it by its uid; when it was to be no longer matters. */
function takenBack({
  facts,
}: Told): Pick<CalendarEntry, 'cancelled' | 'start' | 'end' | 'summary' | 'description'> {
  return {
    cancelled: true,
    start: facts.asOf,
    end: facts.asOf + 60 * WORK_MINUTES,
    summary: `All clear: ${facts.unit.label}`,
    description: 'This cold is over: no work is left to do.',
  };
}

function orderOf(told: Told): string {
  const { facts, notice } = told;
  return orderWords(notice.action, {
    label: facts.unit.label,
    method: methodOf(told),
    hasHose: facts.hasHose,
    circuits: circuitsOf(told),
  });
}

function plainId(text: string): string {
  return text.replaceAll(/[^A-Za-z0-9.-]/g, '');
}
