/**
 * Series that a service computes every 3 or 6 hours, made hourly on the cold side. Between such steps a night's
 * minimum is missed: of a daily swing of half-range A, sampled every s hours, up to A·(1 − cos(πs/24)) (a sine
 * sampled on both sides of its lowest point). By so much, and no more, the lowest step of a night is gone below, and
 * the lower half of the swing between steps lowered; values at steps, and a day's highest, stay.
 */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { ForecastMember, Low } from './forecast.ts';

/** The swing about a step is that of the steps within so many hours of it, a day and the half of another. */
const SWING_HOURS = 18;
/** A low that is named for hours given one by one reaches so far to either side. Engineering estimate. */
const LOW_REACH_HOURS = 3;
/** A low further than this under all hours of its stretch is no low of theirs [K]. Engineering estimate. */
const FURTHEST_LOW_K = 10;

export interface Stepped {
  readonly member: ForecastMember;
  /** By hour: it lies between two steps. */
  readonly between: readonly boolean[];
  /** The law made some hour colder than a straight line between steps. */
  readonly deepened: boolean;
  readonly lowered: boolean;
  /** Lows that were not believed. */
  readonly oddLows: number;
}

export interface StepNight {
  readonly firstHour: EpochSeconds;
  /** 0 by day to 1 by night, per hour. */
  readonly darkness: Float64Array;
}

/** Two steps in a row, by their indexes. */
interface Gap {
  readonly from: number;
  readonly to: number;
}

/** A member by the hour. One without steps and lows comes back as it is. */
export function hourlyOf(member: ForecastMember, night: StepNight): Stepped {
  const lows = member.lows ?? [];
  const gaps = gapsOf(member, night.firstHour);
  const between = member.temperatureC.map(() => false);
  if (gaps.length === 0 && lows.length === 0)
    return { member, between, deepened: false, lowered: false, oddLows: 0 };
  for (const { from, to } of gaps) between.fill(true, from + 1, to);
  const linear = (values: readonly number[] | null): number[] | null =>
    values === null ? null : filledLinearly(values, gaps);
  const straight = filledLinearly(member.temperatureC, gaps);
  const temperatureC = [...straight];
  deepen(temperatureC, { gaps, darkness: night.darkness });
  for (const low of lows) holdAt(temperatureC, low, straight);
  const deepened = temperatureC.some((t, i) => t < at(straight, i));
  const fates = lows.map((low) => reach(temperatureC, low, { gaps, straight, darkness: night.darkness }));
  return {
    member: {
      ...member,
      temperatureC,
      windSpeedMps: linear(member.windSpeedMps),
      cloudPercent: linear(member.cloudPercent),
      soilTemperatureC: linear(member.soilTemperatureC),
    },
    between,
    deepened,
    lowered: fates.includes('reached'),
    oddLows: fates.filter((fate) => fate === 'odd').length,
  };
}

/** A step is a known hour that the service's step divides, or that stands alone between unknown ones. */
function gapsOf({ temperatureC, stepHours }: ForecastMember, firstHour: EpochSeconds): Gap[] {
  if (stepHours === undefined) return [];
  const known = (i: number): boolean => !Number.isNaN(temperatureC[i] ?? Number.NaN);
  const gaps: Gap[] = [];
  let from = -1;
  let longest = 1;
  for (let i = 0; i < temperatureC.length; i++) {
    const step = stepHours[i] ?? 1;
    longest = Math.max(longest, step);
    const due = (firstHour / HOUR_S + i) % step === 0;
    if (!known(i) || !(due || !known(i - 1) || !known(i + 1))) continue;
    if (from >= 0 && i - from > 1 && i - from <= longest) gaps.push({ from, to: i });
    from = i;
    longest = 1;
  }
  return gaps;
}

/** Straight lines where nothing is given between two known steps; what is given stays. */
function filledLinearly(values: readonly number[], gaps: readonly Gap[]): number[] {
  const result = [...values];
  for (const { from, to } of gaps) {
    const [start = Number.NaN, end = Number.NaN] = [values[from], values[to]];
    for (let i = from + 1; i < to; i++) {
      if (!Number.isNaN(result[i] ?? Number.NaN)) continue;
      result[i] = start + ((end - start) * (i - from)) / (to - from);
    }
  }
  return result;
}

interface Steps {
  readonly gaps: readonly Gap[];
  readonly darkness: Float64Array;
}

function deepen(values: number[], { gaps, darkness }: Steps): void {
  const steps = [...values];
  gaps.forEach((gap, k) => {
    const dark = Math.max(...darkness.subarray(gap.from, gap.to + 1));
    const swing = swingAbout(steps, gap);
    const most = dark * swing.halfRangeK * (1 - Math.cos((Math.PI * (gap.to - gap.from)) / 24));
    if (!(most > 0)) return;
    const floor = Math.min(at(steps, gap.from), at(steps, gap.to)) - most;
    lowerHalf(values, gap, { swing, most, floor });
    const low = lowestStepOf(steps, gaps, k);
    if (low !== null) tent(values, { gap, at: low, lowC: floor });
  });
}

/** A low that the service names for a stretch is what the law may reach there, and not go below. */
function holdAt(values: number[], { from, to, temperatureC }: Low, straight: readonly number[]): void {
  for (const i of indexes(Math.max(0, from), Math.min(values.length - 1, to)))
    values[i] = Math.max(at(values, i), Math.min(at(straight, i), temperatureC));
}

/** Below the swing's middle a line between two steps runs above the swing, the more the lower it is. */
function lowerHalf(
  values: number[],
  { from, to }: Gap,
  { swing, most, floor }: { swing: Swing; most: number; floor: number },
): void {
  for (let i = from + 1; i < to; i++) {
    const u = (i - from) / (to - from);
    const share = Math.min(1, Math.max(0, (swing.middleC - at(values, i)) / swing.halfRangeK));
    values[i] = Math.min(at(values, i), Math.max(floor, at(values, i) - 4 * u * (1 - u) * share * most));
  }
}

/**
 * Where a night's lowest lies that steps pass by: beside the lowest of them, on the side of the lower neighbour.
 * Null: it lies in another gap.
 */
function lowestStepOf(steps: readonly number[], gaps: readonly Gap[], k: number): number | null {
  const gap = gaps[k];
  if (gap === undefined) return null;
  const [start, end] = [at(steps, gap.from), at(steps, gap.to)];
  const [previous, next] = [gaps[k - 1], gaps[k + 1]];
  const before = orAbove(at(steps, previous?.to === gap.from ? previous.from : gap.from - 1));
  const after = orAbove(at(steps, next?.from === gap.to ? next.to : gap.to + 1));
  if (start <= end && start < before && end <= before) return gap.from + 1;
  if (end < start && end < after && start < after) return gap.to - 1;
  return null;
}

/** Where nothing is known, nothing is lower. */
function orAbove(temperatureC: number): number {
  return Number.isNaN(temperatureC) ? Infinity : temperatureC;
}

interface Swing {
  readonly halfRangeK: number;
  readonly middleC: number;
}

/** The half-range that steps show is too small where they pass both ends by: the daily wave through them is not. */
function swingAbout(steps: readonly number[], { from, to }: Gap): Swing {
  const first = Math.max(0, from - SWING_HOURS);
  const near = steps.slice(first, to + SWING_HOURS + 1);
  const shown = near.filter((t) => !Number.isNaN(t));
  const [low, high] = [Math.min(...shown), Math.max(...shown)];
  const waves = near.map((t, i) => Math.hypot(t - at(near, i + 12), at(near, i + 6) - at(near, i + 18)) / 2);
  const halfRangeK = Math.max((high - low) / 2, ...waves.filter((k) => !Number.isNaN(k)));
  return { halfRangeK, middleC: (high + low) / 2 };
}

/** Lowers a gap to straight lines from its ends to the low; what is lower already stays. */
function tent(values: number[], { gap, at: index, lowC }: { gap: Gap; at: number; lowC: number }): void {
  const [start, end] = [at(values, gap.from), at(values, gap.to)];
  for (let i = gap.from + 1; i < gap.to; i++) {
    const share = i <= index ? (i - gap.from) / (index - gap.from) : (gap.to - i) / (gap.to - index);
    const line = lowC + (1 - share) * ((i <= index ? start : end) - lowC);
    if (i === index) values[i] = lowC;
    else if (line < at(values, i)) values[i] = line;
  }
}

/** Brings the series down to a low that the service names, at the darkest hour of its stretch, the coldest of those. */
function reach(
  values: number[],
  low: Low,
  { gaps, straight, darkness }: Steps & { readonly straight: readonly number[] },
): 'reached' | 'held' | 'odd' {
  const from = Math.max(0, low.from);
  const to = Math.min(values.length - 1, low.to);
  const isStep = (i: number): boolean => !gaps.some((g) => g.from < i && i < g.to);
  const hours = indexes(from, to).filter((i) => !Number.isNaN(at(values, i)));
  const lowest = Math.min(...hours.map((i) => at(straight, i)));
  if (hours.length === 0 || !(low.temperatureC < lowest)) return 'held';
  if (lowest - low.temperatureC > FURTHEST_LOW_K) return 'odd';
  // By the law it may be there already.
  if (hours.some((i) => at(values, i) <= low.temperatureC)) return 'reached';
  const inner = hours.filter((i) => !isStep(i));
  const fitting = (inner.length > 0 ? inner : hours).toSorted(
    (a, b) => at(darkness, b) - at(darkness, a) || at(values, a) - at(values, b) || a - b,
  );
  const index = fitting[0] ?? from;
  const gap = gaps.find((g) => g.from < index && index < g.to) ?? {
    from: Math.max(-1, index - LOW_REACH_HOURS),
    to: Math.min(values.length, index + LOW_REACH_HOURS),
  };
  tent(values, { gap, at: index, lowC: low.temperatureC });
  return 'reached';
}

function indexes(from: number, to: number): number[] {
  return Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i);
}

function at(values: ArrayLike<number>, i: number): number {
  return values[i] ?? Number.NaN;
}

/** What is to be said of members that were made hourly: full sentences. */
export function stepSentences(stepped: readonly Stepped[]): string[] {
  const sentences: string[] = [];
  if (stepped.some((s) => s.deepened))
    sentences.push(
      'Where the forecast is computed every 3 or 6 hours only, nights are taken as colder than its steps, by what such steps can miss.',
    );
  if (stepped.some((s) => s.lowered))
    sentences.push('Where the service names a night’s lowest temperature, the hours are brought down to it.');
  const odd = stepped.reduce((sum, s) => sum + s.oddLows, 0);
  if (odd > 0)
    sentences.push(
      `${odd} of the lowest temperatures that the service names lie more than ${FURTHEST_LOW_K} K below all hours about them and are not believed.`,
    );
  return sentences;
}
