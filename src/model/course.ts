/**
 * The course of a quantity over one stretch of time in which its law is linear:
 *
 *     y(t) = a + b·t + Σ e^(αt)·(p·cos βt + q·sin βt),   t ≥ 0 in s
 *
 * Air between two hours, zones of a linear network and a part that follows its zone are all of this form, so
 * every crossing can be solved and no dip is missed. A course is a register that is filled anew for every
 * stretch: the hours of thousands of members go through it without anything being allocated.
 */

/** Four nodes and the lag of a zone that follows them. */
export const MOST_MODES = 5;

export class Course {
  a = Number.NaN;
  b = Number.NaN;
  /** Modes in use. */
  count = 0;
  readonly alpha = new Float64Array(MOST_MODES);
  readonly beta = new Float64Array(MOST_MODES);
  readonly p = new Float64Array(MOST_MODES);
  readonly q = new Float64Array(MOST_MODES);

  /** Becomes the line a + b·t. */
  setLine(a: number, b: number): void {
    this.a = a;
    this.b = b;
    this.count = 0;
  }

  /** Becomes offset + weight·course. */
  setScaled(course: Course, weight: number, offset: number): void {
    this.a = offset + weight * course.a;
    this.b = weight * course.b;
    this.count = course.count;
    for (let k = 0; k < course.count; k++) {
      this.alpha[k] = course.alpha[k]!;
      this.beta[k] = course.beta[k]!;
      this.p[k] = weight * course.p[k]!;
      this.q[k] = weight * course.q[k]!;
    }
  }

  valueAt(t: number): number {
    let y = this.a + t * this.b;
    for (let k = 0; k < this.count; k++) {
      y += this.beta[k] === 0 ? this.p[k]! * Math.exp(this.alpha[k]! * t) : this.#mode(k, t);
    }
    return y;
  }

  /** ∫₀ᵗ of the course. Every mode must decay or grow (α² + β² > 0). */
  integralTo(t: number): number {
    let sum = t * (this.a + (t * this.b) / 2);
    for (let k = 0; k < this.count; k++) {
      const alpha = this.alpha[k]!;
      const beta = this.beta[k]!;
      const p = this.p[k]!;
      if (beta === 0) {
        sum += (p * Math.expm1(alpha * t)) / alpha;
        continue;
      }
      const q = this.q[k]!;
      const square = alpha * alpha + beta * beta;
      const [ip, iq] = [(alpha * p - beta * q) / square, (alpha * q + beta * p) / square];
      sum += Math.exp(alpha * t) * (ip * Math.cos(beta * t) + iq * Math.sin(beta * t)) - ip;
    }
    return sum;
  }

  /**
   * First instant in [from, to] from which the course is below zero; `Infinity` if it never is. Values above
   * −tolerance count as zero, so that touching zero is no crossing.
   *
   * Bounds of every term over the stretch decide at once in nearly all cases; where they do not, the stretch is
   * halved, so no dip between two ends is missed.
   */
  firstBelow(from: number, to: number, tolerance: number): number {
    if (this.count === 0) return this.#lineBelow(from, to, tolerance);
    if (this.#lowest(from, to, 1) >= -tolerance) return Infinity;
    if (this.valueAt(from) < -tolerance) return from;
    if (this.#steepest(from, to, 1) >= 0) return Infinity;
    const ends = this.valueAt(to) < -tolerance;
    if (this.#steepest(from, to, -1) >= 0) return ends ? this.#fallingRoot(from, to) : Infinity;
    if (to - from < SHORTEST_S) return ends ? to : Infinity;
    const middle = (from + to) / 2;
    const first = this.firstBelow(from, middle, tolerance);
    return first < Infinity ? first : this.firstBelow(middle, to, tolerance);
  }

  #lineBelow(from: number, to: number, tolerance: number): number {
    const start = this.a + from * this.b;
    if (start < -tolerance) return from;
    if (this.a + to * this.b >= -tolerance) return Infinity;
    return start <= 0 ? from : Math.min(to, from - start / this.b);
  }

  /** Zero of a falling course that is below zero at `to`; `from` if it starts there. Regula falsi, Illinois rule. */
  #fallingRoot(from: number, to: number): number {
    let low = from;
    let high = to;
    let yLow = this.valueAt(low);
    let yHigh = this.valueAt(high);
    if (yLow <= 0) return from;
    let side = 0;
    for (let i = 0; i < 200 && high - low > SHARPEST_S; i++) {
      const t = i % 3 === 2 ? (low + high) / 2 : (low * yHigh - high * yLow) / (yHigh - yLow);
      const y = this.valueAt(t);
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

  #mode(k: number, t: number): number {
    if (t === 0) return this.p[k]!;
    const beta = this.beta[k]!;
    const grown = Math.exp(this.alpha[k]! * t);
    if (beta === 0) return this.p[k]! * grown;
    return grown * (this.p[k]! * Math.cos(beta * t) + this.q[k]! * Math.sin(beta * t));
  }

  /** Lowest value that sign·course can take in [from, to]: the sum of its terms' own. */
  #lowest(from: number, to: number, sign: number): number {
    let low = sign * this.a + Math.min(sign * this.b * from, sign * this.b * to);
    for (let k = 0; k < this.count; k++) {
      if (this.beta[k] === 0) {
        low += Math.min(sign * this.#mode(k, from), sign * this.#mode(k, to));
        continue;
      }
      const half = (to - from) / 2;
      low += sign * this.#mode(k, from + half) - half * this.#steepestTurn(k, from, to);
    }
    return low;
  }

  /** Lowest value that the slope of sign·course can take in [from, to]. */
  #steepest(from: number, to: number, sign: number): number {
    let low = sign * this.b;
    for (let k = 0; k < this.count; k++) {
      if (this.beta[k] !== 0) {
        low -= this.#steepestTurn(k, from, to);
        continue;
      }
      const alpha = sign * this.alpha[k]!;
      low += Math.min(alpha * this.#mode(k, from), alpha * this.#mode(k, to));
    }
    return low;
  }

  /** A turning mode's slope stays under this. */
  #steepestTurn(k: number, from: number, to: number): number {
    const alpha = this.alpha[k]!;
    const grown = Math.exp(Math.max(alpha * from, alpha * to));
    return grown * Math.hypot(this.p[k]!, this.q[k]!) * Math.hypot(alpha, this.beta[k]!);
  }
}

const SHORTEST_S = 1e-6;
const SHARPEST_S = 1e-9;

/**
 * A body as fast as a mode of its zone would need a t·e^(αt) term. Detuning by 1e-8 of the rate instead errs
 * by less than 1e-6 K in that never-met case and by nothing elsewhere.
 */
export function offResonance(re: number, beta: number, rate: number): number {
  const detuned = 1e-8 * rate;
  return beta === 0 && Math.abs(re) < detuned ? detuned : re;
}
