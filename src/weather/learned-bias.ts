/**
 * What a place's readings taught about its forecasts' bias by hour of the day, as far as it is to be trusted: less
 * where few readings stand behind it, and no longer when readings have ceased.
 */
import { DAY_S, HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { LocalRecord } from './local-record.ts';

/** With so many readings of an hour half of what they say is taken. Engineering estimate, as are all below. */
const HALF_READINGS = 5;
/** Readings of one hour speak for the next ones, less and less; between two not too far apart, in a straight line. */
const REACH_HOURS = 3;
/** At most so much is added or taken off [K]: more is a sensor's fault rather than a forecast's. */
const WARMEST_K = 3;
const COLDEST_K = 8;
/** After the last reading it fades between these ages. */
const FADES_FROM_S = 3 * DAY_S;
const FADES_TO_S = 7 * DAY_S;

const HOURS_A_DAY = 24;

export interface LearnedBias {
  /** To be taken off, by hour of the UTC day [K]. */
  readonly takenOffK: readonly number[];
  /** 0 to 1: how much is known of that hour's bias, by night in clear calm air, from readings. */
  readonly trust: readonly number[];
  /** 1 while readings come, 0 once they are too old. */
  readonly fresh: number;
  /** What was taken off while readings came and no longer is, by hour of the UTC day [K]. */
  readonly fadedK: readonly number[];
  /** What few readings leave of a forecast that is too warm: root mean square over the hours that were read [K]. */
  readonly remainsK: number;
  readonly sentences: readonly string[];
}

const NONE: readonly number[] = new Array<number>(HOURS_A_DAY).fill(0);
const NOTHING: LearnedBias = {
  takenOffK: NONE,
  trust: NONE,
  fresh: 0,
  fadedK: NONE,
  remainsK: 0,
  sentences: [],
};

interface When {
  readonly now: EpochSeconds;
  /** 0 with the sun up to 1 by night, by hour of the UTC day. */
  readonly darkness: ArrayLike<number>;
}

/**
 * Hours with the sun up are never warmed, only cooled: a sensor that the sun reaches reads as one whose air is warmer
 * does, and days are not what freezes. Warmth that cloudy or windy nights taught counts as little as they tell of clear
 * calm ones; what they took off counts in full. Engineering estimates.
 *
 * @param record - null: nothing was learned yet
 */
export function learnedBias(record: LocalRecord | null, { now, darkness }: When): LearnedBias {
  if (record === null) return NOTHING;
  const fresh = freshness(now - record.lastReadingAt);
  const counts = record.readings;
  const total = counts.reduce((sum, n) => sum + n, 0);
  if (total === 0) return { ...NOTHING, fresh };
  const shares = counts.map(shareOf);
  const sharesOfClear = record.weighed.map(shareOf);
  const inTheSun = (K: number, hour: number): number => (darkness[hour] === 0 ? Math.max(0, K) : K);
  const full = spread(
    record.biasK.map((K, hour) => {
      const share = (K < 0 ? sharesOfClear : shares)[hour] ?? 0;
      return share * inTheSun(clamp(K), hour);
    }),
    counts,
  ).map(inTheSun);
  const takenOffK = full.map((K) => fresh * K);
  const fadedK = full.map((K) => (1 - fresh) * Math.max(0, K));
  return {
    takenOffK,
    trust: spread(sharesOfClear, counts).map((share) => fresh * share),
    fresh,
    fadedK,
    remainsK: remaining(record, full),
    sentences: [sentence({ record, total, fresh, takenOffK, fadedK })],
  };
}

function shareOf(readings: number): number {
  return readings / (readings + HALF_READINGS);
}

function remaining({ biasK, readings }: LocalRecord, takenOffK: readonly number[]): number {
  const left = biasK.flatMap((K, hour) =>
    (readings[hour] ?? 0) > 0 && Number.isFinite(K) ? [Math.max(0, K - (takenOffK[hour] ?? 0))] : [],
  );
  return left.length === 0 ? 0 : Math.sqrt(left.reduce((sum, K) => sum + K * K, 0) / left.length);
}

/** By the hour, for hours in a row. */
export function byHour(ofDay: readonly number[], firstHour: EpochSeconds, hours: number): Float64Array {
  return Float64Array.from({ length: hours }, (_, i) => ofDay[hourOfDay(firstHour + i * HOUR_S)] ?? 0);
}

/** Of the UTC day, at a whole hour. */
export function hourOfDay(hour: EpochSeconds): number {
  return Math.round(hour / HOUR_S) % HOURS_A_DAY;
}

function freshness(ageS: number): number {
  return Math.min(1, Math.max(0, (FADES_TO_S - ageS) / (FADES_TO_S - FADES_FROM_S)));
}

/** A wrong number teaches nothing. */
function clamp(biasK: number): number {
  return Number.isFinite(biasK) ? Math.min(COLDEST_K, Math.max(-WARMEST_K, biasK)) : 0;
}

/** Fills hours without readings from those around them, round the clock. */
function spread(values: readonly number[], readings: readonly number[]): number[] {
  const distance = (hour: number, by: 1 | -1): number => {
    for (let d = 0; d < HOURS_A_DAY; d++) if ((readings[wrap(hour + by * d)] ?? 0) > 0) return d;
    return Infinity;
  };
  return values.map((_, hour) => {
    const [back, on] = [distance(hour, -1), distance(hour, 1)];
    const before = values[wrap(hour - back)] ?? 0;
    if (back === 0) return before;
    const after = values[wrap(hour + on)] ?? 0;
    if (back + on <= 2 * REACH_HOURS) return before + ((after - before) * back) / (back + on);
    return before * Math.max(0, 1 - back / REACH_HOURS) + after * Math.max(0, 1 - on / REACH_HOURS);
  });
}

function wrap(hour: number): number {
  return ((hour % HOURS_A_DAY) + HOURS_A_DAY) % HOURS_A_DAY;
}

interface Said extends Pick<LearnedBias, 'takenOffK' | 'fadedK' | 'fresh'> {
  readonly record: LocalRecord;
  readonly total: number;
}

function sentence({ record, total, fresh, takenOffK, fadedK }: Said): string {
  const last = isoSecond(record.lastReadingAt);
  const count = Math.max(1, Math.round(total));
  const of = count === 1 ? '1 reading' : `${count} readings`;
  const most = Math.max(...fadedK);
  const unsure =
    tenths(most) === '0'
      ? ''
      : ` For what is no longer taken off, it may be off by up to ${both([most])} more.`;
  if (fresh === 0)
    return `The last of ${of} here is of ${last}: too old, so what they taught about the forecasts is left out.${unsure}`;
  const fading =
    fresh < 1 ? ` The last one is of ${last}, and they count less from day to day.${unsure}` : '';
  return `By hour of the day, ${changes(takenOffK)}, as ${of} here taught.${fading}`;
}

/** What is added and what is taken off; of both, how much at most. */
function changes(taken: readonly number[]): string {
  const [least, most] = [Math.min(...taken), Math.max(...taken)];
  const [added, off] = [tenths(-least), tenths(most)].map((shown) => shown !== '0' && !shown.startsWith('-'));
  if (added === true && off === true)
    return `up to ${both([-least])} are added to the forecast at some hours and up to ${both([most])} taken off at others`;
  if (added === true) return `${both([-most, -least])} are added to the forecast`;
  return `${both([least, most])} are taken off the forecast`;
}

/** In kelvins and in degrees Fahrenheit, from the least to the most. */
function both(kelvins: readonly number[]): string {
  const range = (factor: number): string =>
    [...new Set(kelvins.map((K) => tenths(factor * Math.max(0, K))))].join(' to ');
  return `${range(1)} K (${range(1.8)} °F)`;
}

function tenths(kelvin: number): string {
  return String(Math.round(10 * kelvin) / 10 + 0);
}
