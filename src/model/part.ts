/**
 * One part through its phases: liquid, freezing or thawing at 0 °C, solid. Lumped enthalpy balance
 *
 *     liquid    (m·c_w + C)·dT/dt = G·(T_zone − T) + P
 *     at 0 °C   m·L·dσ/dt = −G·T_zone − P,   σ = f + r·f²/2
 *     solid     (m·c_i + C)·dT/dt = G·(T_zone − T) + P
 *
 * f is the ice fraction, r the resistance of the full ice layer over that of the outside film (0 for a lumped
 * body, then σ = f) and P what its own heater gives. σ·m·L is the cold taken, so "used" degree-hours are
 * σ·m·L/G_calm.
 *
 * Air comes in pieces that cross none of the part's levels (`air-track.ts`), so that within a piece the state of
 * a part moves one way only and every line is passed once at most.
 */
import { HOUR_S } from '../quantity/instant.ts';
import type { AirTrack, Levels } from './air-track.ts';
import { MOST_MODES, offResonance } from './course.ts';
import { MOST_WIND_CLASSES, windFactor, windOfClass } from './film.ts';
import type { Part } from './unit.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from './water.ts';
import { GAS, SHORE } from './zone-track.ts';

/** σ of an ice fraction. */
export function takenAt({ iceLayerRatio }: Part, fraction: number): number {
  return fraction + (iceLayerRatio * fraction ** 2) / 2;
}

export function iceFraction({ iceLayerRatio: r }: Part, taken: number): number {
  if (r === 0) return taken;
  return (2 * taken) / (1 + Math.sqrt(1 + 2 * r * taken));
}

/** Degree-hours below 0 °C, in calm air, until the ice fraction is reached [K·h]. */
export function budgetKelvinHours(part: Part, fraction: number): number {
  return usedKelvinHours(part, takenAt(part, fraction));
}

/** Degree-hours used so far [K·h]; over the budget it is exactly the share of the cold the part can take. */
export function usedKelvinHours(part: Part, taken: number): number {
  return (taken * part.waterKg * LATENT_HEAT_J_PER_KG) / (part.conductanceWPerK * 3600);
}

export type Line = 'zero' | 'blocked' | 'solid';
export type Phase = 'liquid' | 'ice' | 'solid';

const SHARPEST_S = 1e-9;
const MOST_TRIES = 200;
/** More phases than this in one piece is a bug, not weather. */
const MOST_PHASES = 64;

/** Lines passed within a piece [s from its start], the last of each kind; NaN: not passed. */
export class Passed {
  zeroS = Number.NaN;
  blockedS = Number.NaN;
  solidS = Number.NaN;

  clear(): void {
    this.zeroS = Number.NaN;
    this.blockedS = Number.NaN;
    this.solidS = Number.NaN;
  }
}

/**
 * A part that goes through time piece by piece. What depends only on the part and the class of wind is computed
 * once, when it is first met.
 */
export class PartBody {
  phase: Phase = 'liquid';
  /** Above zero only as a liquid, below only as a solid. */
  temperatureC = Number.NaN;
  /** Cold taken at 0 °C, σ; 0 when liquid. */
  taken = Number.NaN;
  readonly passed = new Passed();
  readonly #part: Part;
  readonly #piece: Piece = { air: null as never, i: 0, wind: 0, from: 0, offsetK: 0, sign: 0 };
  readonly #full: number;
  readonly #blockedTaken: number;
  readonly #solidTaken: number;
  readonly #supply: number;
  /** By class of wind: rate of the liquid, of the solid [1/s], of the ice [1/(K·s)]; decay over an hour; heat [K]. */
  readonly #liquidRate = new Float64Array(MOST_WIND_CLASSES);
  readonly #solidRate = new Float64Array(MOST_WIND_CLASSES);
  readonly #iceRate = new Float64Array(MOST_WIND_CLASSES);
  readonly #liquidDecay = new Float64Array(MOST_WIND_CLASSES);
  readonly #solidDecay = new Float64Array(MOST_WIND_CLASSES);
  readonly #heatK = new Float64Array(MOST_WIND_CLASSES);

  constructor(part: Part) {
    this.#part = part;
    this.#full = takenAt(part, 1);
    this.#blockedTaken = takenAt(part, part.blocked);
    this.#solidTaken = takenAt(part, part.solid);
    this.#supply = part.heat === undefined ? 0 : part.heat.needs === 'shore' ? SHORE : GAS;
  }

  #prepare(wind: number): void {
    const part = this.#part;
    const liquid = part.waterKg * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
    const solid = part.waterKg * ICE_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
    const conductance = conductanceAt(part, wind);
    this.#liquidRate[wind] = conductance / liquid;
    this.#solidRate[wind] = conductance / solid;
    this.#iceRate[wind] = conductance / (part.waterKg * LATENT_HEAT_J_PER_KG);
    this.#liquidDecay[wind] = Math.exp(-this.#liquidRate[wind]! * HOUR_S);
    this.#solidDecay[wind] = Math.exp(-this.#solidRate[wind]! * HOUR_S);
    this.#heatK[wind] = (part.heat?.watts ?? 0) / conductance;
  }

  /** Full of water; in balance with the air at the start of a piece, its own heater included, never below zero. */
  start(air: AirTrack, i: number, windClass: number): void {
    this.phase = 'liquid';
    this.taken = 0;
    if (this.#iceRate[windClass] === 0) this.#prepare(windClass);
    const { startTemperatureC, heat } = this.#part;
    const airC = air.valueAt(i, 0);
    const heated = heat !== undefined && (air.supply[i]! & this.#supply) !== 0;
    const balanceC = heated ? Math.max(airC, Math.min(heat.onBelowC, airC + this.#heatK[windClass]!)) : airC;
    this.temperatureC = startTemperatureC ?? Math.max(0, balanceC);
  }

  get iceFraction(): number {
    return iceFraction(this.#part, this.taken);
  }

  /** Moves to the end of a piece; the lines passed on the way stand in `passed`. */
  advance(air: AirTrack, i: number, windClass: number): void {
    this.passed.clear();
    if (this.#iceRate[windClass] === 0) this.#prepare(windClass);
    const { heat } = this.#part;
    if (heat !== undefined && (air.supply[i]! & this.#supply) !== 0) {
      this.#advanceHeated(this.#pieceOf(air, i, windClass), heat.onBelowC);
      return;
    }
    this.#step(air, i, windClass);
  }

  /** The common case: no heater, hot in every sense. */
  #step(air: AirTrack, i: number, wind: number): void {
    const sign = air.sign[i]!;
    if (this.phase === 'ice') {
      const next = this.taken - this.#iceRate[wind]! * air.integral[i]!;
      if (sign > 0 ? next > 0 : next < this.#full && !this.#passesLine(next)) {
        this.taken = next;
        return;
      }
    } else {
      const liquid = this.phase === 'liquid';
      const end = this.#follow(air, i, wind);
      if (liquid ? sign > 0 || end >= 0 : sign < 0 || end <= 0) {
        this.temperatureC = liquid ? Math.max(0, end) : Math.min(0, end);
        return;
      }
    }
    this.#cross(this.#pieceOf(air, i, wind), sign);
  }

  #pieceOf(air: AirTrack, i: number, wind: number): Piece {
    const piece = this.#piece;
    piece.air = air;
    piece.i = i;
    piece.wind = wind;
    piece.from = 0;
    piece.offsetK = 0;
    return piece;
  }

  /** Temperature at the end of a piece of a body that follows the air from its start. */
  #follow(air: AirTrack, i: number, wind: number): number {
    const liquid = this.phase === 'liquid';
    const rate = liquid ? this.#liquidRate[wind]! : this.#solidRate[wind]!;
    const durationS = air.durationS[i]!;
    let decay = liquid ? this.#liquidDecay[wind]! : this.#solidDecay[wind]!;
    if (durationS !== HOUR_S) decay = Math.exp(-rate * durationS);
    let start = air.a[i]! - air.b[i]! / rate;
    let end = start + air.b[i]! * durationS;
    const from = i * MOST_MODES;
    const to = from + air.modes[i]!;
    for (let at = from; at < to; at++) {
      const beta = air.beta[at]!;
      const re = offResonance(rate + air.alpha[at]!, beta, rate);
      if (beta === 0) {
        const share = rate / re;
        start += share * air.p[at]!;
        end += share * air.endP[at]!;
        continue;
      }
      const scale = rate / (re * re + beta * beta);
      start += scale * (air.p[at]! * re - air.q[at]! * beta);
      end += scale * (air.endP[at]! * re - air.endQ[at]! * beta);
    }
    return end + (this.temperatureC - start) * decay;
  }

  #passesLine(next: number): boolean {
    const { taken } = this;
    return (
      (taken < this.#blockedTaken && next >= this.#blockedTaken) ||
      (taken < this.#solidTaken && next >= this.#solidTaken)
    );
  }

  /** From `from` to the end of the piece, through as many phases as come. */
  #cross(piece: Piece, sign: number): void {
    piece.sign = sign;
    for (let phases = 0; piece.from < piece.air.durationS[piece.i]!; phases++) {
      if (phases > MOST_PHASES) throw new Error(`Part ${this.#part.id} changes phase without end; this is a bug.`);
      if (this.phase === 'ice') this.#crossIce(piece);
      else this.#crossMoving(piece);
    }
  }

  /** Liquid that cools or warms, solid that warms or cools, until the piece ends or it comes to freezing. */
  #crossMoving(piece: Piece): void {
    const liquid = this.phase === 'liquid';
    const end = this.#followTo(piece, piece.air.durationS[piece.i]!);
    if (!(liquid ? piece.sign < 0 && end < 0 : piece.sign > 0 && end > 0)) {
      this.temperatureC = liquid ? Math.max(0, end) : Math.min(0, end);
      piece.from = piece.air.durationS[piece.i]!;
      return;
    }
    piece.from = this.#reach(piece, 0);
    this.temperatureC = 0;
    this.phase = 'ice';
    this.taken = liquid ? 0 : this.#full;
    if (liquid) this.passed.zeroS = piece.from;
  }

  #crossIce(piece: Piece): void {
    const { air, i, from } = piece;
    const endS = air.durationS[i]!;
    const before = from === 0 ? 0 : air.integralTo(i, from) + piece.offsetK * from;
    const cold = air.integral[i]! + piece.offsetK * endS - before;
    const rate = this.#iceRate[piece.wind]!;
    const start = this.taken;
    const end = start - rate * cold;
    this.temperatureC = 0;
    if (piece.sign > 0) {
      this.taken = Math.max(0, end);
      piece.from = end <= 0 ? coldReached(piece, before + start / rate) : endS;
      if (end <= 0) this.phase = 'liquid';
      return;
    }
    if (start < this.#blockedTaken && end >= this.#blockedTaken)
      this.passed.blockedS = coldReached(piece, before - (this.#blockedTaken - start) / rate);
    if (start < this.#solidTaken && end >= this.#solidTaken)
      this.passed.solidS = coldReached(piece, before - (this.#solidTaken - start) / rate);
    const frozen = end >= this.#full;
    piece.from = frozen ? coldReached(piece, before - (this.#full - start) / rate) : endS;
    this.taken = frozen ? this.#full : end;
    if (frozen) this.phase = 'solid';
  }

  /** A heater that is full on below its temperature, off above it, and holds it there if it can. */
  #advanceHeated(piece: Piece, onBelowC: number): void {
    const { air, i, wind } = piece;
    const endS = air.durationS[i]!;
    const middle = air.valueAt(i, endS / 2);
    const heatK = this.#heatK[wind]!;
    for (let phases = 0; piece.from < endS; phases++) {
      if (phases > MOST_PHASES) throw new Error(`Part ${this.#part.id} changes phase without end; this is a bug.`);
      const off = this.phase === 'liquid' && (this.temperatureC > onBelowC || (this.temperatureC === onBelowC && middle >= onBelowC));
      if (!off && this.phase === 'liquid' && this.temperatureC === onBelowC && middle + heatK >= onBelowC) return;
      piece.offsetK = off ? 0 : heatK;
      const air0 = middle + piece.offsetK;
      piece.sign = air0 < 0 ? -1 : 1;
      if (this.phase === 'ice') this.#crossIce(piece);
      else if (this.phase === 'solid') this.#crossMoving(piece);
      else if (off) this.#coolTo(piece, onBelowC);
      else if (air0 >= onBelowC) this.#warmTo(piece, onBelowC);
      else this.#crossMoving(piece);
    }
  }

  #coolTo(piece: Piece, lineC: number): void {
    const endS = piece.air.durationS[piece.i]!;
    const end = this.#followTo(piece, endS);
    const stays = end >= lineC;
    piece.from = stays ? endS : this.#reach(piece, lineC);
    this.temperatureC = stays ? end : lineC;
  }

  #warmTo(piece: Piece, lineC: number): void {
    const endS = piece.air.durationS[piece.i]!;
    const end = this.#followTo(piece, endS);
    const stays = end <= lineC;
    piece.from = stays ? endS : this.#reach(piece, lineC);
    this.temperatureC = stays ? Math.max(0, end) : lineC;
  }

  /** Temperature at `t` of what follows the air from its state at `piece.from`. */
  #followTo(piece: Piece, t: number): number {
    const { from, offsetK, wind } = piece;
    const rate = this.phase === 'liquid' ? this.#liquidRate[wind]! : this.#solidRate[wind]!;
    const gap = this.temperatureC - offsetK - followed(piece, from, rate);
    return followed(piece, t, rate) + offsetK + gap * Math.exp(-rate * (t - from));
  }

  /**
   * Instant at which a body that moves one way comes to a temperature that it passes before the piece ends.
   * Regula falsi with the Illinois rule, halving every third time.
   */
  #reach(piece: Piece, lineC: number): number {
    const { from, offsetK, wind } = piece;
    const rate = this.phase === 'liquid' ? this.#liquidRate[wind]! : this.#solidRate[wind]!;
    const gap = this.temperatureC - offsetK - followed(piece, from, rate);
    let low = from;
    let high = piece.air.durationS[piece.i]!;
    let yLow = this.temperatureC - lineC;
    let yHigh = followed(piece, high, rate) + offsetK + gap * Math.exp(-rate * (high - from)) - lineC;
    if (yLow === 0) return from;
    const sign = yLow > 0 ? 1 : -1;
    let side = 0;
    for (let n = 0; n < MOST_TRIES && high - low > SHARPEST_S; n++) {
      const t = n % 3 === 2 ? (low + high) / 2 : (low * yHigh - high * yLow) / (yHigh - yLow);
      const y = followed(piece, t, rate) + offsetK + gap * Math.exp(-rate * (t - from)) - lineC;
      if (y === 0) return t;
      if (sign * y > 0) {
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
}

/** A piece of air on its way through a part. */
interface Piece {
  air: AirTrack;
  i: number;
  wind: number;
  /** Reached so far [s]. */
  from: number;
  /** What the part's own heater is worth, as kelvins of air. */
  offsetK: number;
  /** Whether air and heater together are above freezing within. */
  sign: number;
}

/** Conductance of a part at a class of wind [W/K]. */
export function conductanceAt(part: Part, windClass: number): number {
  return part.conductanceWPerK * windFactor(part.windShare * windOfClass(windClass), part.film);
}

/**
 * The levels of a part with a heater: freezing and its thermostat, and both less what the heater is worth.
 *
 * @param windClass - by hour
 */
export function heatedLevels(part: Part, of: { windClass: Uint8Array; hour: () => Int32Array }): Levels {
  const { watts = 0, onBelowC = 0 } = part.heat ?? {};
  return (stretch, into) => {
    const heatK = watts / conductanceAt(part, of.windClass[of.hour()[stretch]!]!);
    into[0] = 0;
    into[1] = -heatK;
    into[2] = onBelowC;
    into[3] = onBelowC - heatK;
    return 4;
  };
}

/** What a body with `rate` tends to follow at `t`: the particular solution. */
function followed({ air, i }: Piece, t: number, rate: number): number {
  let y = air.a[i]! + air.b[i]! * (t - 1 / rate);
  const from = i * MOST_MODES;
  const to = from + air.modes[i]!;
  for (let at = from; at < to; at++) {
    const alpha = air.alpha[at]!;
    const beta = air.beta[at]!;
    const re = offResonance(rate + alpha, beta, rate);
    const growth = Math.exp(alpha * t);
    if (beta === 0) {
      y += (rate * air.p[at]! * growth) / re;
      continue;
    }
    const cos = Math.cos(beta * t);
    const sin = Math.sin(beta * t);
    const p = growth * (air.p[at]! * cos + air.q[at]! * sin);
    const q = growth * (air.q[at]! * cos - air.p[at]! * sin);
    y += (rate * (p * re - q * beta)) / (re * re + beta * beta);
  }
  return y;
}

/**
 * Instant at which ∫(air + heater) from the start of the piece comes to `kelvinSeconds`, known to be passed before
 * it ends. Newton's method kept within its bracket: the slope is the air itself, which keeps its sign.
 */
function coldReached(piece: Piece, kelvinSeconds: number): number {
  const { air, i, from, offsetK, sign } = piece;
  let low = from;
  let high = air.durationS[i]!;
  let t = (low + high) / 2;
  for (let n = 0; n < MOST_TRIES && high - low > SHARPEST_S; n++) {
    const left = sign * (kelvinSeconds - air.integralTo(i, t) - offsetK * t);
    if (left > 0) low = t;
    else high = t;
    const slope = sign * (air.valueAt(i, t) + offsetK);
    const next = t + left / slope;
    if (Math.abs(next - t) < SHARPEST_S) return t;
    t = next > low && next < high ? next : (low + high) / 2;
  }
  return t;
}
