/** The week of the line that says that all is watched, by the reader's own calendar. */
import { DateTime } from 'luxon';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';

export interface WatchWeek {
  /** Such as `2026-W48`. */
  readonly id: string;
  /** After this it is last week's news. */
  readonly until: EpochSeconds;
}

const MONDAY_HOUR = 8;
/** A program that was off on Monday still says it. */
const USEFUL_S = 2 * DAY_S;

/** From Monday 08:00 on for two days; null: not now. */
export function watchWeek(timeZone: string, now: EpochSeconds): WatchWeek | null {
  const local = DateTime.fromSeconds(now, { zone: timeZone });
  const monday = local.startOf('week').set({ hour: MONDAY_HOUR }).toSeconds();
  if (now < monday || now >= monday + USEFUL_S) return null;
  return { id: local.toFormat("kkkk-'W'WW"), until: monday + USEFUL_S };
}
