import { HOUR_S } from '../quantity/instant.ts';
import { MOST_MODES, offResonance } from './course.ts';
import type { System } from './linear-system.ts';
import { ZoneTrack, grown } from './zone-track.ts';

/** What there is to know of the air at one instant of a piece. A register: set `t` and `rate`, then look. */
export class Moment {
  /** From the start of the piece [s]. */
  t = Number.NaN;
  /** Of a body that follows the air [1/s]. */
  rate = Number.NaN;
  airC = Number.NaN;
  /** Of the air [K/s]. */
  slope = Number.NaN;
  /** ∫air from the start of the piece [K·s]. */
  kelvinSeconds = Number.NaN;
  /** What the body tends to follow: the particular solution of its equation [°C]. */
  followedC = Number.NaN;
}

/** What `whole` says of a piece. */
export const WHOLE = 1;

/**
 * The air of one zone, piece by piece. Arrays that are filled anew for every member and grow only when a member has
 * more pieces than any before it.
 */
export class AirPieces {
  count = 0;
  hour = new Int32Array(0);
  startS = new Float64Array(0);
  durationS = new Float64Array(0);
  /** Within a piece y = a + b·t + Σ e^(αt)·(p·cos βt + q·sin βt), t from its start. */
  a = new Float64Array(0);
  b = new Float64Array(0);
  modes = new Uint8Array(0);
  p = new Float64Array(0);
  /** Set where β is not 0 only. */
  q = new Float64Array(0);
  /** Each mode at the end of the piece, and, where β is not 0, its quadrature there. */
  endP = new Float64Array(0);
  endQ = new Float64Array(0);
  /** ∫y over the piece [K·s]. */
  integral = new Float64Array(0);
  /** Whether it is above freezing within: 1, or below: −1. */
  sign = new Int8Array(0);
  supply = new Uint8Array(0);
  /** Stretch of the zone track that the piece lies in. */
  stretch = new Int32Array(0);
  /** Index of the stretch's system. */
  system = new Int32Array(0);
  /** 1: a whole hour in which no mode turns, so that what follows it is known by system and mode alone. */
  whole = new Uint8Array(0);
  /** First piece after it that is on the other side of freezing. */
  turn = new Int32Array(0);
  /** Highest index of a system in it. */
  lastSystem = 0;
  /** Whether it is ever below freezing. */
  goesBelow = false;
  /** Time constant of the zone [s]; 0: none. If there is one, the zone's own mode is the last of a piece. */
  readonly lagS: number;
  /** Of the zone's own mode over a whole hour. */
  protected readonly lagGrowth: number;
  protected track = new ZoneTrack();

  constructor(lagS: number) {
    this.lagS = lagS;
    this.lagGrowth = lagS > 0 ? Math.exp(-HOUR_S / lagS) : 0;
  }

  /** Begins anew, with pieces of another track. */
  protected empty(track: ZoneTrack): void {
    this.track = track;
    this.count = 0;
    this.goesBelow = false;
    this.lastSystem = 0;
  }

  /** Says which stretch the next piece lies in, and counts it. */
  protected place(stretch: number): void {
    const track = this.track;
    const i = this.count;
    const { index } = track.systems[stretch]!;
    this.hour[i] = track.hour[stretch]!;
    this.stretch[i] = stretch;
    this.system[i] = index;
    this.supply[i] = track.supply[stretch]!;
    if (this.sign[i]! < 0) this.goesBelow = true;
    if (index > this.lastSystem) this.lastSystem = index;
    this.count = i + 1;
  }

  /** Once all pieces are there. */
  protected findTurns(): void {
    const { count, sign, turn } = this;
    for (let i = count - 1; i >= 0; i--)
      turn[i] = i + 1 < count && sign[i + 1] === sign[i] ? turn[i + 1]! : i + 1;
  }

  /** First piece that ends after an instant [s from the first hour]; `count` if there is none. */
  firstEndingAfter(atS: number): number {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.startS[middle]! + this.durationS[middle]! > atS) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /** α of a piece's mode [1/s]. */
  alphaOf(i: number, k: number): number {
    const { alpha } = this.#systemOf(i);
    return this.lagS > 0 && k === this.modes[i]! - 1 ? -1 / this.lagS : alpha[k]!;
  }

  /** β of a piece's mode [1/s]. */
  betaOf(i: number, k: number): number {
    const { beta } = this.#systemOf(i);
    return this.lagS > 0 && k === this.modes[i]! - 1 ? 0 : beta[k]!;
  }

  /** How far a piece's mode has come after a whole hour. */
  hourGrowthOf(i: number, k: number): number {
    const { hourCos } = this.#systemOf(i);
    return this.lagS > 0 && k === this.modes[i]! - 1 ? this.lagGrowth : hourCos[k]!;
  }

  #systemOf(i: number): System {
    return this.track.systems[this.stretch[i]!]!;
  }

  look(i: number, moment: Moment): void {
    const { t, rate } = moment;
    const { p, q, modes } = this;
    const a = this.a[i]!;
    const b = this.b[i]!;
    let y = a + b * t;
    let slope = b;
    let sum = t * (a + (b * t) / 2);
    let followed = y - b / rate;
    const own = modes[i]!;
    for (let k = 0; k < own; k++) {
      const alpha = this.alphaOf(i, k);
      const beta = this.betaOf(i, k);
      const at = i * MOST_MODES + k;
      const p0 = p[at]!;
      const growth = t === 0 ? 1 : Math.exp(alpha * t);
      if (beta === 0) {
        const p1 = p0 * growth;
        y += p1;
        slope += alpha * p1;
        sum += (p1 - p0) / alpha;
        followed += (rate * p1) / offResonance(rate + alpha, 0, rate);
        continue;
      }
      const q0 = q[at]!;
      const cos = growth * Math.cos(beta * t);
      const sin = growth * Math.sin(beta * t);
      const p1 = p0 * cos + q0 * sin;
      const q1 = q0 * cos - p0 * sin;
      const re = rate + alpha;
      y += p1;
      slope += alpha * p1 + beta * q1;
      sum += (alpha * (p1 - p0) - beta * (q1 - q0)) / (alpha * alpha + beta * beta);
      followed += (rate * (p1 * re - q1 * beta)) / (re * re + beta * beta);
    }
    moment.airC = y;
    moment.slope = slope;
    moment.kelvinSeconds = sum;
    moment.followedC = followed;
  }

  /** The air at the end of a piece. */
  endOf(i: number): number {
    let y = this.a[i]! + this.b[i]! * this.durationS[i]!;
    for (let k = 0; k < this.modes[i]!; k++) y += this.endP[i * MOST_MODES + k]!;
    return y;
  }

  /** The air within a piece. */
  valueAt(i: number, t: number): number {
    let y = this.a[i]! + t * this.b[i]!;
    for (let k = 0; k < this.modes[i]!; k++) {
      const at = i * MOST_MODES + k;
      const growth = Math.exp(this.alphaOf(i, k) * t);
      const turn = this.betaOf(i, k) * t;
      y +=
        turn === 0
          ? this.p[at]! * growth
          : growth * (this.p[at]! * Math.cos(turn) + this.q[at]! * Math.sin(turn));
    }
    return y;
  }

  /** For so many more pieces. */
  protected makeRoom(pieces: number): void {
    if (this.count + pieces <= this.hour.length) return;
    const room = Math.max(this.count + pieces, 2 * this.hour.length);
    for (const name of ['startS', 'durationS', 'a', 'b', 'integral'] as const)
      this[name] = grown(this[name], new Float64Array(room));
    for (const name of ['p', 'q', 'endP', 'endQ'] as const)
      this[name] = grown(this[name], new Float64Array(room * MOST_MODES));
    for (const name of ['hour', 'stretch', 'system', 'turn'] as const)
      this[name] = grown(this[name], new Int32Array(room));
    for (const name of ['modes', 'supply', 'whole'] as const)
      this[name] = grown(this[name], new Uint8Array(room));
    this.sign = grown(this.sign, new Int8Array(room));
  }
}
