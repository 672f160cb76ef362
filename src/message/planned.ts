/** Work that the forecast calls for and nobody is asked for yet: its time to start by is too far ahead. */
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Told } from './body.ts';
import { inReaderZone, isHoseTaken } from './times.ts';
import { minutesWords, orderWords, uncapital } from './words.ts';

/** As a heads-up says it, in the middle of a sentence; null: there is none, or no time to start by. */
export function plannedWords(told: Told): string | null {
  const { advice, unit, callAheadHours } = told.facts;
  const startBy = startByOf(told);
  if (advice === null || startBy === null) return null;
  const order = orderWords(advice.action, {
    label: unit.label,
    method: advice.method,
    hasHose: isHoseTaken(told.facts),
    circuits: advice.circuits ?? null,
  });
  return `${uncapital(order)}, start by ${inReaderZone(startBy, told)}. You are asked for it ${callAheadHours} h before that, if it still holds.`;
}

/** By when it would have to begin, and how long it takes; null: as above. */
export function plannedTimeWords(told: Told): string | null {
  const startBy = startByOf(told);
  if (startBy === null) return null;
  const minutes = told.facts.advice?.workMinutes ?? 0;
  const work = minutes > 0 ? `, work ${minutesWords(minutes)}` : '';
  return `Nothing yet. By this forecast, start by ${inReaderZone(startBy, told)}${work}.`;
}

function startByOf({ facts: { advice } }: Told): EpochSeconds | null {
  return advice === null || advice.action === 'nothing' ? null : advice.startBy;
}
