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
import {
  A,
  ALPHA,
  B,
  BETA,
  DURATION_S,
  END_P,
  INTEGRAL,
  MARKS,
  MODES,
  NEXT_SIGN,
  P,
  PIECE,
  RATES,
  SIGN,
  SYSTEM,
  WHOLE,
  WIND,
  type AirPieces,
} from './air-pieces.ts';
import { decay } from './decay.ts';
import { MOST_MODES } from './course.ts';
import { MOST_WIND_CLASSES } from './film.ts';
import { Follower, ROW } from './follower.ts';
import { conductanceAt } from './part-levels.ts';
import { PartHeater } from './part-heater.ts';
import { Passed, Piece } from './piece.ts';
import type { Part } from './unit.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from './water.ts';

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

/** More phases than this in one piece is a bug, not weather. */
const MOST_PHASES = 64;

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
  readonly #piece = new Piece();
  readonly #full: number;
  readonly #blockedTaken: number;
  readonly #solidTaken: number;
  readonly #heater: PartHeater | null;
  readonly #liquid = new Follower();
  readonly #solid = new Follower();
  /** By class of wind: rate of the ice [1/(K·s)], 0 where not met yet. */
  readonly #iceRate = new Float64Array(MOST_WIND_CLASSES);
  /** In an array, so that no number is boxed. */
  readonly #temperature = new Float64Array(1);

  constructor(part: Part) {
    this.#part = part;
    this.#full = takenAt(part, 1);
    this.#blockedTaken = takenAt(part, part.blocked);
    this.#solidTaken = takenAt(part, part.solid);
    this.#heater = part.heat === undefined ? null : new PartHeater(part);
  }

  #prepare(wind: number): void {
    const part = this.#part;
    const liquid = part.waterKg * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
    const solid = part.waterKg * ICE_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
    const conductance = conductanceAt(part, wind);
    this.#liquid.rate[wind] = conductance / liquid;
    this.#solid.rate[wind] = conductance / solid;
    this.#iceRate[wind] = conductance / (part.waterKg * LATENT_HEAT_J_PER_KG);
    this.#heater?.prepare(wind, conductance);
  }

  /** Full of water; in balance with the air at the start of a piece, its own heater included, never below zero. */
  start(air: AirPieces, i: number): void {
    this.phase = 'liquid';
    this.taken = 0;
    const wind = air.wind(i);
    if (this.#iceRate[wind] === 0) this.#prepare(wind);
    const { startTemperatureC } = this.#part;
    const heater = this.#heater;
    const airC = air.valueAt(i, 0);
    const heatK = heater?.worthK(air, i) ?? 0;
    const balanceC = heatK > 0 ? Math.max(airC, Math.min(heater!.onBelowC, airC + heatK)) : airC;
    this.temperatureC = startTemperatureC ?? Math.max(0, balanceC);
  }

  get iceFraction(): number {
    return iceFraction(this.#part, this.taken);
  }

  /** Moves to the end of a piece; the lines passed on the way stand in `passed`. */
  advance(air: AirPieces, i: number): void {
    this.passed.clear();
    if (this.#heater === null && this.#keepsPhase(air, i)) return;
    this.#advance(air, i);
  }

  /** Moves to the end of a piece in which the phase stays and no line is passed; false where that is not so. */
  #keepsPhase(air: AirPieces, i: number): boolean {
    if (this.phase === 'ice') return this.#pileUp(air, i, i + 1) > i;
    const liquid = this.phase === 'liquid';
    this.#temperature[0] = this.temperatureC;
    this.#followPart(liquid ? this.#liquid : this.#solid, air, i);
    const end = this.#temperature[0];
    const side = liquid ? 1 : -1;
    if (air.marks[i * MARKS + SIGN] !== side && side * end < 0) return false;
    this.temperatureC = liquid ? Math.max(0, end) : Math.min(0, end);
    return true;
  }

  #advance(air: AirPieces, i: number): void {
    const wind = air.wind(i);
    if (this.#iceRate[wind] === 0) this.#prepare(wind);
    const piece = this.#piece;
    piece.set(air, i);
    const heatK = this.#heater?.worthK(air, i) ?? 0;
    if (heatK > 0) this.#advanceHeated(piece, { onBelowC: this.#heater!.onBelowC, heatK });
    else this.#cross(piece, air.marks[i * MARKS + SIGN]!);
  }

  /**
   * Moves on from the start of a piece until the part is blocked, and returns the piece in which it is: `passed`
   * says when. Returns `to` when it is not blocked in any piece before that; the body is then good for nothing but
   * another start, for what cannot block it any more is left out.
   */
  untilBlocked(air: AirPieces, from: number, to: number): number {
    const plain = this.#heater === null;
    if (plain) {
      this.#liquid.makeRoom(air.lastSystem + 1);
      this.#solid.makeRoom(air.lastSystem + 1);
    }
    for (let i = from; i < to; i++) {
      if (plain) i = this.phase === 'ice' ? this.#pileUp(air, i, to) : this.#follow(air, i, to);
      if (i >= to) break;
      this.passed.clear();
      this.#advance(air, i);
      if (!Number.isNaN(this.passed.blockedS)) return i;
    }
    return to;
  }

  /** Ice, piece by piece, up to the first piece in which it passes a line or is gone. Returns that piece. */
  #pileUp({ numbers, marks }: AirPieces, from: number, to: number): number {
    const rates = this.#iceRate;
    const full = this.#full;
    const blocked = this.#blockedTaken;
    const solid = this.#solidTaken;
    let taken = this.taken;
    let i = from;
    for (; i < to; i++) {
      const wind = marks[i * MARKS + WIND]!;
      if (rates[wind] === 0) this.#prepare(wind);
      const next = taken - rates[wind]! * numbers[i * PIECE + INTEGRAL]!;
      if (marks[i * MARKS + SIGN]! > 0) {
        if (next <= 0) break;
      } else {
        if (next >= full || (taken < blocked && next >= blocked) || (taken < solid && next >= solid)) break;
      }
      taken = next;
    }
    this.taken = taken;
    return i;
  }

  /** Liquid or solid, piece by piece, up to the first in which it comes to freezing. Returns that piece. */
  #follow(air: AirPieces, from: number, to: number): number {
    const { numbers, marks } = air;
    const liquid = this.phase === 'liquid';
    const follower = liquid ? this.#liquid : this.#solid;
    const table = follower.row;
    const side = liquid ? 1 : -1;
    let temperatureC = this.temperatureC;
    let met = from;
    let i = from;
    for (; i < to; i++) {
      let mark = i * MARKS;
      const same = marks[mark + SIGN] === side;
      if (same && i >= met) {
        met = marks[mark + NEXT_SIGN]!;
        if (met >= to) return to;
        // Wind only ever makes it faster.
        if (this.#iceRate[0] === 0) this.#prepare(0);
        i = air.remembered(i, follower.rate[0]!);
        mark = i * MARKS;
      }
      let end = Number.NaN;
      if (marks[mark + WHOLE] === 1) {
        const of = marks[mark + SYSTEM]! * ROW;
        if (table[of + 1] === 0) this.#meet(follower, air, i);
        const row = i * PIECE;
        end =
          table[of]! * temperatureC + table[of + 1]! * numbers[row + A]! + table[of + 2]! * numbers[row + B]!;
        const modes = marks[mark + MODES]!;
        for (let k = 0; k < modes; k++) end += table[of + 3 + k]! * numbers[row + P + k]!;
      } else {
        this.#temperature[0] = temperatureC;
        this.#followPart(follower, air, i);
        end = this.#temperature[0]!;
      }
      if (!same && (liquid ? end < 0 : end > 0)) break;
      temperatureC = liquid ? Math.max(0, end) : Math.min(0, end);
    }
    this.temperatureC = temperatureC;
    return i;
  }

  #meet(follower: Follower, air: AirPieces, i: number): void {
    const wind = air.wind(i);
    if (this.#iceRate[wind] === 0) this.#prepare(wind);
    follower.meet(air, i);
  }

  /** Moves `#temperature` to the end of a piece that is no whole hour, or in which a mode turns. */
  #followPart(follower: Follower, air: AirPieces, i: number): void {
    const { numbers, marks, rates } = air;
    const mark = i * MARKS;
    const row = i * PIECE;
    const wind = marks[mark + WIND]!;
    if (this.#iceRate[wind] === 0) this.#prepare(wind);
    const rate = air.rateIn(i, follower.rate[wind]!);
    const durationS = numbers[row + DURATION_S]!;
    const system = marks[mark + SYSTEM]! * RATES;
    let start = numbers[row + A]! - numbers[row + B]! / rate;
    let end = start + numbers[row + B]! * durationS;
    for (let k = 0; k < marks[mark + MODES]!; k++) {
      const beta = rates[system + BETA + k]!;
      const re = rate + rates[system + ALPHA + k]!;
      if (beta === 0) {
        const share = rate / re;
        start += share * numbers[row + P + k]!;
        end += share * numbers[row + END_P + k]!;
        continue;
      }
      const scale = rate / (re * re + beta * beta);
      const at = i * MOST_MODES + k;
      start += scale * (numbers[row + P + k]! * re - air.q[at]! * beta);
      end += scale * (numbers[row + END_P + k]! * re - air.endQ[at]! * beta);
    }
    this.#temperature[0] = end + (this.#temperature[0]! - start) * decay(-rate * durationS);
  }

  /** From `from` to the end of the piece, through as many phases as come. */
  #cross(piece: Piece, sign: number): void {
    piece.sign = sign;
    for (let phases = 0; piece.from < piece.endS; phases++) {
      if (phases > MOST_PHASES)
        throw new Error(`Part ${this.#part.id} changes phase without end; this is a bug.`);
      if (this.phase === 'ice') this.#crossIce(piece);
      else this.#crossMoving(piece);
    }
  }

  /** Liquid that cools or warms, solid that warms or cools, until the piece ends or it comes to freezing. */
  #crossMoving(piece: Piece): void {
    const liquid = this.phase === 'liquid';
    this.#setOut(piece);
    const end = piece.bodyC;
    if (!(liquid ? piece.sign < 0 && end < 0 : piece.sign > 0 && end > 0)) {
      this.temperatureC = liquid ? Math.max(0, end) : Math.min(0, end);
      piece.from = piece.endS;
      return;
    }
    piece.reachLine(0);
    this.temperatureC = 0;
    this.phase = 'ice';
    this.taken = liquid ? 0 : this.#full;
    if (liquid) this.passed.zeroS = piece.from;
  }

  #crossIce(piece: Piece): void {
    const { air, i, moment, endS } = piece;
    const rate = this.#iceRate[piece.wind]!;
    const start = this.taken;
    moment.t = piece.from;
    air.look(i, moment);
    piece.before = moment.kelvinSeconds + piece.offsetK * piece.from;
    piece.airC = moment.airC + piece.offsetK;
    const end = start - rate * (air.numbers[i * PIECE + INTEGRAL]! + piece.offsetK * endS - piece.before);
    this.temperatureC = 0;
    if (piece.sign > 0) {
      this.taken = Math.max(0, end);
      piece.from = end <= 0 ? piece.reachCold(start / rate) : endS;
      if (end <= 0) this.phase = 'liquid';
      return;
    }
    if (start < this.#blockedTaken && end >= this.#blockedTaken)
      this.passed.blockedS = piece.reachCold((start - this.#blockedTaken) / rate);
    if (start < this.#solidTaken && end >= this.#solidTaken)
      this.passed.solidS = piece.reachCold((start - this.#solidTaken) / rate);
    const frozen = end >= this.#full;
    piece.from = frozen ? piece.reachCold((start - this.#full) / rate) : endS;
    this.taken = frozen ? this.#full : end;
    if (frozen) this.phase = 'solid';
  }

  /** A heater that is full on below its temperature, off above it, and holds it there if it can. */
  #advanceHeated(piece: Piece, { onBelowC, heatK }: { onBelowC: number; heatK: number }): void {
    const { air, i, endS } = piece;
    const middle = air.valueAt(i, endS / 2);
    for (let phases = 0; piece.from < endS; phases++) {
      if (phases > MOST_PHASES)
        throw new Error(`Part ${this.#part.id} changes phase without end; this is a bug.`);
      const off =
        this.phase === 'liquid' &&
        (this.temperatureC > onBelowC || (this.temperatureC === onBelowC && middle >= onBelowC));
      if (!off && this.phase === 'liquid' && this.temperatureC === onBelowC && middle + heatK >= onBelowC)
        return;
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
    this.#setOut(piece);
    this.#goTo(piece, lineC, piece.bodyC >= lineC);
  }

  #warmTo(piece: Piece, lineC: number): void {
    this.#setOut(piece);
    this.#goTo(piece, lineC, piece.bodyC <= lineC);
    this.temperatureC = Math.max(0, this.temperatureC);
  }

  /** To the end of the piece if it stays on its side of a line, otherwise to the line. */
  #goTo(piece: Piece, lineC: number, stays: boolean): void {
    if (stays) piece.from = piece.endS;
    else piece.reachLine(lineC);
    this.temperatureC = stays ? piece.bodyC : lineC;
  }

  /** From its state at `piece.from`: the gap to what it tends to follow, and where the piece's end finds it. */
  #setOut(piece: Piece): void {
    const { air, i, wind, offsetK, moment } = piece;
    moment.rate = air.rateIn(i, (this.phase === 'liquid' ? this.#liquid : this.#solid).rate[wind]!);
    moment.t = piece.from;
    air.lookFollowed(i, moment);
    piece.airC = moment.airC + offsetK;
    piece.startC = this.temperatureC;
    piece.gapK = this.temperatureC - offsetK - moment.followedC;
    moment.t = piece.endS;
    piece.lookAtBody();
  }
}
