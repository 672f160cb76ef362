import { HOUR_S } from '../quantity/instant.ts';
import { AirPieces, WHOLE } from './air-pieces.ts';
import { Course, MOST_MODES, offResonance } from './course.ts';
import type { Network, ZoneId } from './unit.ts';
import { MOST_NODES, type ZoneTrack } from './zone-track.ts';

/** Temperatures of the air, per stretch of the track, that a piece of it must not cross within. */
export type Levels = (stretch: number, into: Float64Array) => number;

/** Most levels a part can ask for: freezing, its heater's reach below it, its thermostat with and without. */
const MOST_LEVELS = 4;

/**
 * The air of one zone in pieces within which it crosses none of its levels; by default one, freezing. Whatever
 * follows the air of such a piece then moves one way only, so that each line is passed once at most.
 *
 * Filled anew for every member; grows only when a member has more pieces than any before it.
 */
export class AirTrack extends AirPieces {
  readonly #course = new Course();
  readonly #level = new Course();
  readonly #levels = new Float64Array(MOST_LEVELS);
  /** The piece at hand [s from the start of its stretch], and what it must not cross. */
  readonly #piece = { from: Number.NaN, to: Number.NaN, level: Number.NaN };
  /** Where the zone with a lag was at the end of the last stretch [°C]. In an array, so that no number is boxed. */
  readonly #lagged = new Float64Array(1);
  /** ∫ of the zone's own mode over a whole hour [s]. */
  readonly #lagIntegral: number;
  /** Rows of the nodes that the air is drawn from. */
  readonly #rows: Int32Array;
  readonly #weights: Float64Array;
  readonly #outsideWeight: number;

  constructor({ nodes, zones }: Network, zone: ZoneId) {
    const { of, lagS } = zones[zone];
    super(lagS);
    this.#lagIntegral = lagS > 0 ? -Math.expm1(-HOUR_S / lagS) * lagS : 0;
    const drawn = of.filter(({ end }) => end !== 'outside');
    this.#rows = Int32Array.from(drawn, ({ end }) => nodes.findIndex((n) => n.id === end));
    this.#weights = Float64Array.from(drawn, ({ weight }) => weight);
    this.#outsideWeight = of.reduce((sum, { end, weight }) => sum + (end === 'outside' ? weight : 0), 0);
  }

  /** The zone's air through all stretches of a track, cut at its levels. */
  fill(track: ZoneTrack, levels?: Levels): void {
    this.empty(track);
    // Nearly all stretches are one piece each.
    this.makeRoom(Math.ceil(1.1 * track.count));
    this.#lagged[0] = Number.NaN;
    for (let stretch = 0; stretch < track.count; stretch++) {
      const started = stretch > 0 || this.lagS === 0;
      if (levels === undefined && started) stretch = this.#addWholeFrom(stretch);
      if (stretch === track.count) break;
      this.#read(stretch);
      if (this.lagS > 0) this.#lag(stretch);
      this.#cut(stretch, levels);
    }
    this.findTurns();
  }

  /**
   * Adds stretches that need no cut, as nearly all do: whole hours in which no mode turns, on one side of freezing by
   * the bounds of every term. Returns the first that is not like this. The same as `#read`, `#lag` and `#cut` with
   * less to ask.
   */
  #addWholeFrom(from: number): number {
    const { count, durationS } = this.track;
    let stretch = from;
    while (
      stretch < count &&
      durationS[stretch] === HOUR_S &&
      this.#drawWhole(stretch) &&
      this.#addWhole(stretch)
    )
      stretch++;
    return stretch;
  }

  /** Writes what the zone is drawn from into the next piece; false where a mode turns. */
  #drawWhole(stretch: number): boolean {
    this.makeRoom(1);
    const track = this.track;
    const { alpha, beta } = track.systems[stretch]!;
    const { count: i, p } = this;
    const drawn = this.#rows.length;
    const own = drawn === 0 ? 0 : alpha.length;
    let a = this.#outsideWeight * track.outsideA[stretch]!;
    let b = this.#outsideWeight * track.outsideB[stretch]!;
    const first = i * MOST_MODES;
    for (let r = 0; r < drawn; r++) {
      const weight = this.#weights[r]!;
      const node = stretch * MOST_NODES + this.#rows[r]!;
      a += weight * track.a[node]!;
      b += weight * track.b[node]!;
      const from = node * MOST_NODES;
      for (let k = 0; k < own; k++) {
        const share = weight * track.p[from + k]!;
        p[first + k] = r === 0 ? share : p[first + k]! + share;
      }
    }
    for (let k = 0; k < own; k++) if (beta[k] !== 0) return false;
    this.a[i] = a - b * this.lagS;
    this.b[i] = b;
    this.modes[i] = own;
    return true;
  }

  /** Adds the piece that was drawn, followed with the zone's lag; false where it may cross freezing. */
  #addWhole(stretch: number): boolean {
    const track = this.track;
    const { alpha, hourCos, hourIntegral } = track.systems[stretch]!;
    const { count: i, p, endP, lagS } = this;
    const own = this.modes[i]!;
    let start = this.a[i]!;
    const run = HOUR_S * this.b[i]!;
    let end = start + run;
    let low = Math.min(start, end);
    let high = Math.max(start, end);
    let sum = HOUR_S * (start + run / 2);
    const first = i * MOST_MODES;
    for (let k = 0; k < own; k++) {
      const p0 = p[first + k]! / offResonance(1 + alpha[k]! * lagS, 0, 1);
      const p1 = p0 * hourCos[k]!;
      p[first + k] = p0;
      endP[first + k] = p1;
      start += p0;
      end += p1;
      low += Math.min(p0, p1);
      high += Math.max(p0, p1);
      sum += p0 * hourIntegral[k]!;
    }
    if (lagS > 0) {
      const p0 = this.#lagged[0]! - start;
      const p1 = p0 * this.lagGrowth;
      p[first + own] = p0;
      endP[first + own] = p1;
      end += p1;
      low += Math.min(p0, p1);
      high += Math.max(p0, p1);
      sum += p0 * this.#lagIntegral;
    }
    if (low <= 0 && high >= 0) return false;
    this.#lagged[0] = end;
    this.modes[i] = lagS > 0 ? own + 1 : own;
    this.integral[i] = sum;
    this.sign[i] = low > 0 ? 1 : -1;
    this.whole[i] = WHOLE;
    this.startS[i] = track.startS[stretch]!;
    this.durationS[i] = HOUR_S;
    this.place(stretch);
    return true;
  }

  /** What the zone's air is drawn from. */
  #read(stretch: number): void {
    const track = this.track;
    const course = this.#course;
    if (this.#rows.length === 0) course.setLine(0, 0);
    else track.clear(course, stretch);
    for (let r = 0; r < this.#rows.length; r++)
      track.addNode(course, stretch * MOST_NODES + this.#rows[r]!, this.#weights[r]!);
    course.a += this.#outsideWeight * track.outsideA[stretch]!;
    course.b += this.#outsideWeight * track.outsideB[stretch]!;
  }

  /** The course becomes that of what follows it with the zone's lag, from where the last stretch ended. */
  #lag(stretch: number): void {
    const course = this.#course;
    const rate = 1 / this.lagS;
    const start = Number.isNaN(this.#lagged[0]!) ? course.valueAt(0) : this.#lagged[0]!;
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
    this.#lagged[0] = course.valueAt(this.track.durationS[stretch]!);
  }

  /** Cuts a stretch where its air crosses a level. */
  #cut(stretch: number, levels: Levels | undefined): void {
    const durationS = this.track.durationS[stretch]!;
    this.#levels[0] = 0;
    const count = levels === undefined ? 1 : levels(stretch, this.#levels);
    const piece = this.#piece;
    piece.from = 0;
    while (piece.from < durationS) {
      piece.to = durationS;
      for (let i = 0; i < count; i++) {
        piece.level = this.#levels[i]!;
        this.#cross();
      }
      this.#add(stretch);
      piece.from = piece.to;
    }
  }

  /** Ends the piece at hand where the air comes to the other side of its level, if it does before. */
  #cross(): void {
    const course = this.#course;
    const piece = this.#piece;
    const { from, to, level } = piece;
    if (course.count === 0) {
      if (course.b === 0) return;
      const at = (level - course.a) / course.b;
      if (at > from + SHORTEST_S && at < to) piece.to = at;
      return;
    }
    // Where it starts on the level, the side it then takes is its own.
    const after = from + SHORTEST_S;
    if (after >= to) return;
    const { span } = this.#level;
    span.tolerance = 0;
    this.#level.setScaled(course, 1, -level);
    span.from = after;
    span.to = to;
    this.#level.findBelow();
    if (span.found === after) {
      this.#level.setScaled(course, -1, level);
      span.from = after;
      span.to = to;
      this.#level.findBelow();
    }
    if (span.found > after && span.found < to) piece.to = span.found;
  }

  /** Adds a piece of the course at hand. */
  #add(stretch: number): void {
    this.makeRoom(1);
    const i = this.count;
    const course = this.#course;
    const { from, to } = this.#piece;
    const durationS = to - from;
    this.a[i] = course.a + from * course.b;
    this.b[i] = course.b;
    this.modes[i] = course.count;
    let sum = durationS * (this.a[i] + (durationS * course.b) / 2);
    let turns = false;
    for (let k = 0; k < course.count; k++) {
      const alpha = course.alpha[k]!;
      const beta = course.beta[k]!;
      const at = i * MOST_MODES + k;
      const growth = Math.exp(alpha * durationS);
      if (beta === 0) {
        const p = from === 0 ? course.p[k]! : course.p[k]! * Math.exp(alpha * from);
        this.p[at] = p;
        this.endP[at] = p * growth;
        sum += (p * Math.expm1(alpha * durationS)) / alpha;
        continue;
      }
      turns = true;
      const p = turnP(course, k, from);
      const q = turnQ(course, k, from);
      const cos = growth * Math.cos(beta * durationS);
      const sin = growth * Math.sin(beta * durationS);
      this.p[at] = p;
      this.q[at] = q;
      this.endP[at] = p * cos + q * sin;
      this.endQ[at] = q * cos - p * sin;
      // ∫ of the mode is (α·y − β·z)/(α² + β²) with z its quadrature.
      sum += (alpha * (this.endP[at] - p) - beta * (this.endQ[at] - q)) / (alpha * alpha + beta * beta);
    }
    this.integral[i] = sum;
    // It crosses no level within; between two crossings both its ends are at freezing, its middle is not.
    this.sign[i] = course.valueAt(from + durationS / 2) < 0 ? -1 : 1;
    this.whole[i] = durationS === HOUR_S && !turns ? WHOLE : 0;
    this.startS[i] = this.track.startS[stretch]! + from;
    this.durationS[i] = durationS;
    this.place(stretch);
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
