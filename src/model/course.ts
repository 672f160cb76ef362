/**
 * The course of a quantity over one stretch of time in which its law is linear:
 *
 *     y(t) = a + b·t + Σ e^(αt)·(p·cos βt + q·sin βt),   t ≥ 0 in s
 *
 * Air between two hours, zones of a linear network and a part that follows its zone are all of this form, so
 * every crossing can be solved and no dip is missed. A course is a register that is filled anew for every
 * stretch: the hours of thousands of members go through it without anything being allocated.
 */
import { decay } from './decay.ts';

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
  readonly span = new Span();

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
    this.span.t = t;
    this.#look();
    return this.span.value;
  }

  /** ∫₀ᵗ of the course. Every mode must decay or grow (α² + β² > 0). */
  integralTo(t: number): number {
    this.span.t = t;
    this.#sum();
    return this.span.value;
  }

  #sum(): void {
    const { t } = this.span;
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
      const ip = (alpha * p - beta * q) / square;
      const iq = (alpha * q + beta * p) / square;
      sum += decay(alpha * t) * (ip * Math.cos(beta * t) + iq * Math.sin(beta * t)) - ip;
    }
    this.span.value = sum;
  }

  /**
   * Finds the first instant in [span.from, span.to] from which the course is below zero; infinite if it never is.
   * Values above −tolerance count as zero, so that touching zero is no crossing.
   *
   * Bounds of every term over the stretch decide at once in nearly all cases; where they do not, the stretch is
   * halved, so no dip between two ends is missed.
   */
  findBelow(): void {
    const span = this.span;
    const { from, to, tolerance } = span;
    this.#bound();
    span.found = Infinity;
    if (span.low >= -tolerance) return;
    if (span.first < -tolerance) {
      span.found = from;
      return;
    }
    if (span.flattest >= 0) return;
    const ends = span.last < -tolerance;
    if (span.steepest <= 0) {
      if (ends) this.#findRoot();
      return;
    }
    if (to - from < SHORTEST_S) {
      if (ends) span.found = to;
      return;
    }
    const middle = (from + to) / 2;
    span.to = middle;
    this.findBelow();
    if (span.found < Infinity) return;
    span.from = middle;
    span.to = to;
    this.findBelow();
  }

  /**
   * Zero of a falling course whose span was just bounded and that is below zero at `to`; `from` if it starts there.
   * Halley's method kept within its bracket.
   */
  #findRoot(): void {
    const span = this.span;
    const { from, to, first, last } = span;
    span.found = from;
    if (first <= 0) return;
    let low = from;
    let high = to;
    let t = (low * last - high * first) / (last - first);
    for (let i = 0; i < MOST_TRIES && high - low > SHARPEST_S; i++) {
      span.t = t;
      this.#look();
      if (span.value > 0) low = t;
      else high = t;
      const newton = -span.value / span.slope;
      const bent = (newton * span.bend) / (2 * span.slope);
      const next = t + newton / (1 + bent);
      t = next > low && next < high ? next : (low + high) / 2;
      if (t === next && Math.abs(newton) < CLOSE_S && Math.abs(newton * bent * bent) < SHARPEST_S) break;
    }
    span.found = t;
  }

  /** Value, slope and bend at the span's `t`. */
  #look(): void {
    const { t } = this.span;
    let value = this.a + t * this.b;
    let slope = this.b;
    let bend = 0;
    for (let k = 0; k < this.count; k++) {
      const alpha = this.alpha[k]!;
      const beta = this.beta[k]!;
      const growth = decay(alpha * t);
      if (beta === 0) {
        const y = this.p[k]! * growth;
        value += y;
        slope += alpha * y;
        bend += alpha * alpha * y;
        continue;
      }
      const cos = growth * Math.cos(beta * t);
      const sin = growth * Math.sin(beta * t);
      const y = this.p[k]! * cos + this.q[k]! * sin;
      const z = this.q[k]! * cos - this.p[k]! * sin;
      value += y;
      slope += alpha * y + beta * z;
      bend += (alpha * alpha - beta * beta) * y + 2 * alpha * beta * z;
    }
    this.span.value = value;
    this.span.slope = slope;
    this.span.bend = bend;
  }

  /**
   * Bounds of the value and of the slope in the span by those of every term, and the values at both ends. Two modes
   * of nearly one rate may all but cancel; then the chord less what the bends can take from it is the better bound.
   */
  #bound(): void {
    const span = this.span;
    const { from, to } = span;
    span.first = this.a + from * this.b;
    span.last = this.a + to * this.b;
    span.low = Math.min(span.first, span.last);
    span.flattest = this.b;
    span.steepest = this.b;
    let bend = 0;
    for (let k = 0; k < this.count; k++) {
      const alpha = this.alpha[k]!;
      if (this.beta[k] !== 0) {
        this.#boundTurning(k);
        bend = Infinity;
        continue;
      }
      const first = from === 0 ? this.p[k]! : this.p[k]! * decay(alpha * from);
      const last = this.p[k]! * decay(alpha * to);
      span.first += first;
      span.last += last;
      span.low += Math.min(first, last);
      span.flattest += Math.min(alpha * first, alpha * last);
      span.steepest += Math.max(alpha * first, alpha * last);
      bend += alpha * alpha * Math.max(Math.abs(first), Math.abs(last));
    }
    const chord = Math.min(span.first, span.last) - (bend * (to - from) ** 2) / 8;
    if (chord > span.low) span.low = chord;
  }

  /** A turning mode's slope stays under its amplitude times |α + iβ|, and it no farther from its middle than that. */
  #boundTurning(k: number): void {
    const span = this.span;
    const { from, to } = span;
    const alpha = this.alpha[k]!;
    const beta = this.beta[k]!;
    const grown = decay(Math.max(alpha * from, alpha * to));
    const steepest = grown * Math.hypot(this.p[k]!, this.q[k]!) * Math.hypot(alpha, beta);
    const half = (to - from) / 2;
    span.first += this.#mode(k, from);
    span.last += this.#mode(k, to);
    span.low += this.#mode(k, from + half) - half * steepest;
    span.flattest -= steepest;
    span.steepest += steepest;
  }

  #mode(k: number, t: number): number {
    if (t === 0) return this.p[k]!;
    const turn = this.beta[k]! * t;
    return decay(this.alpha[k]! * t) * (this.p[k]! * Math.cos(turn) + this.q[k]! * Math.sin(turn));
  }
}

/**
 * What is asked of a course and known of it, over a stretch and at an instant in it. Numbers go to and fro here, as
 * those that are handed from one function to another may be boxed.
 */
class Span {
  from = Number.NaN;
  to = Number.NaN;
  tolerance = Number.NaN;
  found = Number.NaN;
  t = Number.NaN;
  first = Number.NaN;
  last = Number.NaN;
  low = Number.NaN;
  /** Least and greatest slope. */
  flattest = Number.NaN;
  steepest = Number.NaN;
  value = Number.NaN;
  slope = Number.NaN;
  bend = Number.NaN;
}

const MOST_TRIES = 200;
const SHORTEST_S = 1e-6;
const SHARPEST_S = 1e-9;
/** A step this short is followed by no other: what is left is of its third order. */
const CLOSE_S = 0.02;

/** Rates so near to each other, as shares of themselves, are taken for one. */
const SAME_RATE = 1e-8;

/**
 * What follows a mode that is just as fast would need a t·e^(αt) term. One of the two rates is taken a little faster
 * instead, wherever it stands: that errs by less than 1e-6 K, and by nothing elsewhere.
 */
export function offResonance(rate: number, other: number): number {
  return Math.abs(rate - other) < SAME_RATE * other ? other * (1 + 2 * SAME_RATE) : rate;
}

/** A mode's coefficients with its clock set forward by `t`. */
export function turnP({ alpha, beta, p, q }: Course, k: number, t: number): number {
  return decay(alpha[k]! * t) * (p[k]! * Math.cos(beta[k]! * t) + q[k]! * Math.sin(beta[k]! * t));
}

export function turnQ({ alpha, beta, p, q }: Course, k: number, t: number): number {
  return decay(alpha[k]! * t) * (q[k]! * Math.cos(beta[k]! * t) - p[k]! * Math.sin(beta[k]! * t));
}
