/** Work that the forecast calls for and nobody is asked for yet: its time to start by is too far ahead. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { formatLocal } from '../quantity/local-time.ts';
import type { Told } from './body.ts';
import { inReaderZone, isHoseTaken } from './times.ts';
import { actionWords, minutesWords, orderWords, uncapital } from './words.ts';

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

/** `drain, start by Fri 14:22`, for where there is little room; null: as above. */
export function plannedShort(told: Told): string | null {
  const startBy = startByOf(told);
  const { advice } = told.facts;
  if (advice === null || startBy === null) return null;
  const part = (advice.circuits ?? null) === null ? '' : ' in part';
  const work = actionWords(advice.action, part === '' ? advice.method : null);
  return `${work}${part}, start by ${formatLocal(startBy, told.reader.timeZone).replace(',', '')}`;
}

/** Whether the forecast calls for work, whenever. */
export function isWorkPlanned({ facts: { advice } }: Told): boolean {
  return advice !== null && advice.action !== 'nothing';
}

/** What another forecast has yet to confirm, or what is asked for now, is not planned. */
function startByOf({ facts: { advice, asOf, callAheadHours } }: Told): EpochSeconds | null {
  if (advice === null || advice.action === 'nothing' || advice.reasonCode === 'held') return null;
  const { startBy } = advice;
  return startBy === null || startBy - asOf <= callAheadHours * HOUR_S ? null : startBy;
}
