import { HOUR_S } from '../quantity/instant.ts';
import { AirPast } from './air-past.ts';
import {
  A,
  ALPHA,
  AirPieces,
  B,
  BETA,
  DURATION_S,
  END_P,
  GROWTH,
  HOUR,
  HOUR_INTEGRAL,
  INTEGRAL,
  MARKS,
  MODES,
  P,
  PIECE,
  RATES,
  SIGN,
  START_S,
  SUPPLY,
  SYSTEM,
  TAKES,
  TURNS,
  WHOLE,
  WIND,
  type Levels,
} from './air-pieces.ts';
import { Course, MOST_MODES, turnP, turnQ } from './course.ts';
import { decay } from './decay.ts';
import { MOST_NODES, type System } from './linear-system.ts';
import type { Network, ZoneId } from './unit.ts';
import {
  OUTSIDE_A,
  OUTSIDE_B,
  SLOPE,
  STRETCH,
  TENDS,
  WEIGHT,
  ZoneTrack,
  grown,
  type Share,
} from './zone-track.ts';

/** Most levels a part can ask for: freezing and its thermostat, and each less its heater's reach, of three strengths. */
const MOST_LEVELS = 8;

/**
 * The air of one zone in pieces within which it crosses none of its levels; by default one, freezing. Whatever
 * follows the air of such a piece then moves one way only, so that each line is passed once at most.
 *
 * Filled anew for every member; grows only when a member has more pieces than any before it.
 */
export class AirTrack extends AirPieces {
  /** Time constant of the zone [s]; 0: none. If there is one, the zone's own mode is the last of a piece. */
  readonly lagS: number;
  readonly #course = new Course();
  readonly #level = new Course();
  readonly #levels = new Float64Array(MOST_LEVELS);
  /** The piece at hand [s from the start of its stretch], and what it must not cross. */
  readonly #piece = { from: Number.NaN, to: Number.NaN, level: Number.NaN };
  readonly #past = new AirPast();
  /** The nodes that the air is drawn from. */
  readonly #drawn: readonly Share[];
  readonly #nodes: Int32Array;
  readonly #weights: Float64Array;
  readonly #outsideWeight: number;
  /** Nodes of the network, none where the air is drawn from outside alone. */
  readonly #own: number;
  #track = new ZoneTrack();
  /** Systems whose numbers stand in `rates`. */
  #met = new Uint8Array(0);

  constructor({ nodes, zones }: Network, zone: ZoneId) {
    super();
    const { of, lagS } = zones[zone];
    this.lagS = lagS;
    this.#drawn = of
      .filter(({ end }) => end !== 'outside')
      .map(({ end, weight }) => ({ node: nodes.findIndex((n) => n.id === end), weight }));
    this.#nodes = Int32Array.from(this.#drawn, ({ node }) => node);
    this.#weights = Float64Array.from(this.#drawn, ({ weight }) => weight);
    this.#outsideWeight = of.reduce((sum, { end, weight }) => sum + (end === 'outside' ? weight : 0), 0);
    this.#own = this.#drawn.length === 0 ? 0 : nodes.length;
  }

  /** The zone's air through all stretches of a track, cut at its levels. */
  fill(track: ZoneTrack, levels?: Levels): void {
    this.#track = track;
    const goesOn = this.#past.resume(this, track, levels);
    if (!goesOn) this.#begin(levels);
    const known = goesOn ? this.count : 0;
    this.#addStretches(track.past, track.count, levels);
    this.findTurns(known);
  }

  /** From the first stretch to the end of what the next member has, too. */
  #begin(levels: Levels | undefined): void {
    const track = this.#track;
    this.count = 0;
    this.goesBelow = false;
    this.lastSystem = 0;
    this.lagged[0] = Number.NaN;
    // Nearly all stretches are one piece each.
    this.makeRoom(Math.ceil(1.1 * track.count));
    this.#addStretches(0, track.past, levels);
    this.#past.keep(this, track, levels);
  }

  #addStretches(from: number, to: number, levels: Levels | undefined): void {
    const track = this.#track;
    for (let stretch = from; stretch < to; stretch++) {
      const started = stretch > 0 || this.lagS === 0;
      if (levels === undefined && started) stretch = this.#addWholeFrom(stretch, to);
      if (stretch === to) break;
      this.#use(track.systems[stretch]!);
      this.#read(stretch);
      if (this.lagS > 0) this.#lag(stretch);
      this.#cut(stretch, levels);
    }
  }

  #use(system: System): void {
    if (system.index > this.lastSystem) this.lastSystem = system.index;
    if (this.#met[system.index] !== 1) this.#meet(system);
  }

  /** Computes what the zone keeps of a system. */
  #meet({ index, alpha, beta, hourGrowth, hourIntegral, vectors }: System): void {
    if (index >= this.#met.length) {
      this.#met = grown(this.#met, new Uint8Array(2 * index + 2));
      this.rates = grown(this.rates, new Float64Array(this.#met.length * RATES));
    }
    this.#met[index] = 1;
    const { rates, lagS } = this;
    const own = this.#own;
    const row = index * RATES;
    for (let k = 0; k < own; k++) {
      rates[row + ALPHA + k] = alpha[k]!;
      rates[row + BETA + k] = beta[k]!;
      rates[row + GROWTH + k] = hourGrowth[k]!;
      rates[row + HOUR_INTEGRAL + k] = hourIntegral[k]!;
      const takes = this.#drawn.reduce(
        (sum, { node, weight }) => sum + weight * vectors[node * MOST_NODES + k]!,
        0,
      );
      rates[row + TAKES + k] = takes / (1 + alpha[k]! * lagS);
    }
    if (lagS === 0) return;
    rates[row + ALPHA + own] = -1 / lagS;
    rates[row + BETA + own] = 0;
    rates[row + GROWTH + own] = Math.exp(-HOUR_S / lagS);
    rates[row + HOUR_INTEGRAL + own] = -Math.expm1(-HOUR_S / lagS) * lagS;
  }

  /**
   * Adds stretches that need no cut, as nearly all do: whole hours in which no mode turns, on one side of freezing by
   * the bounds of every term. Returns the first that is not like this. The same as `#read`, `#lag` and `#cut` with
   * less to ask.
   */
  #addWholeFrom(from: number, to: number): number {
    const track = this.#track;
    const { systems } = track;
    const own = this.#own;
    let stretch = from;
    this.makeRoom(to - from);
    for (; stretch < to; stretch++) {
      const system = systems[stretch]!;
      if (system.turns && own > 0) break;
      if (track.durationS(stretch) !== HOUR_S) break;
      this.#use(system);
      if (!this.#addWhole(stretch, system.index)) break;
      this.#place(stretch, system);
    }
    return stretch;
  }

  /** Writes a whole hour, followed with the zone's lag, as the next piece; false where it may cross freezing. */
  #addWhole(stretch: number, index: number): boolean {
    const { rows } = this.#track;
    const { count: i, numbers, rates, lagS } = this;
    const own = this.#own;
    const from = stretch * STRETCH;
    const row = i * PIECE;
    const system = index * RATES;
    let a = this.#outsideWeight * rows[from + OUTSIDE_A]!;
    let b = this.#outsideWeight * rows[from + OUTSIDE_B]!;
    const weights = this.#weights;
    const nodes = this.#nodes;
    for (let r = 0; r < nodes.length; r++) {
      const node = nodes[r]!;
      const weight = weights[r]!;
      a += weight * rows[from + TENDS + node]!;
      b += weight * rows[from + SLOPE + node]!;
    }
    a -= b * lagS;
    const run = HOUR_S * b;
    let start = a;
    let end = a + run;
    let low = run < 0 ? end : a;
    let high = run < 0 ? a : end;
    let sum = HOUR_S * (a + run / 2);
    const modes = lagS > 0 ? own + 1 : own;
    const lagged = this.lagged[0]!;
    for (let k = 0; k < modes; k++) {
      const p0 = k < own ? rows[from + WEIGHT + k]! * rates[system + TAKES + k]! : lagged - start;
      const p1 = p0 * rates[system + GROWTH + k]!;
      numbers[row + P + k] = p0;
      numbers[row + END_P + k] = p1;
      start += p0;
      end += p1;
      low += p0 < p1 ? p0 : p1;
      high += p0 < p1 ? p1 : p0;
      sum += p0 * rates[system + HOUR_INTEGRAL + k]!;
    }
    if (low <= 0 && high >= 0) return false;
    this.lagged[0] = end;
    numbers[row + START_S] = rows[from]!;
    numbers[row + DURATION_S] = HOUR_S;
    numbers[row + A] = a;
    numbers[row + B] = b;
    numbers[row + INTEGRAL] = sum;
    const { marks } = this;
    const mark = i * MARKS;
    marks[mark + MODES] = modes;
    marks[mark + TURNS] = 0;
    marks[mark + SIGN] = low > 0 ? 1 : -1;
    marks[mark + WHOLE] = 1;
    return true;
  }

  /** Says which stretch the next piece lies in, and counts it. */
  #place(stretch: number, { index, windClass }: System): void {
    const { marks } = this;
    const mark = this.count * MARKS;
    marks[mark + HOUR] = this.#track.hour[stretch]!;
    marks[mark + SYSTEM] = index;
    marks[mark + WIND] = windClass;
    marks[mark + SUPPLY] = this.#track.supply[stretch]!;
    if (marks[mark + SIGN]! < 0) this.goesBelow = true;
    this.count++;
  }

  /** What the zone's air is drawn from. */
  #read(stretch: number): void {
    const track = this.#track;
    const course = this.#course;
    if (this.#own === 0) course.setLine(0, 0);
    else track.clear(course, stretch);
    for (const share of this.#drawn) track.addNode(course, stretch, share);
    course.a += this.#outsideWeight * track.rows[stretch * STRETCH + OUTSIDE_A]!;
    course.b += this.#outsideWeight * track.rows[stretch * STRETCH + OUTSIDE_B]!;
  }

  /** The course becomes that of what follows it with the zone's lag, from where the last stretch ended. */
  #lag(stretch: number): void {
    const course = this.#course;
    const rate = 1 / this.lagS;
    const start = Number.isNaN(this.lagged[0]!) ? course.valueAt(0) : this.lagged[0]!;
    course.a -= course.b / rate;
    let particular = course.a;
    for (let k = 0; k < course.count; k++) {
      const beta = course.beta[k]!;
      const re = rate + course.alpha[k]!;
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
    this.lagged[0] = course.valueAt(this.#track.durationS(stretch));
  }

  /** Cuts a stretch where its air crosses a level. */
  #cut(stretch: number, levels: Levels | undefined): void {
    const durationS = this.#track.durationS(stretch);
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
    const { count: i, numbers, marks } = this;
    const course = this.#course;
    const { from, to } = this.#piece;
    const durationS = to - from;
    const row = i * PIECE;
    const a = course.a + from * course.b;
    let sum = durationS * (a + (durationS * course.b) / 2);
    let turns = false;
    for (let k = 0; k < course.count; k++) {
      const alpha = course.alpha[k]!;
      const growth = decay(alpha * durationS);
      if (course.beta[k] !== 0) {
        turns = true;
        sum += this.#addTurning(i, k);
        continue;
      }
      const p = from === 0 ? course.p[k]! : course.p[k]! * decay(alpha * from);
      numbers[row + P + k] = p;
      numbers[row + END_P + k] = p * growth;
      sum += (p * (growth - 1)) / alpha;
    }
    numbers[row + START_S] = this.#track.startS(stretch) + from;
    numbers[row + DURATION_S] = durationS;
    numbers[row + A] = a;
    numbers[row + B] = course.b;
    numbers[row + INTEGRAL] = sum;
    const mark = i * MARKS;
    marks[mark + MODES] = course.count;
    marks[mark + TURNS] = turns ? 1 : 0;
    // It crosses no level within; between two crossings both its ends are at freezing, its middle is not.
    marks[mark + SIGN] = course.valueAt(from + durationS / 2) < 0 ? -1 : 1;
    marks[mark + WHOLE] = durationS === HOUR_S && !turns ? 1 : 0;
    this.#place(stretch, this.#track.systems[stretch]!);
  }

  /** Writes a mode that turns into the next piece; returns its integral [K·s]. */
  #addTurning(i: number, k: number): number {
    const course = this.#course;
    const { from, to } = this.#piece;
    const durationS = to - from;
    const alpha = course.alpha[k]!;
    const beta = course.beta[k]!;
    const p = turnP(course, k, from);
    const q = turnQ(course, k, from);
    const growth = decay(alpha * durationS);
    const cos = growth * Math.cos(beta * durationS);
    const sin = growth * Math.sin(beta * durationS);
    const endP = p * cos + q * sin;
    const endQ = q * cos - p * sin;
    this.numbers[i * PIECE + P + k] = p;
    this.numbers[i * PIECE + END_P + k] = endP;
    this.q[i * MOST_MODES + k] = q;
    this.endQ[i * MOST_MODES + k] = endQ;
    // ∫ of the mode is (α·y − β·z)/(α² + β²) with z its quadrature.
    return (alpha * (endP - p) - beta * (endQ - q)) / (alpha * alpha + beta * beta);
  }
}

/** Crossings closer than this to each other are one. */
const SHORTEST_S = 1e-6;
