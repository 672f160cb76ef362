import { MOST_MODES, offResonance } from './course.ts';
import { decay } from './decay.ts';
import { grown } from './zone-track.ts';

/** Temperatures of the air, per stretch of the track, that a piece of it must not cross within. */
export type Levels = (stretch: number, into: Float64Array) => number;

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

/**
 * Where the numbers of a piece stand in its row: start [s from the air's first hour], length [s], the air as
 * a + b·t + Σ p·e^(αt) with t from the piece's start, its integral [K·s], and every mode at its end.
 */
export const START_S = 0;
export const DURATION_S = 1;
export const A = 2;
export const B = 3;
export const INTEGRAL = 4;
export const P = 5;
export const END_P = P + MOST_MODES;
export const PIECE = 16;

/**
 * Where the whole numbers of a piece stand in its row of marks: its hour, the index of its system, the class of its
 * wind, how many modes it has and whether any turns (1), whether it is above freezing within (1) or below (−1), whether it
 * is a whole hour in which no mode turns (1), so that what follows it is known by its system alone, the first piece
 * after it that is on the other side of freezing, and the supplies of its stretch.
 */
export const HOUR = 0;
export const SYSTEM = 1;
export const WIND = 2;
export const MODES = 3;
export const TURNS = 4;
export const SIGN = 5;
export const WHOLE = 6;
export const NEXT_SIGN = 7;
export const SUPPLY = 8;
export const MARKS = 9;

/**
 * Where the numbers of a system stand in a zone's row of it, each by mode, the zone's own last: α, β, how far a mode
 * has come after a whole hour and its integral until then [s], and what the zone's air takes of the mode's weight.
 */
export const ALPHA = 0;
export const BETA = ALPHA + MOST_MODES;
export const GROWTH = BETA + MOST_MODES;
export const HOUR_INTEGRAL = GROWTH + MOST_MODES;
export const TAKES = HOUR_INTEGRAL + MOST_MODES;
export const RATES = TAKES + MOST_MODES;

/** Time constants after which a body has forgotten what it was: e^−36 of 100 K is 2e−14 K. */
const FORGOTTEN = 36;

/**
 * The air of one zone, piece by piece: arrays that are filled anew for every member and grow only when a member has more
 * pieces than any before it. A piece stands in one row.
 */
export class AirPieces {
  count = 0;
  /** By piece. */
  numbers = new Float64Array(0);
  marks = new Int32Array(0);
  /** By system. */
  rates = new Float64Array(0);
  /** Quadrature of the modes that turn, at the start and at the end: MOST_MODES by piece. */
  q = new Float64Array(0);
  endQ = new Float64Array(0);
  /** Highest index of a system in it. */
  lastSystem = 0;
  /** Where the zone with a lag was at the end of the last piece [°C]. In an array, so that no number is boxed. */
  readonly lagged = new Float64Array(1);
  /** Whether it is ever below freezing. */
  goesBelow = false;

  startS(i: number): number {
    return this.numbers[i * PIECE + START_S]!;
  }

  durationS(i: number): number {
    return this.numbers[i * PIECE + DURATION_S]!;
  }

  hour(i: number): number {
    return this.marks[i * MARKS + HOUR]!;
  }

  wind(i: number): number {
    return this.marks[i * MARKS + WIND]!;
  }

  /** First piece that ends after an instant [s from the first hour]; `count` if there is none. */
  firstEndingAfter(atS: number): number {
    let low = 0;
    let high = this.count;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.startS(middle) + this.durationS(middle) > atS) high = middle;
      else low = middle + 1;
    }
    return low;
  }

  /**
   * The piece from which on a body that follows at a rate [1/s] must be followed, if no sooner than `i`, to be known
   * where the air comes to the other side of freezing next.
   */
  remembered(i: number, rate: number): number {
    const { numbers, marks } = this;
    let from = marks[i * MARKS + NEXT_SIGN]!;
    const forgottenS = numbers[from * PIECE]! - FORGOTTEN / rate;
    while (from > i && numbers[from * PIECE]! > forgottenS) from--;
    return from;
  }

  /** The rate at which a body follows a piece, which is no mode's of it [1/s]. */
  rateIn(i: number, rate: number): number {
    const { marks, rates } = this;
    const system = marks[i * MARKS + SYSTEM]! * RATES;
    const modes = marks[i * MARKS + MODES]!;
    let own = rate;
    for (let k = 0; k < modes; k++)
      if (rates[system + BETA + k] === 0) own = offResonance(own, -rates[system + ALPHA + k]!);
    return own;
  }

  /** Looks at the air's value, slope and integral. */
  look(i: number, moment: Moment): void {
    const { numbers, marks, rates } = this;
    const mark = i * MARKS;
    if (marks[mark + TURNS] === 1) {
      this.#lookTurning(i, moment);
      return;
    }
    const { t } = moment;
    const row = i * PIECE;
    const system = marks[mark + SYSTEM]! * RATES;
    const modes = marks[mark + MODES]!;
    const a = numbers[row + A]!;
    const b = numbers[row + B]!;
    let y = a + b * t;
    let slope = b;
    let sum = t * (a + (b * t) / 2);
    for (let k = 0; k < modes; k++) {
      const alpha = rates[system + k]!;
      const p0 = numbers[row + P + k]!;
      const p1 = p0 * decay(alpha * t);
      y += p1;
      slope += alpha * p1;
      sum += (p1 - p0) / alpha;
    }
    moment.airC = y;
    moment.slope = slope;
    moment.kelvinSeconds = sum;
  }

  /** Looks at the air's value and slope, and at what a body tends to follow. */
  lookFollowed(i: number, moment: Moment): void {
    const { numbers, marks, rates } = this;
    const mark = i * MARKS;
    if (marks[mark + TURNS] === 1) {
      this.#lookTurning(i, moment);
      return;
    }
    const { t, rate } = moment;
    const row = i * PIECE;
    const system = marks[mark + SYSTEM]! * RATES;
    const modes = marks[mark + MODES]!;
    const b = numbers[row + B]!;
    let y = numbers[row + A]! + b * t;
    let slope = b;
    let followed = y - b / rate;
    for (let k = 0; k < modes; k++) {
      const alpha = rates[system + k]!;
      const p1 = numbers[row + P + k]! * decay(alpha * t);
      y += p1;
      slope += alpha * p1;
      followed += (rate * p1) / (rate + alpha);
    }
    moment.airC = y;
    moment.slope = slope;
    moment.followedC = followed;
  }

  #lookTurning(i: number, moment: Moment): void {
    const { numbers, marks, rates, q } = this;
    const { t, rate } = moment;
    const row = i * PIECE;
    const system = marks[i * MARKS + SYSTEM]! * RATES;
    const a = numbers[row + A]!;
    const b = numbers[row + B]!;
    let y = a + b * t;
    let slope = b;
    let sum = t * (a + (b * t) / 2);
    let followed = y - b / rate;
    for (let k = 0; k < marks[i * MARKS + MODES]!; k++) {
      const alpha = rates[system + ALPHA + k]!;
      const beta = rates[system + BETA + k]!;
      const p0 = numbers[row + P + k]!;
      const q0 = beta === 0 ? 0 : q[i * MOST_MODES + k]!;
      const growth = decay(alpha * t);
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
    const { numbers } = this;
    const row = i * PIECE;
    const modes = this.marks[i * MARKS + MODES]!;
    let y = numbers[row + A]! + numbers[row + B]! * numbers[row + DURATION_S]!;
    for (let k = 0; k < modes; k++) y += numbers[row + END_P + k]!;
    return y;
  }

  /** The air within a piece. */
  valueAt(i: number, t: number): number {
    this.#moment.t = t;
    this.look(i, this.#moment);
    return this.#moment.airC;
  }

  readonly #moment = new Moment();

  /**
   * Once all pieces are there.
   *
   * @param known - so many of the first were there before: where one of them turns when it did, so do those before it
   */
  protected findTurns(known: number): void {
    const { count, marks } = this;
    for (let i = count - 1; i >= 0; i--) {
      const mark = i * MARKS;
      const goesOn = i + 1 < count && marks[mark + MARKS + SIGN] === marks[mark + SIGN];
      const next = goesOn ? marks[mark + MARKS + NEXT_SIGN]! : i + 1;
      if (i < known && marks[mark + NEXT_SIGN] === next) return;
      marks[mark + NEXT_SIGN] = next;
    }
  }

  /** For so many more pieces. */
  protected makeRoom(pieces: number): void {
    const have = this.marks.length / MARKS;
    if (this.count + pieces <= have) return;
    const room = Math.max(this.count + pieces, 2 * have);
    this.numbers = grown(this.numbers, new Float64Array(room * PIECE));
    this.marks = grown(this.marks, new Int32Array(room * MARKS));
    this.q = grown(this.q, new Float64Array(room * MOST_MODES));
    this.endQ = grown(this.endQ, new Float64Array(room * MOST_MODES));
  }
}
