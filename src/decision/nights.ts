/** Nights as people count them: from noon to noon, by the clock of the place. */
import { DateTime } from 'luxon';
import type { EpochSeconds } from '../quantity/instant.ts';

export interface Night {
  readonly noon: EpochSeconds;
  /** Six in the evening: what is advised then is for this night. */
  readonly evening: EpochSeconds;
  /** The next noon. */
  readonly end: EpochSeconds;
}

const NOON_HOUR = 12;
const EVENING_HOUR = 18;

/** The last `count` nights that are over, oldest first. A change of the clocks makes one an hour longer or shorter. */
export function lastNights(timeZone: string, now: EpochSeconds, count: number): Night[] {
  const today = DateTime.fromSeconds(now, { zone: timeZone }).startOf('day');
  const at = (daysAgo: number, hour: number): EpochSeconds =>
    today.minus({ days: daysAgo }).set({ hour }).toSeconds();
  return Array.from({ length: count + 1 }, (_, i) => count - i)
    .map((daysAgo) => ({
      noon: at(daysAgo + 1, NOON_HOUR),
      evening: at(daysAgo + 1, EVENING_HOUR),
      end: at(daysAgo, NOON_HOUR),
    }))
    .filter(({ end }) => end <= now)
    .slice(-count);
}
