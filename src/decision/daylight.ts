/** When a person can work: stretches of daylight, and of air above freezing, as intervals of instants. */
import { getTimes } from 'suncalc';
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

export interface Interval {
  readonly start: EpochSeconds;
  readonly end: EpochSeconds;
}

export interface Location {
  readonly latitude: number;
  readonly longitude: number;
}

/** From one noon to the next it is a day, give or take half a minute: days that the sun stays up for join into one. */
const SEAM_S = 60;

/** From sunrise to sunset, for every day that touches [from, to]. Polar day is one long interval, polar night none. */
export function daylightBetween(at: Location, from: EpochSeconds, to: EpochSeconds): Interval[] {
  const days: Interval[] = [];
  for (let day = from - DAY_S; day <= to + DAY_S; day += DAY_S) {
    const times = getTimes(new Date(day * 1000), at.latitude, at.longitude);
    if (times.alwaysUp === true) {
      const noon = times.solarNoon.getTime() / 1000;
      days.push({ start: noon - DAY_S / 2, end: noon + DAY_S / 2 });
    } else if (times.sunrise !== null && times.sunset !== null) {
      days.push({ start: times.sunrise.getTime() / 1000, end: times.sunset.getTime() / 1000 });
    }
  }
  return merged(days).filter((d) => d.end > from && d.start < to);
}

/** Stretches of hourly values strictly above 0 °C, linear in between. */
export function aboveFreezing(firstHour: EpochSeconds, temperatureC: ArrayLike<number>): Interval[] {
  const stretches: Interval[] = [];
  for (let i = 1; i < temperatureC.length; i++) {
    const [from, to] = [temperatureC[i - 1] ?? Number.NaN, temperatureC[i] ?? Number.NaN];
    if (!(Math.max(from, to) > 0)) continue;
    const start = firstHour + (i - 1) * HOUR_S;
    const zero = start + (from / (from - to)) * HOUR_S;
    stretches.push({ start: from > 0 ? start : zero, end: to > 0 ? start + HOUR_S : zero });
  }
  return merged(stretches);
}

export function intersection(a: readonly Interval[], b: readonly Interval[]): Interval[] {
  return a
    .flatMap((x) => b.map((y) => ({ start: Math.max(x.start, y.start), end: Math.min(x.end, y.end) })))
    .filter((i) => i.end > i.start)
    .toSorted((x, y) => x.start - y.start);
}

/** Those that touch as one. They must come in order of time. */
function merged(intervals: readonly Interval[]): Interval[] {
  const result: Interval[] = [];
  for (const next of intervals) {
    const last = result.at(-1);
    if (last !== undefined && next.start <= last.end + SEAM_S) {
      result[result.length - 1] = { start: last.start, end: next.end };
    } else result.push(next);
  }
  return result;
}
