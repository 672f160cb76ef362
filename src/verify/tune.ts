/**
 * From readings in a unit's zones to its belly skin and ducted share: least squares, held to what is usual so that few
 * readings move little. Only hours of the night count: the model has no sun.
 */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { ZoneId } from '../model/unit.ts';
import type { Night } from '../weather/local-correction.ts';
import { groupBy } from './group.ts';
import { valueAt, type HourlySeries } from './hourly.ts';
import { leastOver } from './minimum.ts';
import { mean } from './scores.ts';
import { nearestToHours, type Measured } from './truth.ts';
import type { Tunable, Tuning } from './tuned-unit.ts';

export interface ZoneReading extends Measured {
  readonly zone: ZoneId;
}

export interface TuneQuestion {
  /** Believed ones, in zones of one unit. */
  readonly readings: readonly ZoneReading[];
  readonly night: Night;
  /** Null: as it is. */
  readonly skinFactor: Tunable | null;
  readonly ductedShare: Tunable | null;
  /** What the model says of a zone in the weather of those hours. */
  readonly simulate: (tuning: Tuning) => (zone: ZoneId) => HourlySeries;
}

export type TuneRefusal = 'nothing-to-tune' | 'few' | 'no-better' | 'at-bound';

export type TuneResult =
  | {
      readonly kind: 'tuned';
      readonly tuning: Tuning;
      /** Hours of the night that were read. */
      readonly hours: number;
      /** Root mean square of reading less model, before and after [K]. */
      readonly misfitBeforeK: number;
      readonly misfitK: number;
    }
  | { readonly kind: 'refused'; readonly code: TuneRefusal; readonly message: string };

const LEAST_HOURS = 24;
const LEAST_NIGHTS = 2;
/** What separates two nights. */
const DAY_BETWEEN_S = 6 * HOUR_S;

/** What a reading and the model differ by when all is right [K]. Engineering estimate, as all below. */
const NOISE_K = 1;
/** Hours go together: so many count as one. */
const HOURS_TOGETHER = 3;
/** By how much a sensor is off for good [K]: makers of cheap ones promise ±0.5 K, here two standard deviations and more. */
const OFFSET_K = 0.3;
/** How much better than as usual the fit must be: by two standard deviations. */
const LEAST_GAIN = 4;
/** This near to an end, as a share of the range, the best lies beyond it. */
const BOUND_SHARE = 0.03;

const MESSAGES: Readonly<Record<TuneRefusal, string>> = {
  'nothing-to-tune':
    'Neither belly skin nor duct is left open in this unit: what is stated in the config holds, and readings change nothing.',
  few: `Too few readings in the unit by night: at least ${LEAST_HOURS} hours over ${LEAST_NIGHTS} nights are needed. Leave the sensor where it is.`,
  'no-better': 'The readings fit the usual belly skin and duct as well as any others: nothing is changed.',
  'at-bound':
    'The readings would fit only a belly skin or duct beyond what is found in practice: nothing is changed. Look whether the skin is torn, a hatch is open or the sensor touches something warm.',
};

export function tune(question: TuneQuestion): TuneResult {
  const names = (['skinFactor', 'ductedShare'] as const).filter((name) => question[name] !== null);
  const ranges = names.flatMap((name) => question[name] ?? []);
  if (ranges.length === 0) return refused('nothing-to-tune');
  const asUsual = question.simulate({ skinFactor: null, ductedShare: null });
  const readings = nightHours(question).filter(({ zone, at }) => !Number.isNaN(valueAt(asUsual(zone), at)));
  if (readings.length < LEAST_HOURS || nightsOf(readings) < LEAST_NIGHTS) return refused('few');

  const tuningAt = (logs: readonly number[]): Tuning => ({
    skinFactor: null,
    ductedShare: null,
    ...Object.fromEntries(names.map((name, i) => [name, Math.exp(logs[i] ?? 0)])),
  });
  const offsAt = (logs: readonly number[]): Off[] => offsOf(readings, question.simulate(tuningAt(logs)));
  const usual = ranges.map((range) => Math.log(range.usual));
  const cost = (logs: readonly number[]): number => misfit(offsAt(logs)) + unusual(logs, ranges);
  const best = leastOver(
    cost,
    ranges.map(({ least, most }) => [Math.log(least), Math.log(most)]),
  );
  if (!(cost(usual) - best.value >= LEAST_GAIN)) return refused('no-better');
  if (ranges.some((range, i) => isAtBound(best.at[i] ?? Number.NaN, range))) return refused('at-bound');
  return {
    kind: 'tuned',
    tuning: tuningAt(best.at),
    hours: readings.length,
    misfitBeforeK: rootMeanSquare(offsAt(usual)),
    misfitK: rootMeanSquare(offsAt(best.at)),
  };
}

function refused(code: TuneRefusal): TuneResult {
  return { kind: 'refused', code, message: MESSAGES[code] };
}

/** One for each zone and hour at which it is dark. */
function nightHours({ readings, night }: TuneQuestion): ZoneReading[] {
  const darkness = { firstHour: night.firstHour, temperatureC: night.darkness };
  const dark = readings.filter(({ at }) => valueAt(darkness, at) === 1);
  return [...groupBy(dark, ({ zone }) => zone).values()].flatMap((ofZone) => [
    ...nearestToHours(ofZone).values(),
  ]);
}

function nightsOf(readings: readonly ZoneReading[]): number {
  const ats = readings.map(({ at }) => at).toSorted((x, y) => x - y);
  return ats.filter((at: EpochSeconds, i) => at - (ats[i - 1] ?? -Infinity) > DAY_BETWEEN_S).length;
}

interface Off {
  readonly zone: ZoneId;
  readonly offK: number;
}

/** Reading less model. */
function offsOf(readings: readonly ZoneReading[], modelled: (zone: ZoneId) => HourlySeries): Off[] {
  return [...groupBy(readings, ({ zone }) => zone)].flatMap(([zone, ofZone]) => {
    const course = modelled(zone);
    return ofZone.map(({ at, temperatureC }) => ({ zone, offK: temperatureC - valueAt(course, at) }));
  });
}

/** χ² of all zones, each with the offset of its sensor that makes it least and costs the least itself. */
function misfit(offs: readonly Off[]): number {
  const weight = 1 / (HOURS_TOGETHER * NOISE_K ** 2);
  let sum = 0;
  for (const ofZone of groupBy(offs, ({ zone }) => zone).values()) {
    const values = ofZone.map(({ offK }) => offK);
    const total = values.reduce((s, x) => s + x, 0);
    const offset = (weight * total) / (weight * values.length + 1 / OFFSET_K ** 2);
    sum += values.reduce((s, x) => s + weight * (x - offset) ** 2, (offset / OFFSET_K) ** 2);
  }
  return sum;
}

/** What is found in practice is taken as two standard deviations on either side, by ratio. */
function unusual(logs: readonly number[], ranges: readonly Tunable[]): number {
  return ranges.reduce((sum, { least, usual, most }, i) => {
    const off = (logs[i] ?? Number.NaN) - Math.log(usual);
    return sum + ((2 * off) / Math.log(off < 0 ? usual / least : most / usual)) ** 2;
  }, 0);
}

function isAtBound(log: number, { least, most }: Tunable): boolean {
  const share = (log - Math.log(least)) / Math.log(most / least);
  return !(share > BOUND_SHARE && share < 1 - BOUND_SHARE);
}

function rootMeanSquare(offs: readonly Off[]): number {
  return Math.sqrt(mean(offs.map(({ offK }) => offK ** 2)));
}
