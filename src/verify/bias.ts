/**
 * What a place's own readings teach about its forecasts: a decaying average of forecast minus reading, by hour of the
 * UTC day.
 *
 * References:
 * 1. Cui, B., Z. Toth, Y. Zhu and D. Hou, 2012: Bias correction for global ensemble forecast. Weather and Forecasting
 *    27:396-410. B ← (1 − w)·B + w·(forecast − observed), w = 0.02.
 */
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { LocalRecord, SpreadRecord } from '../weather/local-record.ts';
import { valueAt, type HourlySeries } from './hourly.ts';
import { isNearer, nearestHour, type Measured } from './truth.ts';

/** Weight of the newest error, once there are enough of them [1]. */
const WEIGHT = 0.02;
const HOURS_A_DAY = 24;
/** So long a reading may come in late, and one that turns out wrong be taken back. The spread is learned from as much. */
export const OPEN_S = 30 * DAY_S;
/** A sensor whose clock is years ahead would fill the list for ever. */
const MOST_DOUBTED = (2 * OPEN_S) / HOUR_S;

/** More readings than the average remembers say no more of it. */
const MOST_READINGS = 1 / WEIGHT;
/** Of one hour of the day: without a reading for longer than the first, counts are halved each second. Engineering estimates. */
const KEPT_S = 3 * DAY_S;
const HALVED_EACH_S = 30 * DAY_S;

/** What of a count is left when nothing was read for so long. */
function aged(readings: number, ageS: number): number {
  return readings * 2 ** (-Math.max(0, ageS - KEPT_S) / HALVED_EACH_S);
}

/** `B ← (1 − w)·B + w·error` [1]. */
export function decayed(biasK: number, errorK: number, weight: number): number {
  return (1 - weight) * biasK + weight * errorK;
}

/** With n errors behind it the average takes a new one at this weight: a plain mean at first. */
export function weightAfter(n: number, ofOne = 1): number {
  return ofOne * Math.max(WEIGHT, 1 / (n + ofOne));
}

/** A night that tells nothing of clear calm ones still tells a little of its hour. */
const LEAST_WEIGHT = 0.05;

/** A reading that was believed, and what the forecast said for that instant, less every correction but this one. */
export interface Pair {
  readonly at: EpochSeconds;
  readonly errorK: number;
  /**
   * How much it tells of what nights are corrected for, 0 to 1: by day 1, by night how clear and calm it was. Clear calm
   * nights are the cold ones, and cloudy ones would unlearn what they need. Absent: 1.
   */
  readonly weight?: number;
}

/** What readings are held against. */
export interface Said extends HourlySeries {
  /** By hour, as a pair has it; absent: 1 throughout. */
  readonly weight?: ArrayLike<number>;
}

/** Readings that the forecast says nothing of are left out. */
export function pairsOf(forecast: Said, readings: readonly Measured[]): Pair[] {
  const { firstHour, weight } = forecast;
  return readings
    .map(({ at, temperatureC }) => ({
      at,
      errorK: valueAt(forecast, at) - temperatureC,
      ...(weight !== undefined && { weight: hundredths(valueAt({ firstHour, temperatureC: weight }, at)) }),
    }))
    .filter(({ errorK }) => Number.isFinite(errorK));
}

function hundredths(value: number): number {
  return Math.round(100 * value) / 100;
}

/**
 * What was learned so far, and from what: plain data. The last 30 days are kept reading by reading, so that it comes
 * to the same in whatever order they arrive; what lies before is an average that nothing is added to.
 */
export interface Evidence {
  /** Of the hours before `closedUntil`. */
  readonly closed: Averages;
  /** Null: nothing is closed yet. */
  readonly closedUntil: EpochSeconds | null;
  /** In order of time, at most one for each hour. */
  readonly open: readonly Pair[];
  /**
   * Of which a reading was doubted: what later looks, with less of the time around it at hand, do not see as wrong any
   * more still teaches nothing.
   */
  readonly doubtedHours: readonly EpochSeconds[];
}

/** By hour of the UTC day, 24 values each. */
export interface Averages {
  readonly biasK: readonly number[];
  /** How many readings it stands on, as at the last one of that hour: old ones count less, and 50 are the most. */
  readonly readings: readonly number[];
  /** The same by their weights. */
  readonly weighed: readonly number[];
  /** When the last one was; 0 where there is none. */
  readonly lastAt: readonly EpochSeconds[];
}

const NONE = Array.from({ length: HOURS_A_DAY }, () => 0);
const NOTHING: Averages = { biasK: NONE, readings: NONE, weighed: NONE, lastAt: NONE };

export interface Lesson {
  readonly pairs: readonly Pair[];
  /** Instants of readings that are not believed, or no longer. */
  readonly doubted?: readonly EpochSeconds[];
}

const NO_EVIDENCE: Evidence = { closed: NOTHING, closedUntil: null, open: [], doubtedHours: [] };

/** Each reading counts once, however often it comes; of those of one hour the one nearest to it. */
export function learn(before: Evidence | null, { pairs, doubted = [] }: Lesson): Evidence {
  const { closed, closedUntil, open, doubtedHours } = before ?? NO_EVIDENCE;
  const since = closedUntil ?? -Infinity;
  const wrong = new Set([...doubtedHours, ...doubted.map(nearestHour)]);
  const all = oneEachHour([...open, ...pairs]).filter(({ at }) => {
    const hour = nearestHour(at);
    return hour >= since && !wrong.has(hour);
  });
  const until = Math.max(since, nearestHour(all.at(-1)?.at ?? -Infinity) - OPEN_S);
  const isOpen = ({ at }: Pair): boolean => nearestHour(at) >= until;
  return {
    closed: averaged(
      closed,
      all.filter((pair) => !isOpen(pair)),
    ),
    closedUntil: Number.isFinite(until) ? until : null,
    open: all.filter(isOpen),
    doubtedHours: [...wrong]
      .filter((hour) => hour >= until)
      .toSorted((x, y) => x - y)
      .slice(-MOST_DOUBTED),
  };
}

/** In order of time. */
function oneEachHour(pairs: readonly Pair[]): Pair[] {
  const byHour = new Map<EpochSeconds, Pair>();
  for (const pair of pairs) {
    if (!Number.isFinite(pair.errorK)) continue;
    const hour = nearestHour(pair.at);
    const other = byHour.get(hour);
    if (other === undefined || isNearer(pair.at, other.at)) byHour.set(hour, pair);
  }
  return [...byHour.values()].toSorted((x, y) => x.at - y.at);
}

function averaged(last: Averages, pairs: readonly Pair[]): Averages {
  const biasK = [...last.biasK];
  const readings = [...last.readings];
  const weighed = [...last.weighed];
  const lastAt = [...last.lastAt];
  for (const { at, errorK, weight = 1 } of pairs) {
    const since = nearestHour(at);
    const hour = (since / HOUR_S) % HOURS_A_DAY;
    const ageS = since - (lastAt[hour] ?? 0);
    const ofOne = Math.max(LEAST_WEIGHT, weight);
    const before = aged(weighed[hour] ?? 0, ageS);
    biasK[hour] = decayed(biasK[hour] ?? 0, errorK, weightAfter(before, ofOne));
    weighed[hour] = Math.min(MOST_READINGS, before + ofOne);
    readings[hour] = Math.min(MOST_READINGS, aged(readings[hour] ?? 0, ageS) + 1);
    lastAt[hour] = since;
  }
  return { biasK, readings, weighed, lastAt };
}

/** As an outlook at that instant uses it; null where no reading is left. */
export function localRecord(
  { closed, closedUntil, open }: Evidence,
  spread: readonly SpreadRecord[],
  now: EpochSeconds,
): LocalRecord | null {
  const lastReadingAt = open.at(-1)?.at ?? closedUntil;
  if (lastReadingAt === null) return null;
  const { biasK, readings, weighed, lastAt } = averaged(closed, open);
  const asOfNow = (counts: readonly number[]): number[] =>
    counts.map((n, hour) => aged(n, now - (lastAt[hour] ?? 0)));
  return {
    biasK,
    readings: asOfNow(readings),
    weighed: asOfNow(weighed),
    lastReadingAt,
    spread,
  };
}
