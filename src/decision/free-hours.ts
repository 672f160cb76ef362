/** When people can work, by the clocks of their own zones, as intervals of instants. */
import { DateTime } from 'luxon';
import type { FreeTime } from '../quantity/clock-time.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Interval } from './daylight.ts';

export interface FreePerson {
  readonly timeZone: string;
  /** Null: at any hour. */
  readonly free: readonly FreeTime[] | null;
}

/** When at least one of them is free; null: one of them, or nobody at all, named no hours, and any will do. */
export function freeOfAny(
  people: readonly FreePerson[],
  from: EpochSeconds,
  to: EpochSeconds,
): Interval[] | null {
  const each = people.map(({ free, timeZone }) =>
    free === null ? null : freeBetween(free, { timeZone, from, to }),
  );
  const known = each.filter((intervals) => intervals !== null);
  return known.length === 0 || known.length < each.length ? null : union(known.flat());
}

interface Within {
  readonly timeZone: string;
  readonly from: EpochSeconds;
  readonly to: EpochSeconds;
}

/**
 * Free time that touches [from, to]. It follows the wall clock: the night in which clocks go forward is shorter by
 * an hour, and one that begins in the hour left out begins after it.
 */
export function freeBetween(free: readonly FreeTime[], { timeZone, from, to }: Within): Interval[] {
  const intervals: Interval[] = [];
  // A span that began on the day before may reach past midnight.
  let day = DateTime.fromSeconds(from - DAY_S, { zone: timeZone }).startOf('day');
  while (day.toSeconds() <= to) {
    intervals.push(...free.filter(({ days }) => days.includes(day.weekday)).map((span) => onDay(span, day)));
    day = day.plus({ days: 1 }).startOf('day');
  }
  return union(intervals.filter((i) => i.end > from && i.start < to && i.end > i.start));
}

function onDay({ fromMinute, toMinute }: FreeTime, day: DateTime): Interval {
  const last = toMinute > fromMinute ? day : day.plus({ days: 1 });
  return { start: at(day, fromMinute), end: at(last, toMinute) };
}

function at(day: DateTime, minute: number): EpochSeconds {
  return day.set({ hour: Math.floor(minute / 60), minute: minute % 60 }).toSeconds();
}

/** In order of time; those that touch or overlap as one. */
function union(intervals: readonly Interval[]): Interval[] {
  const result: Interval[] = [];
  for (const next of intervals.toSorted((a, b) => a.start - b.start)) {
    const last = result.at(-1);
    if (last === undefined || next.start > last.end) result.push(next);
    else result[result.length - 1] = { start: last.start, end: Math.max(last.end, next.end) };
  }
  return result;
}
