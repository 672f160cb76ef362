/**
 * How a single forecast may err: a law for its temperature error, and a fixed set of errors that stands for it.
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

const MEMORY_HOURS = 36;
/** Errors are drawn at these knots and are linear in between. */
const KNOT_HOURS = 12;

export function errorDeviationK(law: ErrorLaw, leadS: number): number {
  return law.atStartK + (law.perDayK * Math.max(0, leadS)) / DAY_S;
}

/**
 * Standardised errors (deviation 1) per member and hour of lead, member 0 all zero, members 2k−1 and 2k opposite.
 *
 * @param hours - number of hourly values from lead 0
 */
export function standardErrors(members: number, hours: number): Float64Array[] {
  const knots = Math.floor((hours - 1) / KNOT_HOURS) + 2;
  const pairs = (members - 1) / 2;
  const processes = normalised(Array.from({ length: pairs }, (_, i) => gaussianProcess(i, knots)));
  const result = [new Float64Array(hours)];
  for (const course of normalised(processes.map((z) => tailedCourse(z, hours)))) {
    const plus = Float64Array.from(course);
    result.push(
      plus,
      plus.map((e) => -e),
    );
  }
  return result;
}

/** By the hour, with the tails of the law. What lies between knots varies less than they do, until normalised. */
function tailedCourse(normal: readonly number[], hours: number): number[] {
  const tails = normal.map(standardT5);
  return Array.from({ length: hours }, (_, h) => between(tails, h / KNOT_HOURS));
}

/** First-order autoregressive process at the knots, driven by point `index` of a Kronecker lattice. */
function gaussianProcess(index: number, knots: number): number[] {
  const kept = Math.exp(-KNOT_HOURS / MEMORY_HOURS);
  const fresh = Math.sqrt(1 - kept * kept);
  let z = 0;
  return latticePoint(index, knots).map((u, k) => {
    z = k === 0 ? normalQuantile(u) : kept * z + fresh * normalQuantile(u);
    return z;
  });
}

/** Opposite pairs have mean zero; a common factor per instant makes the spread of the few pairs exact, too. */
function normalised(processes: readonly number[][]): number[][] {
  const instants = processes[0]?.length ?? 0;
  const scale = Array.from({ length: instants }, (_, k) => {
    const square = processes.reduce((sum, z) => sum + (z[k] ?? 0) ** 2, 0);
    // A single pair passes through zero, where no factor helps.
    return square === 0 ? 0 : 1 / Math.sqrt(square / processes.length);
  });
  return processes.map((z) => z.map((value, k) => value * (scale[k] ?? 1)));
}

/**
 * Kronecker lattice: coordinate k of point i is the fraction of (i + ½)·√pₖ, pₖ the k-th prime
 * (Richtmyer's generators), shifted by ½.
 */
function latticePoint(index: number, dimensions: number): number[] {
  return primes(dimensions).map((p) => {
    const x = (index + 0.5) * Math.sqrt(p) + 0.5;
    return x - Math.floor(x);
  });
}

function primes(count: number): number[] {
  const found: number[] = [];
  for (let n = 2; found.length < count; n++) {
    if (found.every((p) => n % p !== 0)) found.push(n);
  }
  return found;
}

function between(knots: readonly number[], position: number): number {
  const i = Math.floor(position);
  const from = knots[i] ?? 0;
  return from + (position - i) * ((knots[i + 1] ?? from) - from);
}

/** Turns a standard normal value into one of a t law with 5 degrees of freedom and deviation 1, by its rank. */
function standardT5(z: number): number {
  return t5Quantile(normalDistribution(z)) / Math.sqrt(5 / 3);
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
