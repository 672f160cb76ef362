/**
 * The course of a quantity over one stretch of time in which its law is linear:
 *
 *     y(t) = a + b·t + c·t² + Σ e^(αt)·(p·cos βt + q·sin βt),   t ≥ 0 in s
 *
 * Air between two hours, zones of a linear network, a part that follows its zone and the ice it gathers are
 * all of this form, so every crossing can be solved and no dip is missed.
 */
export interface Mode {
  readonly alpha: number;
  readonly beta: number;
  readonly p: number;
  readonly q: number;
}

export interface Course {
  readonly a: number;
  readonly b: number;
  readonly c: number;
  readonly modes: readonly Mode[];
}

interface Bounds {
  readonly low: number;
  readonly high: number;
}

const NO_MODES: readonly Mode[] = [];

export function linearCourse(a: number, b: number): Course {
  return { a, b, c: 0, modes: NO_MODES };
}

export function valueAt(course: Course, t: number): number {
  let y = course.a + t * (course.b + t * course.c);
  for (const mode of course.modes) y += modeAt(mode, t);
  return y;
}

function modeAt({ alpha, beta, p, q }: Mode, t: number): number {
  if (beta === 0) return p * Math.exp(alpha * t);
  return Math.exp(alpha * t) * (p * Math.cos(beta * t) + q * Math.sin(beta * t));
}

/** The same course with its clock set forward by `t`. */
export function shiftCourse(course: Course, t: number): Course {
  if (t === 0) return course;
  const modes = course.modes.map((mode) => {
    const { alpha, beta, p, q } = mode;
    if (beta === 0) return { alpha, beta, p: p * Math.exp(alpha * t), q };
    const e = Math.exp(alpha * t);
    const cos = Math.cos(beta * t);
    const sin = Math.sin(beta * t);
    return { alpha, beta, p: e * (p * cos + q * sin), q: e * (q * cos - p * sin) };
  });
  return { a: course.a + t * (course.b + t * course.c), b: course.b + 2 * course.c * t, c: course.c, modes };
}

/** Σ weightᵢ·courseᵢ + offset. */
export function combineCourses(
  terms: readonly { readonly weight: number; readonly course: Course }[],
  offset = 0,
): Course {
  let a = offset;
  let b = 0;
  let c = 0;
  const modes: Mode[] = [];
  for (const { weight, course } of terms) {
    if (weight === 0) continue;
    a += weight * course.a;
    b += weight * course.b;
    c += weight * course.c;
    for (const m of course.modes) modes.push({ ...m, p: weight * m.p, q: weight * m.q });
  }
  return { a, b, c, modes };
}

function derivative(course: Course): Course {
  const modes = course.modes.map(({ alpha, beta, p, q }) => ({
    alpha,
    beta,
    p: alpha * p + beta * q,
    q: alpha * q - beta * p,
  }));
  return { a: course.b, b: 2 * course.c, c: 0, modes };
}

/** ∫₀ᵗ of a course without a square term. Every mode must decay or grow (α² + β² > 0). */
export function integral(course: Course): Course {
  let a = 0;
  const modes = course.modes.map(({ alpha, beta, p, q }) => {
    const square = alpha * alpha + beta * beta;
    const ip = (alpha * p - beta * q) / square;
    a -= ip;
    return { alpha, beta, p: ip, q: (alpha * q + beta * p) / square };
  });
  return { a, b: course.a, c: course.b / 2, modes };
}

/**
 * What follows `drive` with a first-order lag, y' = rate·(drive − y), from `y0`.
 *
 * @param rate - 1/time constant [1/s], positive
 */
export function lagCourse(drive: Course, y0: number, rate: number): Course {
  let startOfParticular = drive.a - drive.b / rate;
  const modes: Mode[] = [];
  for (const { alpha, beta, p, q } of drive.modes) {
    // Response of (p − iq)·e^((α+iβ)t): times rate / (rate + α + iβ).
    const re = offResonance(rate + alpha, beta, rate);
    const scale = rate / (re * re + beta * beta);
    const rp = scale * (p * re - q * beta);
    modes.push({ alpha, beta, p: rp, q: scale * (q * re + p * beta) });
    startOfParticular += rp;
  }
  modes.push({ alpha: -rate, beta: 0, p: y0 - startOfParticular, q: 0 });
  return { a: drive.a - drive.b / rate, b: drive.b, c: 0, modes };
}

/**
 * A part as fast as a mode of its zone would need a t·e^(αt) term. Detuning by 1e-8 of the rate instead errs
 * by less than 1e-6 K in that never-met case and by nothing elsewhere.
 */
function offResonance(re: number, beta: number, rate: number): number {
  const detuned = 1e-8 * rate;
  return beta === 0 && Math.abs(re) < detuned ? detuned : re;
}

/**
 * First instant in [0, to] from which the course is below zero; null if it never is. Values above
 * −tolerance count as zero, so that touching zero is no crossing.
 *
 * Bounds of every term over the stretch decide at once in nearly all cases; where they do not, the stretch is
 * halved, so no dip between two ends is missed.
 */
export function firstBelow(course: Course, to: number, tolerance: number): number | null {
  if (bounds(course, 0, to).low >= -tolerance) return null;
  return search(course, derivative(course), { from: 0, to, tolerance });
}

interface Stretch {
  readonly from: number;
  readonly to: number;
  readonly tolerance: number;
}

const SHORTEST_S = 1e-6;

function search(course: Course, slope: Course, { from, to, tolerance }: Stretch): number | null {
  if (bounds(course, from, to).low >= -tolerance) return null;
  if (valueAt(course, from) < -tolerance) return from;
  const slopes = bounds(slope, from, to);
  if (slopes.low >= 0) return null;
  const ends = valueAt(course, to) < -tolerance;
  if (slopes.high <= 0) return ends ? fallingRoot(course, from, to) : null;
  if (to - from < SHORTEST_S) return ends ? to : null;
  const middle = (from + to) / 2;
  return (
    search(course, slope, { from, to: middle, tolerance }) ??
    search(course, slope, { from: middle, to, tolerance })
  );
}

/** Zero of a falling course that is below zero at `to`; `from` if it starts there. Regula falsi, Illinois rule. */
function fallingRoot(course: Course, from: number, to: number): number {
  let low = from;
  let high = to;
  let yLow = valueAt(course, low);
  let yHigh = valueAt(course, high);
  if (yLow <= 0) return from;
  let side = 0;
  for (let i = 0; i < 200 && high - low > 1e-9; i++) {
    const t = i % 3 === 2 ? (low + high) / 2 : (low * yHigh - high * yLow) / (yHigh - yLow);
    const y = valueAt(course, t);
    if (y === 0) return t;
    if (y > 0) {
      low = t;
      yLow = y;
      if (side === 1) yHigh /= 2;
      side = 1;
    } else {
      high = t;
      yHigh = y;
      if (side === -1) yLow /= 2;
      side = -1;
    }
  }
  return high;
}

/** Lowest and highest value that the course can take in [from, to]: sums of the terms' own bounds. */
function bounds(course: Course, from: number, to: number): Bounds {
  let low = course.a;
  let high = course.a;
  const add = (y1: number, y2: number): void => {
    low += Math.min(y1, y2);
    high += Math.max(y1, y2);
  };
  add(course.b * from, course.b * to);
  add(course.c * from * from, course.c * to * to);
  for (const mode of course.modes) {
    if (mode.beta === 0) {
      add(modeAt(mode, from), modeAt(mode, to));
      continue;
    }
    const half = (to - from) / 2;
    const grows = Math.max(mode.alpha * from, mode.alpha * to);
    const steepest = Math.exp(grows) * Math.hypot(mode.p, mode.q) * Math.hypot(mode.alpha, mode.beta);
    const middle = modeAt(mode, from + half);
    add(middle - steepest * half, middle + steepest * half);
  }
  return { low, high };
}
