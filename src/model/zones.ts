/**
 * The nodes of one unit through the hours of one member: hour by hour, cut where heat is switched, where the
 * thermostats come to another piece of their law and where gas or battery run out; each stretch solved by the
 * modes of its linear system.
 */
import { HOUR_S } from '../quantity/instant.ts';
import { Course } from './course.ts';
import { windOfClass } from './film.ts';
import {
  BAND_K,
  PIECES,
  PieceEnds,
  UNDERBELLY_CAP_C,
  bandOutput,
  colder,
  isShort,
  lowerEnd,
  pieceAt,
  warmer,
  type HeatGiven,
  type Piece,
} from './heat-law.ts';
import { switchAt } from './heat-plan.ts';
import { SystemCache, pathConductance, rowOf, type Regime } from './linear-system.ts';
import { Lately } from './lately.ts';
import { NodeState } from './node-state.ts';
import { Past, type Passage, type Standing } from './past.ts';
import { Supply } from './supply.ts';
import type { UnitModel } from './unit.ts';
import {
  DURATION_S,
  FURNACE_J,
  GAS,
  GROUND_A,
  GROUND_B,
  OUTSIDE_A,
  OUTSIDE_B,
  SHORE,
  START_S,
  STRETCH,
  type Share,
  type ZoneTrack,
} from './zone-track.ts';

const TOLERANCE_K = 1e-9;
const TOLERANCE_W = 1e-6;
/** A thermostat that changes piece more often than this in an hour is a bug, not a furnace. */
const MOST_CHANGES = 200;
/** Rounding may leave a sliver shorter than an instant can be told apart at. */
const SLIVER_S = 1e-7;

/** Solves the zones of one unit. Keeps its decomposed systems, one per wind class and regime, for all members. */
export class ZoneSolver {
  readonly #unit: UnitModel;
  readonly #inside: number;
  readonly #insideWhole: Share;
  readonly #underbelly: number;
  readonly #systems: SystemCache;
  readonly #supply = new Supply();
  readonly #given: HeatGiven;
  readonly #ends = new PieceEnds();
  readonly #regime: Regime = { piece: 'off', capped: false, windClass: 0, electricW: 0 };
  /** What the regime becomes when the stretch at hand ends before the hour does. */
  readonly #next: { piece: Piece; capped: boolean } = { piece: 'off', capped: false };
  readonly #state = new NodeState();
  /** The stretch at hand, and where nothing is switched before. Here, as numbers that are handed from one function to another may be boxed. */
  readonly #at = { fromS: Number.NaN, endS: Number.NaN, durationS: Number.NaN, furnaceJ: Number.NaN };
  readonly #insideCourse = new Course();
  readonly #exit = new Course();
  /** Null: no part lives on stored heat. */
  readonly #lately: Lately | null;
  readonly #standing: Standing;
  readonly #past = new Past();
  #heated = false;
  /** Whether gas and charge are counted. */
  #counts = false;
  #shore = true;
  #burners = true;

  constructor(unit: UnitModel) {
    this.#unit = unit;
    this.#lately = unit.parts.some(({ heat }) => heat?.stored !== undefined) ? new Lately() : null;
    this.#standing = { state: this.#state, regime: this.#regime, supply: this.#supply, lately: this.#lately };
    this.#inside = rowOf(unit.network, 'inside');
    this.#insideWhole = { node: this.#inside, weight: 1 };
    this.#underbelly = rowOf(unit.network, 'underbelly');
    const { setC = 0, capacityW = 0 } = unit.heat ?? {};
    this.#given = { setC, capacityW, limitW: 0, electricW: 0 };
    this.#systems = new SystemCache(unit);
  }

  /** Every stretch from the first hour to the last, in order. */
  trace(passage: Passage): void {
    const { air, plan, track } = passage;
    this.#setSwitch(switchAt(plan, air.firstHour));
    const known = this.#past.resume(passage, this.#standing);
    if (known === 0) this.#start(passage);
    const { gas, battery } = this.#unit.heat ?? {};
    const counted = gas !== undefined || battery !== undefined;
    const suppliedS = counted ? plan.suppliedFrom - air.firstHour : Infinity;
    let next = 0;
    for (let hour = known; hour < air.hours; hour++) {
      if (hour > known && hour === air.sharedHours) this.#past.keep(passage, this.#standing);
      const endS = (hour + 1) * HOUR_S;
      for (let fromS = hour * HOUR_S; fromS < endS;) {
        while (next < plan.switches.length && plan.switches[next]!.at - air.firstHour <= fromS) next++;
        const cutS = next < plan.switches.length ? plan.switches[next]!.at - air.firstHour : Infinity;
        if (next > 0) this.#setSwitch(plan.switches[next - 1]!);
        this.#regime.windClass = air.windClass[hour]!;
        this.#state.edges.hour = hour;
        const supplyS = suppliedS > fromS ? suppliedS : Infinity;
        const toS = Math.min(endS, cutS, supplyS, this.#lately?.nextEndS(fromS) ?? Infinity);
        this.#at.fromS = fromS;
        this.#at.endS = toS;
        this.#cross(passage);
        fromS = toS;
      }
    }
    track.gasOutS = this.#supply.gasOutS;
    track.batteryOutS = this.#supply.batteryOutS;
  }

  #setSwitch(on: { readonly heat: boolean; readonly shore: boolean; readonly gas: boolean }): void {
    this.#heated = on.heat && this.#unit.heat !== null;
    this.#shore = on.shore && this.#unit.heat?.shore !== false;
    this.#burners = on.gas;
  }

  /** In balance with the first hour's weather, heat included. */
  #start(passage: Passage): void {
    const { air, track } = passage;
    this.#past.clear(passage);
    this.#supply.start(this.#unit.heat);
    this.#lately?.start();
    track.count = 0;
    track.gasShortS = Infinity;
    this.#regime.windClass = air.windClass[0] ?? 0;
    this.#state.edges.hour = 0;
    this.#at.fromS = 0;
    this.#giveHeat(passage);
    for (const piece of PIECES) {
      for (const capped of [false, true]) {
        this.#regime.piece = piece;
        this.#regime.capped = capped;
        if (capped && !this.#isDuctOpen()) continue;
        if (this.#restsHere(passage)) return;
      }
    }
    throw new Error(`Unit ${this.#unit.id}: no regime of its heat is at rest; this is a bug.`);
  }

  /** Puts the nodes where they rest in the regime at hand when the weather holds still; false: not within it. */
  #restsHere(passage: Passage): boolean {
    const { air, track } = passage;
    const system = this.#systems.of(this.#regime);
    this.#at.fromS = 0;
    this.#state.edges.set(air, this.#at);
    this.#state.rest(system, this.#given);
    if (!this.#fits()) return false;
    if (!this.#isDuctOpen()) return true;
    track.grow();
    this.#state.write(system, this.#given, track);
    this.#setDuctExit(track);
    return this.#exit.valueAt(0) >= -TOLERANCE_W;
  }

  /** Whether the temperature inside lies within the piece at hand, and the piece has any width. */
  #fits(): boolean {
    const { piece } = this.#regime;
    const given = this.#given;
    if (given.limitW <= 0 && given.electricW <= 0) return piece === 'off';
    const insideC = this.#state.temperatureC[this.#inside]!;
    const ends = this.#ends.of(piece, given);
    return ends.isWide && insideC >= ends.lowC - TOLERANCE_K && insideC <= ends.highC + TOLERANCE_K;
  }

  #isDuctOpen(): boolean {
    const { piece } = this.#regime;
    if (this.#underbelly < 0 || (this.#unit.heat?.ductedShare ?? 0) === 0) return false;
    return piece === 'band' || (piece === 'full' && this.#given.limitW > 0);
  }

  /** What heat there is from an instant on. Supplies are counted from when the plan says; before, they last. */
  #giveHeat({ air, plan }: Passage): boolean {
    const { heat } = this.#unit;
    const given = this.#given;
    given.limitW = 0;
    given.electricW = 0;
    if (heat === null) return false;
    const { hour } = this.#state.edges;
    const outsideC = Math.min(air.temperatureC[hour]!, air.temperatureC[hour + 1]!);
    const counts = air.firstHour + this.#at.fromS >= plan.suppliedFrom;
    if (counts) this.#supply.drawFrom(heat, this.#shore, outsideC);
    if (this.#heated) {
      given.limitW = counts ? this.#supply.limitW(heat, outsideC) : heat.capacityW;
      const { electricW = 0, heatPump } = heat;
      const pumpW = heatPump !== undefined && outsideC >= heatPump.limitC ? heatPump.watts : 0;
      given.electricW = this.#shore ? electricW + pumpW : 0;
    }
    this.#regime.electricW = given.electricW;
    return counts;
  }

  /** Through a stretch of time within one hour, in which nothing is switched. */
  #cross(passage: Passage): void {
    const at = this.#at;
    for (let changes = 0; at.endS - at.fromS > SLIVER_S; changes++) {
      if (changes > MOST_CHANGES)
        throw new Error(`Unit ${this.#unit.id}: its heat never settles; this is a bug.`);
      this.#counts = this.#giveHeat(passage);
      this.#state.edges.set(passage.air, at);
      // At the seam of two pieces both fit, and the one that the last stretch led to holds.
      if (!this.#fits()) this.#regime.piece = pieceAt(this.#state.temperatureC[this.#inside]!, this.#given);
      this.#regime.capped &&= this.#isDuctOpen();
      at.durationS = at.endS - at.fromS;
      this.#stretch(passage.track);
      at.fromS += at.durationS;
    }
  }

  /** One stretch, as long as it is at hand or to where another law begins. */
  #stretch(track: ZoneTrack): void {
    const at = this.#at;
    const counts = this.#counts;
    const system = this.#systems.of(this.#regime);
    this.#supply.short = isShort(this.#regime.piece, this.#given);
    track.grow();
    const i = track.count;
    this.#state.write(system, this.#given, track);
    if (!this.#keepsItsLaw(track)) {
      this.#endAtExit(track);
      this.#burn();
    }
    if (counts && !this.#supply.lasts(at.furnaceJ, at.durationS)) {
      this.#endWhenOut(track);
      this.#next.piece = this.#regime.piece;
      this.#next.capped = this.#regime.capped;
    }
    const { fromS, durationS, furnaceJ: heatJ } = at;
    if (this.#supply.short && fromS < track.gasShortS) track.gasShortS = fromS;
    const row = i * STRETCH;
    track.rows[row + START_S] = fromS;
    track.rows[row + DURATION_S] = durationS;
    track.rows[row + FURNACE_J] = heatJ;
    const supply = (this.#shore ? SHORE : 0) | (this.#burners && !this.#supply.out ? GAS : 0);
    track.supply[i] = this.#lately?.marks(supply, fromS) ?? supply;
    this.#lately?.use(supply, fromS + durationS);
    if (counts) this.#supply.use(heatJ, durationS, fromS + durationS);
    this.#state.moveTo(system, track);
    this.#regime.piece = this.#next.piece;
    this.#regime.capped = this.#next.capped;
    if (durationS > 0) track.count = i + 1;
  }

  /**
   * Whether the regime at hand holds through the stretch by the bounds of every term, as in nearly all whole hours;
   * then sets the heat of the furnace, too. The same as `#endAtExit` and `#burn` with less to ask.
   */
  #keepsItsLaw(track: ZoneTrack): boolean {
    const { piece, capped } = this.#regime;
    const given = this.#given;
    const at = this.#at;
    const system = track.systems[track.count]!;
    if (given.limitW <= 0 && given.electricW <= 0) at.furnaceJ = 0;
    else {
      if (capped || system.turns || at.durationS !== HOUR_S) return false;
      const { over } = this.#state;
      if (this.#isDuctOpen()) {
        this.#state.bound(system, track, this.#underbelly);
        if (over.highC > UNDERBELLY_CAP_C) return false;
      }
      this.#state.bound(system, track, this.#inside);
      const ends = this.#ends.of(piece, given);
      if (over.lowC < ends.lowC || over.highC > ends.highC) return false;
      at.furnaceJ = this.#furnaceJ(over.kelvinSeconds);
    }
    this.#next.piece = piece;
    this.#next.capped = capped;
    return true;
  }

  /** Ends the stretch at hand where its regime does, if that is before; sets the one after it. */
  #endAtExit(track: ZoneTrack): void {
    const { piece, capped } = this.#regime;
    const given = this.#given;
    const next = this.#next;
    next.piece = piece;
    next.capped = capped;
    if (given.limitW <= 0 && given.electricW <= 0) return;
    this.#readInside(track);
    const { span } = this.#exit;
    span.tolerance = TOLERANCE_K;
    if (piece !== 'full') {
      this.#exit.setScaled(this.#insideCourse, 1, -lowerEnd(piece, given));
      if (this.#leaves()) next.piece = colder(piece, given);
    }
    if (piece !== 'off') {
      const above = warmer(piece, given);
      this.#exit.setScaled(this.#insideCourse, -1, lowerEnd(above, given));
      if (this.#leaves()) next.piece = above;
    }
    if (!this.#isDuctOpen()) return;
    this.#setDuctExit(track);
    if (capped) span.tolerance = TOLERANCE_W;
    if (!this.#leaves()) return;
    next.piece = piece;
    next.capped = !capped;
  }

  /** Ends the stretch at hand where the exit comes to zero; false if it does not. */
  #leaves(): boolean {
    const { span } = this.#exit;
    span.from = 0;
    span.to = this.#at.durationS;
    this.#exit.findBelow();
    if (span.found === Infinity) return false;
    this.#at.durationS = span.found;
    return true;
  }

  /**
   * Sets the exit to what stays at or above zero while the duct stays as it is: kelvins up to the cap; at the cap,
   * what the duct could give beyond what the underbelly loses [W].
   */
  #setDuctExit(track: ZoneTrack): void {
    const stretch = track.count;
    const exit = this.#exit;
    track.clear(exit, stretch);
    if (!this.#regime.capped) {
      track.addNode(exit, stretch, { node: this.#underbelly, weight: -1 });
      exit.a += UNDERBELLY_CAP_C;
      return;
    }
    const { heat, network } = this.#unit;
    const { setC, capacityW, limitW } = this.#given;
    const share = heat?.ductedShare ?? 0;
    if (this.#regime.piece === 'full') exit.a += share * limitW;
    else {
      const perKelvin = (share * capacityW) / BAND_K;
      track.addNode(exit, stretch, { node: this.#inside, weight: -perKelvin });
      exit.a += perKelvin * (setC + BAND_K / 2);
    }
    const windSpeedMps = windOfClass(this.#regime.windClass);
    const row = stretch * STRETCH;
    for (const path of network.paths) {
      const [one, other] = path.between;
      if (one !== 'underbelly' && other !== 'underbelly') continue;
      const end = one === 'underbelly' ? other : one;
      const conductance = pathConductance(path, windSpeedMps);
      exit.a -= conductance * UNDERBELLY_CAP_C;
      if (end === 'outside') {
        exit.a += conductance * track.rows[row + OUTSIDE_A]!;
        exit.b += conductance * track.rows[row + OUTSIDE_B]!;
      } else if (end === 'ground') {
        exit.a += conductance * track.rows[row + GROUND_A]!;
        exit.b += conductance * track.rows[row + GROUND_B]!;
      } else track.addNode(exit, stretch, { node: rowOf(network, end), weight: conductance });
    }
  }

  #readInside(track: ZoneTrack): void {
    track.clear(this.#insideCourse, track.count);
    track.addNode(this.#insideCourse, track.count, this.#insideWhole);
  }

  /** Sets the heat of the furnace over the stretch at hand, as long as it is now. */
  #burn(): void {
    const at = this.#at;
    const { piece } = this.#regime;
    at.furnaceJ = this.#furnaceJ(piece === 'band' ? this.#insideCourse.integralTo(at.durationS) : 0);
  }

  /** Heat of the furnace over the stretch at hand, given the integral of the temperature inside [K·s]. */
  #furnaceJ(insideKelvinSeconds: number): number {
    const { piece } = this.#regime;
    const given = this.#given;
    const { durationS } = this.#at;
    if (given.limitW <= 0 || piece === 'off' || piece === 'electric') return 0;
    if (piece === 'full') return given.limitW * durationS;
    return durationS * bandOutput(given, given.setC - insideKelvinSeconds / durationS);
  }

  /** Ends the stretch at hand where gas or charge are out, known to be before its end. Both only ever fall. */
  #endWhenOut(track: ZoneTrack): void {
    this.#readInside(track);
    const at = this.#at;
    let low = 0;
    let high = at.durationS;
    while (high - low > SLIVER_S) {
      at.durationS = (low + high) / 2;
      this.#burn();
      if (this.#supply.lasts(at.furnaceJ, at.durationS)) low = at.durationS;
      else high = at.durationS;
    }
    at.durationS = high;
    this.#burn();
  }
}
