/** A reader's quiet hours, in their own time zone. */
import { DateTime } from 'luxon';
import type { EpochSeconds } from '../quantity/instant.ts';

export interface QuietHours {
  /** Minutes after local midnight; from > to wraps past midnight. */
  readonly fromMinute: number;
  readonly toMinute: number;
}

/** First instant at or after `now` outside the quiet hours. Follows the wall clock across daylight saving. */
export function endOfQuiet(quiet: QuietHours, timeZone: string, now: EpochSeconds): EpochSeconds {
  const local = DateTime.fromSeconds(now, { zone: timeZone });
  const minute = local.hour * 60 + local.minute;
  const wraps = quiet.fromMinute > quiet.toMinute;
  const inside = wraps
    ? minute >= quiet.fromMinute || minute < quiet.toMinute
    : minute >= quiet.fromMinute && minute < quiet.toMinute;
  if (!inside) return now;
  const sameDay = minute < quiet.toMinute;
  const day = local.startOf('day').plus({ days: sameDay ? 0 : 1 });
  return day.set({ hour: Math.floor(quiet.toMinute / 60), minute: quiet.toMinute % 60 }).toSeconds();
}
