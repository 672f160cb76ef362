/** How far ahead a forecast reaches: what lies behind its end is unknown, never calm. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';

type Stretch = Pick<Outlook, 'firstHour' | 'hours'>;

export function lastHourOf({ firstHour, hours }: Stretch): EpochSeconds {
  return firstHour + (hours - 1) * HOUR_S;
}

/** Whether it reaches to the end of the time for which advice is given. */
export function coversWindow(outlook: Stretch, now: EpochSeconds, windowHours: number): boolean {
  return lastHourOf(outlook) >= now + windowHours * HOUR_S;
}

/** Whole hours of the window that it covers, from now on. Without a forecast, those of the window. */
export function coveredHours(outlook: Stretch | null, now: EpochSeconds, windowHours: number): number {
  if (outlook === null) return windowHours;
  return Math.min(windowHours, Math.max(0, Math.floor((lastHourOf(outlook) - now) / HOUR_S)));
}
