import { HOUR_S } from '../quantity/instant.ts';
import { Course, MOST_MODES, offResonance } from './course.ts';
import type { System } from './linear-system.ts';
import type { Network, ZoneId } from './unit.ts';
import { MOST_NODES, grown, type ZoneTrack } from './zone-track.ts';

/** Temperatures of the air, per stretch of the track, that a piece of it must not cross within. */
export type Levels = (stretch: number, into: Float64Array) => number;

/** Most levels a part can ask for: freezing, its heater's reach below it, its thermostat with and without. */
export const MOST_LEVELS = 4;

/**
 * The air of one zone in pieces within which it crosses none of its levels; by default one, freezing. Whatever
 * follows the air of such a piece then moves one way only, so that each line is passed once at most.
 *
 * Filled anew for every member; grows only when a member has more pieces than any before it.
 */
export class AirTrack {
  count = 0;
  hour = new Int32Array(0);
  startS = new Float64Array(0);
  durationS = new Float64Array(0);
  /** Within a piece y = a + b·t + Σ e^(αt)·(p·cos βt + q·sin βt), t from its start. */
  a = new Float64Array(0);
  b = new Float64Array(0);
  modes = new Uint8Array(0);
  alpha = new Float64Array(0);
  beta = new Float64Array(0);
  p = new Float64Array(0);
  q = new Float64Array(0);
  /** Σ of each mode at the end of the piece, and what its quadrature is there. */
  endP = new Float64Array(0);
  endQ = new Float64Array(0);
  /** ∫y over the piece [K·s]. */
  integral = new Float64Array(0);
  /** Whether it is above freezing within: 1, or below: −1. */
  sign = new Int8Array(0);
  supply = new Uint8Array(0);
  /** Stretch of the zone track that the piece lies in. */
  stretch = new Int32Array(0);
  /** Whether it is ever below freezing. */
  goesBelow = false;
  readonly #course = new Course();
  readonly #level = new Course();
  readonly #levels = new Float64Array(MOST_LEVELS);
  readonly #growthCos = new Float64Array(MOST_MODES);
  readonly #growthIntegral = new Float64Array(MOST_MODES);
  #stretch = 0;
  #lowest = Number.NaN;
  #highest = Number.NaN;
  readonly #lagS: number;
  /** Of the zone's own mode over a whole hour. */
  readonly #lagGrowth: number;
  readonly #lagIntegral: number;
  /** Rows of the nodes that the air is drawn from, −1 for outside. */
  readonly #rows: readonly number[];
  readonly #weights: readonly number[];

  constructor({ nodes, zones }: Network, zone: ZoneId) {
    const { of, lagS } = zones[zone];
    this.#lagS = lagS;
    this.#lagGrowth = Math.exp(-HOUR_S / lagS);
    this.#lagIntegral = -Math.expm1(-HOUR_S / lagS) * lagS;
    this.#rows = of.map(({ end }) => nodes.findIndex((n) => n.id === end));
    this.#weights = of.map(({ weight }) => weight);
  }

  /** The zone's air through all stretches of a track, cut at its levels. */
  fill(track: ZoneTrack, levels?: Levels): void {
    this.count = 0;
    this.goesBelow = false;
    let lagged = Number.NaN;
    for (let stretch = 0; stretch < track.count; stretch++) {
      this.#read(track, stretch);
      if (this.#lagS > 0) {
        this.#lag(1 / this.#lagS, Number.isNaN(lagged) ? this.#course.valueAt(0) : lagged);
        lagged = this.#course.valueAt(track.durationS[stretch]!);
      }
      this.#cut(track, stretch, levels);
    }
  }

  /** What the zone's air is drawn from. */
  #read(track: ZoneTrack, stretch: number): void {
    const course = this.#course;
    track.clear(course, stretch);
    let onlyOutside = true;
    for (let i = 0; i < this.#rows.length; i++) {
      const weight = this.#weights[i]!;
      const row = this.#rows[i]!;
      if (row >= 0) {
        onlyOutside = false;
        track.addNode(course, stretch * MOST_NODES + row, weight);
        continue;
      }
      course.a += weight * track.outsideA[stretch]!;
      course.b += weight * track.outsideB[stretch]!;
    }
    if (onlyOutside) course.count = 0;
  }

  /** The course becomes that of what follows it with `rate` [1/s], from `start`. */
  #lag(rate: number, start: number): void {
    const course = this.#course;
    course.a -= course.b / rate;
    let particular = course.a;
    for (let k = 0; k < course.count; k++) {
      const beta = course.beta[k]!;
      const re = offResonance(rate + course.alpha[k]!, beta, rate);
      const scale = rate / (re * re + beta * beta);
      const p = course.p[k]!;
      const q = course.q[k]!;
      course.p[k] = scale * (p * re - q * beta);
      course.q[k] = scale * (q * re + p * beta);
      particular += course.p[k]!;
    }
    const own = course.count;
    course.alpha[own] = -rate;
    course.beta[own] = 0;
    course.p[own] = start - particular;
    course.q[own] = 0;
    course.count = own + 1;
  }

  /** Cuts a stretch where its air crosses a level. */
  #cut(track: ZoneTrack, stretch: number, levels: Levels | undefined): void {
    this.#stretch = stretch;
    const durationS = track.durationS[stretch]!;
    this.#levels[0] = 0;
    const count = levels === undefined ? 1 : levels(stretch, this.#levels);
    this.#grow(durationS, track.systems[stretch]!);
    let from = 0;
    while (from < durationS) {
      let to = durationS;
      for (let i = 0; i < count; i++) {
        const level = this.#levels[i]!;
        if (from === 0 && (this.#lowest > level || this.#highest < level)) continue;
        const at = this.#crossing(level, from, to);
        if (at > from) to = Math.min(to, at);
      }
      this.#add(track, from, to);
      from = to;
    }
  }

  /** How far each mode of the course at hand has come after `durationS`, and bounds of the course until then. */
  #grow(durationS: number, system: System): void {
    const course = this.#course;
    const line = course.b * durationS;
    let low = course.a + Math.min(0, line);
    let high = course.a + Math.max(0, line);
    const whole = durationS === HOUR_S;
    for (let k = 0; k < course.count; k++) {
      const alpha = course.alpha[k]!;
      const beta = course.beta[k]!;
      const p = course.p[k]!;
      if (beta !== 0) {
        // A turning mode stays within its amplitude, which only decays or grows.
        const growth = Math.exp(alpha * durationS);
        const most = Math.hypot(p, course.q[k]!) * Math.max(1, growth);
        low -= most;
        high += most;
        continue;
      }
      const known = whole && k < system.alpha.length;
      const growth = known ? system.hourCos[k]! : whole ? this.#lagGrowth : Math.exp(alpha * durationS);
      this.#growthCos[k] = growth;
      this.#growthIntegral[k] = known
        ? system.hourIntegral[k]!
        : whole
          ? this.#lagIntegral
          : Math.expm1(alpha * durationS) / alpha;
      const end = p * growth;
      low += Math.min(p, end);
      high += Math.max(p, end);
    }
    this.#lowest = low;
    this.#highest = high;
  }

  /** First instant in (from, to] at which the air is on the other side of a level; `to` if it stays on its own. */
  #crossing(level: number, from: number, to: number): number {
    const course = this.#course;
    if (course.count === 0) {
      if (course.b === 0) return to;
      const at = (level - course.a) / course.b;
      return at > from + SHORTEST_S && at < to ? at : to;
    }
    this.#level.setScaled(course, 1, -level);
    const above = this.#level.firstBelow(from, to, 0);
    if (above === Infinity) return to;
    if (above > from + SHORTEST_S) return above;
    this.#level.setScaled(course, -1, level);
    const below = this.#level.firstBelow(from + SHORTEST_S, to, 0);
    return below === Infinity || below <= from + SHORTEST_S ? to : below;
  }

  #add(track: ZoneTrack, from: number, to: number): void {
    const stretch = this.#stretch;
    this.#room();
    const i = this.count;
    const course = this.#course;
    const durationS = to - from;
    const asked = from === 0 && to === track.durationS[stretch];
    this.hour[i] = track.hour[stretch]!;
    this.stretch[i] = stretch;
    this.supply[i] = track.supply[stretch]!;
    this.startS[i] = track.startS[stretch]! + from;
    this.durationS[i] = durationS;
    this.a[i] = course.a + from * course.b;
    this.b[i] = course.b;
    this.modes[i] = course.count;
    let ends = 2 * this.a[i]! + durationS * course.b;
    let integral = (durationS * ends) / 2;
    for (let k = 0; k < course.count; k++) {
      const alpha = course.alpha[k]!;
      const beta = course.beta[k]!;
      const at = i * MOST_MODES + k;
      const p = from === 0 ? course.p[k]! : turnP(course, k, from);
      this.alpha[at] = alpha;
      this.beta[at] = beta;
      this.p[at] = p;
      this.q[at] = 0;
      if (beta === 0) {
        const end = p * (asked ? this.#growthCos[k]! : Math.exp(alpha * durationS));
        this.endP[at] = end;
        this.endQ[at] = 0;
        integral += p * (asked ? this.#growthIntegral[k]! : Math.expm1(alpha * durationS) / alpha);
        ends += p + end;
        continue;
      }
      const q = from === 0 ? course.q[k]! : turnQ(course, k, from);
      const growth = Math.exp(alpha * durationS);
      const cos = growth * Math.cos(beta * durationS);
      const sin = growth * Math.sin(beta * durationS);
      this.q[at] = q;
      this.endP[at] = p * cos + q * sin;
      this.endQ[at] = q * cos - p * sin;
      // ∫ of the mode is (α·y − β·z)/(α² + β²) with z its quadrature.
      integral += (alpha * (this.endP[at]! - p) - beta * (this.endQ[at]! - q)) / (alpha * alpha + beta * beta);
      ends += p + this.endP[at]!;
    }
    this.integral[i] = integral;
    // It crosses no level within, so its ends tell its side.
    this.sign[i] = ends < 0 ? -1 : 1;
    if (ends < 0) this.goesBelow = true;
    this.count = i + 1;
  }

  /** The air within a piece. */
  valueAt(i: number, t: number): number {
    let y = this.a[i]! + t * this.b[i]!;
    for (let k = 0; k < this.modes[i]!; k++) {
      const at = i * MOST_MODES + k;
      const growth = Math.exp(this.alpha[at]! * t);
      const turn = this.beta[at]! * t;
      y += turn === 0 ? this.p[at]! * growth : growth * (this.p[at]! * Math.cos(turn) + this.q[at]! * Math.sin(turn));
    }
    return y;
  }

  /** ∫₀ᵗ of the air within a piece. */
  integralTo(i: number, t: number): number {
    let sum = t * (this.a[i]! + (t * this.b[i]!) / 2);
    for (let k = 0; k < this.modes[i]!; k++) {
      const at = i * MOST_MODES + k;
      const alpha = this.alpha[at]!;
      const beta = this.beta[at]!;
      const p = this.p[at]!;
      const q = this.q[at]!;
      if (beta === 0) {
        sum += (p * Math.expm1(alpha * t)) / alpha;
        continue;
      }
      const growth = Math.exp(alpha * t);
      const cos = Math.cos(beta * t);
      const sin = Math.sin(beta * t);
      const y = growth * (p * cos + q * sin);
      const z = growth * (q * cos - p * sin);
      sum += (alpha * (y - p) - beta * (z - q)) / (alpha * alpha + beta * beta);
    }
    return sum;
  }

  #room(): void {
    if (this.count < this.hour.length) return;
    const room = Math.max(512, 2 * this.hour.length);
    for (const name of ['startS', 'durationS', 'a', 'b', 'integral'] as const)
      this[name] = grown(this[name], new Float64Array(room));
    for (const name of ['alpha', 'beta', 'p', 'q', 'endP', 'endQ'] as const)
      this[name] = grown(this[name], new Float64Array(room * MOST_MODES));
    for (const name of ['hour', 'stretch'] as const) this[name] = grown(this[name], new Int32Array(room));
    for (const name of ['modes', 'supply'] as const) this[name] = grown(this[name], new Uint8Array(room));
    this.sign = grown(this.sign, new Int8Array(room));
  }
}

/** Crossings closer than this to each other are one. */
const SHORTEST_S = 1e-6;

/** A mode's coefficients with its clock set forward by `t`. */
function turnP({ alpha, beta, p, q }: Course, k: number, t: number): number {
  return Math.exp(alpha[k]! * t) * (p[k]! * Math.cos(beta[k]! * t) + q[k]! * Math.sin(beta[k]! * t));
}

function turnQ({ alpha, beta, p, q }: Course, k: number, t: number): number {
  return Math.exp(alpha[k]! * t) * (q[k]! * Math.cos(beta[k]! * t) - p[k]! * Math.sin(beta[k]! * t));
}
