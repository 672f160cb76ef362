/**
 * What warnings were worth to somebody who pays for protection when warned, and loses when not protected.
 *
 * References:
 * 1. Richardson, D. S., 2000: Skill and relative economic value of the ECMWF ensemble prediction system.
 *    Quarterly Journal of the Royal Meteorological Society 126:649-667.
 */

export interface Warning {
  readonly warned: boolean;
  readonly happened: boolean;
}

/** Counts, and rates that are null where nothing is there to count. */
export interface Contingency {
  readonly hits: number;
  readonly misses: number;
  readonly falseAlarms: number;
  readonly correctRejections: number;
  /** Of what happened, how much was warned of. */
  readonly hitRate: number | null;
  /** Of what did not happen, how much was warned of. */
  readonly falseAlarmRate: number | null;
  /** How much happened. */
  readonly baseRate: number | null;
}

export function contingency(cases: readonly Warning[]): Contingency {
  const count = (warned: boolean, happened: boolean): number =>
    cases.filter((c) => c.warned === warned && c.happened === happened).length;
  const [hits, misses] = [count(true, true), count(false, true)];
  const [falseAlarms, correctRejections] = [count(true, false), count(false, false)];
  return {
    hits,
    misses,
    falseAlarms,
    correctRejections,
    hitRate: rate(hits, hits + misses),
    falseAlarmRate: rate(falseAlarms, falseAlarms + correctRejections),
    baseRate: rate(hits + misses, cases.length),
  };
}

function rate(part: number, whole: number): number | null {
  return whole === 0 ? null : part / whole;
}

export interface ValueQuestion {
  readonly hitRate: number;
  readonly falseAlarmRate: number;
  readonly baseRate: number;
  /** Cost of protecting over the loss that it spares, between 0 and 1. */
  readonly costLoss: number;
}

/**
 * Relative economic value [1]: 1 for perfect forecasts, 0 for what is best without any (always or never protecting),
 * below 0 for warnings that are worse than none. It peaks at cost/loss = base rate, where it is hit rate − false alarm
 * rate. Null where perfect forecasts would spare nothing.
 */
export function relativeValue({
  hitRate: H,
  falseAlarmRate: F,
  baseRate: s,
  costLoss: a,
}: ValueQuestion): number | null {
  const without = Math.min(a, s);
  const spared = without - s * a;
  return spared > 0 ? (without - F * a * (1 - s) + H * s * (1 - a) - s) / spared : null;
}
