import { DateTime } from 'luxon';
import type { EpochSeconds } from '../quantity/instant.ts';

/** When a day such as `2026-12-01` begins by the clocks of a zone; null: there is no such day. */
export function startOfDay(day: string, timeZone: string): EpochSeconds | null {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(day)) return null;
  const start = DateTime.fromISO(day, { zone: timeZone }).startOf('day');
  return start.isValid ? start.toSeconds() : null;
}
