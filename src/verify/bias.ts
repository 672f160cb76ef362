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
/** So long a reading may come in late, and one that turns out wrong be taken back. */
const OPEN_S = 30 * DAY_S;
/** A sensor whose clock is years ahead would fill the list for ever. */
const MOST_DOUBTED = (2 * OPEN_S) / HOUR_S;

/** `B ← (1 − w)·B + w·error` [1]. */
export function decayed(biasK: number, errorK: number, weight: number): number {
  return (1 - weight) * biasK + weight * errorK;
}

/** With n errors behind it the average takes a new one at this weight: a plain mean at first. */
export function weightAfter(n: number): number {
  return Math.max(WEIGHT, 1 / (n + 1));
}

/** A reading that was believed, and what the forecast said for that instant, less every correction but this one. */
export interface Pair {
  readonly at: EpochSeconds;
  readonly errorK: number;
}

/** Readings that the forecast says nothing of are left out. */
export function pairsOf(forecast: HourlySeries, readings: readonly Measured[]): Pair[] {
  return readings
    .map(({ at, temperatureC }) => ({ at, errorK: valueAt(forecast, at) - temperatureC }))
    .filter(({ errorK }) => Number.isFinite(errorK));
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
  readonly readings: readonly number[];
}

const NOTHING: Averages = {
  biasK: Array.from({ length: HOURS_A_DAY }, () => 0),
  readings: Array.from({ length: HOURS_A_DAY }, () => 0),
};

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

function averaged(before: Averages, pairs: readonly Pair[]): Averages {
  const biasK = [...before.biasK];
  const readings = [...before.readings];
  for (const { at, errorK } of pairs) {
    const hour = (nearestHour(at) / HOUR_S) % HOURS_A_DAY;
    const n = readings[hour] ?? 0;
    biasK[hour] = decayed(biasK[hour] ?? 0, errorK, weightAfter(n));
    readings[hour] = n + 1;
  }
  return { biasK, readings };
}

/** As the next outlook uses it; null where no reading is left. */
export function localRecord(evidence: Evidence, spread: readonly SpreadRecord[]): LocalRecord | null {
  const { closed, closedUntil, open } = evidence;
  const lastReadingAt = open.at(-1)?.at ?? closedUntil;
  if (lastReadingAt === null) return null;
  return { ...averaged(closed, open), lastReadingAt, spread };
}
