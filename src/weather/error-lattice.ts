/**
 * A fixed set of errors that stands for the law of error-law.ts: the same for the same number of members, to the byte.
 *
 * At every third hour the errors are the law cut into shares of equal weight, one error for each, so that a chance at
 * any single hour is the law's to about a share. Which member has which share from knot to knot follows a first-order
 * autoregressive course of 36 h whose driving values are cut into equal shares, too (stratified sampling; the ranks
 * begin as a golden-section lattice), and are then exchanged until they have nothing to do with the three days before.
 */
import { normalQuantile, t5Quantile } from './error-law.ts';

const MEMORY_HOURS = 36;
/** Errors are drawn at these knots and are linear in between. */
const KNOT_HOURS = 12;
/** Between knots they are spread evenly again at these. */
const EVEN_HOURS = 3;

/** Share of its last value that the course keeps from knot to knot. */
const KEPT = Math.exp(-KNOT_HOURS / MEMORY_HOURS);
const FRESH = Math.sqrt(1 - KEPT * KEPT);

/**
 * Standardised errors (deviation 1) per member and hour of lead, member 0 all zero, members 2k−1 and 2k opposite.
 *
 * @param hours - number of hourly values from lead 0
 */
export function standardErrors(members: number, hours: number): Float64Array[] {
  const pairs = (members - 1) / 2;
  const shares = sharesOf(pairs);
  const knots = knotsOf(shares, Math.floor((hours - 1) / KNOT_HOURS) + 2);
  const even = Array.from({ length: Math.floor((hours - 1) / EVEN_HOURS) + 2 }, (_, i) =>
    spreadEvenly(between(knots, (i * EVEN_HOURS) / KNOT_HOURS), shares.error),
  );
  const byHour = Array.from({ length: hours }, (_, h) => withDeviation1(between(even, h / EVEN_HOURS)));
  const result = [new Float64Array(hours)];
  for (let pair = 0; pair < pairs; pair++) {
    const plus = Float64Array.from(byHour, (row) => row[pair] ?? 0);
    result.push(
      plus,
      plus.map((e) => -e),
    );
  }
  return result;
}

/** What each share of a law stands for, the shares in rising order. Opposites are implied: sizes are those of one half. */
interface Shares {
  readonly count: number;
  /** Size of an error, standardised. */
  readonly error: readonly number[];
  /** Size of the course's normal value. */
  readonly size: readonly number[];
  /** What drives the course: a normal value of either sign. */
  readonly drive: readonly number[];
}

function sharesOf(count: number): Shares {
  const middles = Array.from({ length: count }, (_, i) => (i + 0.5) / count);
  return {
    count,
    error: middles.map((_, i) => rootMeanSquare(i / count, (i + 1) / count)),
    size: middles.map((p) => normalQuantile(0.5 + p / 2)),
    drive: middles.map(normalQuantile),
  };
}

/** Of |error| between two of its quantiles: errors of this size have deviation 1 between them, and the law's tails. */
function rootMeanSquare(from: number, to: number): number {
  const square = (p: number): number => (p >= 1 ? Math.PI / 16 : squareBelow(t5Quantile(0.5 + p / 2)));
  return Math.sqrt((square(to) - square(from)) / (to - from) / (Math.PI / 16));
}

/** In proportion to the integral of t² over Student's t density with 5 degrees of freedom from 0 to `t`; π/16 at ∞. */
function squareBelow(t: number): number {
  const x = t / Math.sqrt(5);
  const s = 1 + x * x;
  return -x / (4 * s * s) + x / (8 * s) + Math.atan(x) / 8;
}

/** By knot, then pair, the error of its first member. */
function knotsOf(shares: Shares, count: number): number[][] {
  let course = [...shares.size];
  const errors = [[...shares.error]];
  let past = [polynomialsAt(course.map((z, i) => placeOf(z, i, shares.count)))];
  while (errors.length < count) {
    const drives = drivesOf(course, past);
    const next = course.map((z, i) => KEPT * z + FRESH * (shares.drive[drives[i] ?? 0] ?? 0));
    const ranks = ranksOf(next.map(Math.abs));
    const of = (sizes: readonly number[]): number[] =>
      next.map((z, i) => Math.sign(z) * (sizes[ranks[i] ?? 0] ?? 0));
    course = of(shares.size);
    errors.push(of(shares.error));
    const now = polynomialsAt(course.map((z, i) => placeOf(z, ranks[i] ?? 0, shares.count)));
    past = [now, ...past].slice(0, REMEMBERED_KNOTS);
  }
  return errors;
}

/** Between −1 and 1: where in the whole law a value stands whose size has this rank. */
function placeOf(value: number, rank: number, count: number): number {
  return (Math.sign(value) * (rank + 0.5)) / count;
}

/** What drives a knot is to have nothing to do with as many knots before it: three days. */
const REMEMBERED_KNOTS = 6;
/** Exchanged are only drives of pairs whose sizes are as near as this in rank: the lattice stays even. */
const NEAR_RANKS = 15;
const MOST_SWEEPS = 8;
/** Less than this is rounding, and must not decide on another machine. */
const LEAST_GAIN = 1e-9;
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/**
 * By pair, the share of what drives it to the next knot.
 *
 * @param past - of the knots before, the last first
 */
function drivesOf(course: readonly number[], past: readonly Polynomials[]): number[] {
  const count = course.length;
  const lattice = ranksOf(course.map((_, i) => ((i + 0.5) * GOLDEN) % 1));
  const sizeRanks = ranksOf(course.map(Math.abs));
  // Opposites are driven opposite ways.
  const drives = course.map((z, i) => {
    const rank = lattice[sizeRanks[i] ?? 0] ?? 0;
    return z < 0 ? count - 1 - rank : rank;
  });
  const ties = tiesOf(past, drives);
  const bySize = inverse(sizeRanks);
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    if (!areLoosened(ties, drives, bySize)) break;
  }
  return drives;
}

/** One sweep over all pairs that are near each other in size; false: nothing is left to gain. */
function areLoosened(ties: Ties, drives: number[], bySize: readonly number[]): boolean {
  let exchanged = false;
  for (let a = 0; a < bySize.length; a++) {
    const end = Math.min(bySize.length, a + NEAR_RANKS + 1);
    for (let b = a + 1; b < end; b++) {
      if (loosened(ties, drives, [bySize[a]!, bySize[b]!])) exchanged = true;
    }
  }
  return exchanged;
}

/** The first three Legendre polynomials: arithmetic alone, the same digits on every machine. */
function polynomials(x: number): readonly [number, number, number] {
  return [x, (3 * x * x - 1) / 2, (5 * x * x * x - 3 * x) / 2];
}

/** By order, the polynomials at the places of all pairs, or of all drives. */
type Polynomials = readonly Float64Array[];

function polynomialsAt(places: readonly number[]): Polynomials {
  const values = places.map(polynomials);
  return [0, 1, 2].map((order) => Float64Array.from(values, (v) => v[order] ?? 0));
}

/** Pairs of orders whose product does not cancel between opposites. */
const ORDERS = [
  [0, 0],
  [0, 2],
  [2, 0],
  [1, 1],
  [2, 2],
] as const;

/** How far drives go along with what was before, in several ways: sums of products, each of which is to be 0. */
interface Ties {
  readonly ways: number;
  /** By drive, then way; what tells more weighs more. */
  readonly driving: Float64Array;
  /** By pair, then way. */
  readonly before: Float64Array;
  readonly sums: Float64Array;
}

function tiesOf(past: readonly Polynomials[], drives: readonly number[]): Ties {
  const count = drives.length;
  const own = polynomialsAt(drives.map((_, i) => (2 * (i + 0.5)) / count - 1));
  const all = past.flatMap((knot) => ORDERS.map(([a, b]) => ({ own: own[a]!, knot: knot[b]!, a, b })));
  const ways = all.length;
  const [driving, before] = [new Float64Array(count * ways), new Float64Array(count * ways)];
  all.forEach((way, w) => {
    // Low orders tell most. The polynomials' own mean squares, 1/3, 1/5 and 1/7, are taken out.
    const weight = Math.sqrt(((2 * way.a + 3) * (2 * way.b + 3)) / ((way.a + 1) * (way.b + 1)));
    for (let i = 0; i < count; i++) {
      driving[i * ways + w] = weight * way.own[i]!;
      before[i * ways + w] = way.knot[i]!;
    }
  });
  const sums = Float64Array.from({ length: ways }, (_, w) =>
    drives.reduce((sum, drive, pair) => sum + driving[drive * ways + w]! * before[pair * ways + w]!, 0),
  );
  return { ways, driving, before, sums };
}

/** Exchanges the drives of two pairs if that lessens the ties' squares. Asked thousands of times for each outlook. */
function loosened(ties: Ties, drives: number[], [one, other]: readonly [number, number]): boolean {
  const { ways, driving, before, sums } = ties;
  const [of, to, first, second] = [drives[one]! * ways, drives[other]! * ways, one * ways, other * ways];
  let gain = 0;
  for (let w = 0; w < ways; w++) {
    const change = (driving[to + w]! - driving[of + w]!) * (before[first + w]! - before[second + w]!);
    gain -= change * (2 * sums[w]! + change);
  }
  if (gain <= LEAST_GAIN) return false;
  for (let w = 0; w < ways; w++)
    sums[w]! += (driving[to + w]! - driving[of + w]!) * (before[first + w]! - before[second + w]!);
  [drives[one], drives[other]] = [drives[other]!, drives[one]!];
  return true;
}

/** By index, its place among all in rising order; equals in the order they stand in. */
function ranksOf(values: readonly number[]): number[] {
  const rising = values.map((_, i) => i).toSorted((i, j) => (values[i] ?? 0) - (values[j] ?? 0) || i - j);
  return inverse(rising);
}

function inverse(order: readonly number[]): number[] {
  const result = new Array<number>(order.length).fill(0);
  order.forEach((i, place) => {
    result[i] = place;
  });
  return result;
}

function between(knots: readonly (readonly number[])[], position: number): number[] {
  const i = Math.floor(position);
  const [from = [], to = from] = [knots[i], knots[i + 1]];
  return from.map((value, pair) => value + (position - i) * ((to[pair] ?? value) - value));
}

/** By pair; keeps signs and the order of sizes. */
function spreadEvenly(errors: readonly number[], sizes: readonly number[]): number[] {
  const ranks = ranksOf(errors.map(Math.abs));
  return errors.map((e, i) => Math.sign(e) * (sizes[ranks[i] ?? 0] ?? 0));
}

/** Opposite pairs have mean zero; a common factor makes the spread exact where lines between knots lessen it. */
function withDeviation1(errors: readonly number[]): number[] {
  const square = errors.reduce((sum, e) => sum + e * e, 0);
  // A single pair passes through zero, where no factor helps.
  const factor = square === 0 ? 0 : 1 / Math.sqrt(square / errors.length);
  return errors.map((e) => e * factor);
}
