/**
 * How a single forecast may err: a law for its temperature error. error-lattice.ts has a fixed set of errors for it.
 *
 * The error at lead d days is a Student t with 5 degrees of freedom, scaled to a standard deviation of
 * `atStartK + perDayK·d`, and remembers itself over about 36 h. From memory: no published table of the growth
 * was found. The fat tail is (Brooks and Doswell 1996, Weather and Forecasting 11:288-303: RMSE/MAE 1.357).
 */
import { DAY_S } from '../quantity/instant.ts';

export interface ErrorLaw {
  readonly atStartK: number;
  readonly perDayK: number;
  /** Odd: pairs of opposite errors and the undressed forecast. */
  readonly members: number;
}

export function errorDeviationK(law: ErrorLaw, leadS: number): number {
  return law.atStartK + (law.perDayK * Math.max(0, leadS)) / DAY_S;
}

/** Distribution of Student's t with 5 degrees of freedom (closed form). */
export function t5Distribution(t: number): number {
  const x = t / Math.sqrt(5);
  const s = 1 + x * x;
  return 0.5 + (Math.atan(x) + (x / s) * (1 + 2 / (3 * s))) / Math.PI;
}

export function t5Quantile(probability: number): number {
  let low = -1000;
  let high = 1000;
  for (let i = 0; i < 200 && high - low > 1e-12; i++) {
    const middle = (low + high) / 2;
    if (t5Distribution(middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Abramowitz and Stegun 7.1.26 errs by 1.5e-7; here the series and continued fraction of erfc are not needed closer. */
export function normalDistribution(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const tail =
    0.5 *
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) *
    Math.exp(-x * x);
  return z > 0 ? 1 - tail : tail;
}

/** Inverse of `normalDistribution`, by bisection: the same digits on every machine. */
export function normalQuantile(probability: number): number {
  let low = -9;
  let high = 9;
  for (let i = 0; i < 100; i++) {
    const middle = (low + high) / 2;
    if (normalDistribution(middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
