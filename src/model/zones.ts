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
  UNDERBELLY_CAP_C,
  bandOutput,
  colder,
  lowerEnd,
  pieceAt,
  warmer,
  type HeatGiven,
  type Piece,
} from './heat-law.ts';
import { switchAt, type HeatPlan } from './heat-plan.ts';
import type { HourlyAir } from './hourly-air.ts';
import { SystemCache, pathConductance, type Regime, type System } from './linear-system.ts';
import { Edges } from './edges.ts';
import { Supply } from './supply.ts';
import type { NodeId, UnitModel } from './unit.ts';
import { GAS, MOST_NODES, SHORE, type ZoneTrack } from './zone-track.ts';

const TOLERANCE_K = 1e-9;
const TOLERANCE_W = 1e-6;
/** A thermostat that changes piece more often than this in an hour is a bug, not a furnace. */
const MOST_CHANGES = 200;
/** Rounding may leave a sliver shorter than an instant can be told apart at. */
const SLIVER_S = 1e-7;

export interface Passage {
  readonly air: HourlyAir;
  readonly plan: HeatPlan;
  /** Filled anew. */
  readonly track: ZoneTrack;
}

/** Solves the zones of one unit. Keeps its decomposed systems, one per wind class and regime, for all members. */
export class ZoneSolver {
  readonly #unit: UnitModel;
  readonly #nodes: number;
  readonly #inside: number;
  readonly #underbelly: number;
  readonly #systems: SystemCache;
  readonly #supply = new Supply();
  readonly #given: HeatGiven;
  readonly #regime: Regime = { piece: 'off', capped: false, windClass: 0, electricW: 0 };
  /** What the regime becomes when the stretch at hand ends before the hour does. */
  readonly #next: { piece: Piece; capped: boolean } = { piece: 'off', capped: false };
  /** Of the nodes, at the start of the stretch at hand [°C]. */
  readonly #temperatureC = new Float64Array(MOST_NODES);
  /** Of the system at hand: temperatures it tends to, their slope, the modes' weights. */
  readonly #tends = new Float64Array(MOST_NODES);
  readonly #slope = new Float64Array(MOST_NODES);
  readonly #weight = new Float64Array(MOST_NODES);
  /** How far each mode has come at the end of the stretch at hand. */
  readonly #growthCos = new Float64Array(MOST_NODES);
  readonly #growthSin = new Float64Array(MOST_NODES);
  readonly #edges = new Edges();
  readonly #insideCourse = new Course();
  readonly #exit = new Course();
  #heated = false;
  /** Whether gas and charge are counted. */
  #counts = false;
  #shore = true;
  #burners = true;

  constructor(unit: UnitModel) {
    this.#unit = unit;
    this.#nodes = unit.network.nodes.length;
    this.#inside = this.#rowOf('inside');
    this.#underbelly = this.#rowOf('underbelly');
    const { setC = 0, capacityW = 0 } = unit.heat ?? {};
    this.#given = { setC, capacityW, limitW: 0, electricW: 0 };
    this.#systems = new SystemCache(unit);
  }

  #rowOf(node: NodeId): number {
    const { nodes } = this.#unit.network;
    for (let row = 0; row < nodes.length; row++) if (nodes[row]!.id === node) return row;
    return -1;
  }

  /** Every stretch from the first hour to the last, in order. */
  trace(passage: Passage): void {
    const { air, plan, track } = passage;
    track.count = 0;
    this.#supply.start(this.#unit.heat);
    this.#start(passage);
    const { gas, battery } = this.#unit.heat ?? {};
    const counted = gas !== undefined || battery !== undefined;
    const suppliedS = counted ? plan.suppliedFrom - air.firstHour : Infinity;
    let next = 0;
    for (let hour = 0; hour < air.hours; hour++) {
      const endS = (hour + 1) * HOUR_S;
      for (let fromS = hour * HOUR_S; fromS < endS;) {
        while (next < plan.switches.length && plan.switches[next]!.at - air.firstHour <= fromS) next++;
        const cutS = next < plan.switches.length ? plan.switches[next]!.at - air.firstHour : Infinity;
        if (next > 0) this.#setSwitch(plan.switches[next - 1]!);
        this.#regime.windClass = air.windClass[hour]!;
        this.#edges.hour = hour;
        const toS = Math.min(endS, cutS, suppliedS > fromS ? suppliedS : Infinity);
        this.#cross(passage, fromS, toS);
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
    const { air, plan } = passage;
    this.#setSwitch(switchAt(plan, air.firstHour));
    this.#regime.windClass = air.windClass[0] ?? 0;
    this.#edges.hour = 0;
    this.#giveHeat(passage, 0);
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
    const edges = this.#edges;
    edges.outsideC = air.temperatureC[0]!;
    edges.groundC = air.groundC[0]!;
    edges.outsideSlope = 0;
    edges.groundSlope = 0;
    this.#tend(system);
    for (let i = 0; i < system.rows.length; i++) this.#temperatureC[system.rows[i]!] = this.#tends[i]!;
    if (system.cappedRow >= 0) this.#temperatureC[system.cappedRow] = UNDERBELLY_CAP_C;
    if (!this.#fits()) return false;
    if (!this.#isDuctOpen()) return true;
    track.grow();
    this.#write(system, track);
    this.#setDuctExit(track);
    return this.#exit.valueAt(0) >= -TOLERANCE_W;
  }

  /** Whether the temperature inside lies within the piece at hand, and the piece has any width. */
  #fits(): boolean {
    const { piece } = this.#regime;
    const given = this.#given;
    if (given.limitW <= 0 && given.electricW <= 0) return piece === 'off';
    const insideC = this.#temperatureC[this.#inside]!;
    if (insideC < lowerEnd(piece, given) - TOLERANCE_K) return false;
    if (piece === 'off') return true;
    const above = warmer(piece, given);
    return colder(above, given) === piece && insideC <= lowerEnd(above, given) + TOLERANCE_K;
  }

  #isDuctOpen(): boolean {
    const { piece } = this.#regime;
    if (this.#underbelly < 0 || (this.#unit.heat?.ductedShare ?? 0) === 0) return false;
    return piece === 'band' || (piece === 'full' && this.#given.limitW > 0);
  }

  /** What heat there is from an instant on. Supplies are counted from when the plan says; before, they last. */
  #giveHeat({ air, plan }: Passage, fromS: number): boolean {
    const { heat } = this.#unit;
    const given = this.#given;
    given.limitW = 0;
    given.electricW = 0;
    if (heat === null) return false;
    const { hour } = this.#edges;
    const outsideC = Math.min(air.temperatureC[hour]!, air.temperatureC[hour + 1]!);
    const counts = air.firstHour + fromS >= plan.suppliedFrom;
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
  #cross(passage: Passage, startS: number, endS: number): void {
    let fromS = startS;
    for (let changes = 0; endS - fromS > SLIVER_S; changes++) {
      if (changes > MOST_CHANGES)
        throw new Error(`Unit ${this.#unit.id}: its heat never settles; this is a bug.`);
      const counts = this.#giveHeat(passage, fromS);
      this.#edges.set(passage.air, fromS);
      // At the seam of two pieces both fit, and the one that the last stretch led to holds.
      if (!this.#fits()) this.#regime.piece = pieceAt(this.#temperatureC[this.#inside]!, this.#given);
      this.#regime.capped &&= this.#isDuctOpen();
      this.#counts = counts;
      fromS += this.#stretch(passage.track, fromS, endS);
    }
  }

  /** One stretch, up to `endS` or to where another law begins. Returns how long it lasts [s]. */
  #stretch(track: ZoneTrack, fromS: number, endS: number): number {
    const counts = this.#counts;
    const system = this.#systems.of(this.#regime);
    track.grow();
    const i = track.count;
    this.#tend(system);
    this.#write(system, track);
    let durationS = this.#untilExit(track, endS - fromS);
    if (counts && !this.#supply.lasts(this.#furnaceHeat(durationS), durationS)) {
      durationS = this.#untilOut(durationS);
      this.#next.piece = this.#regime.piece;
      this.#next.capped = this.#regime.capped;
    }
    const heatJ = this.#furnaceHeat(durationS);
    track.startS[i] = fromS;
    track.durationS[i] = durationS;
    track.furnaceJ[i] = heatJ;
    track.supply[i] = (this.#shore ? SHORE : 0) | (this.#burners && !this.#supply.out ? GAS : 0);
    if (counts) this.#supply.use(heatJ, durationS, fromS + durationS);
    this.#moveTo(system, durationS, track);
    this.#regime.piece = this.#next.piece;
    this.#regime.capped = this.#next.capped;
    if (durationS > 0) track.count = i + 1;
    return durationS;
  }

  /** Temperatures that the system tends to, linear in time: A·slope + ramp = 0, A·tends + force = slope. */
  #tend(system: System): void {
    const { perOutside, perGround, perLimit, constant, inverseA } = system;
    const n = perOutside.length;
    const { limitW } = this.#given;
    const { outsideC, outsideSlope, groundC, groundSlope } = this.#edges;
    const slope = this.#slope;
    const tends = this.#tends;
    for (let i = 0; i < n; i++) slope[i] = perOutside[i]! * outsideSlope + perGround[i]! * groundSlope;
    for (let i = 0; i < n; i++) {
      let sum = perOutside[i]! * outsideC + perGround[i]! * groundC + perLimit[i]! * limitW + constant[i]!;
      for (let j = 0; j < n; j++) sum += inverseA[i * n + j]! * slope[j]!;
      tends[i] = sum;
    }
  }

  /** Writes the courses of all nodes from where they are into the next stretch of the track. */
  #write(system: System, track: ZoneTrack): void {
    const { rows, beta, vectors, inverseVectors, cappedRow } = system;
    const n = rows.length;
    const i = track.count;
    track.hour[i] = this.#edges.hour;
    track.outsideA[i] = this.#edges.outsideC;
    track.outsideB[i] = this.#edges.outsideSlope;
    track.groundA[i] = this.#edges.groundC;
    track.groundB[i] = this.#edges.groundSlope;
    track.systems[i] = system;
    const temperatureC = this.#temperatureC;
    const tends = this.#tends;
    const weight = this.#weight;
    const { a, b, p } = track;
    let turns = false;
    for (let k = 0; k < n; k++) {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += inverseVectors[k * n + j]! * (temperatureC[rows[j]!]! - tends[j]!);
      weight[k] = sum;
      if (beta[k] !== 0) turns = true;
    }
    for (let j = 0; j < n; j++) {
      const at = i * MOST_NODES + rows[j]!;
      a[at] = tends[j]!;
      b[at] = this.#slope[j]!;
      for (let k = 0; k < n; k++) p[at * MOST_NODES + k] = vectors[j * n + k]! * weight[k]!;
    }
    if (turns) this.#writeTurning(system, track);
    if (cappedRow < 0) return;
    const at = i * MOST_NODES + cappedRow;
    track.a[at] = UNDERBELLY_CAP_C;
    track.b[at] = 0;
    track.p.fill(0, at * MOST_NODES, (at + 1) * MOST_NODES);
    track.q.fill(0, at * MOST_NODES, (at + 1) * MOST_NODES);
  }

  /** Columns k and k+1 are the real and imaginary part of the vector of α + iβ; together they turn. */
  #writeTurning({ rows, beta, vectors }: System, { count, p, q }: ZoneTrack): void {
    const n = rows.length;
    for (let j = 0; j < n; j++) {
      const at = (count * MOST_NODES + rows[j]!) * MOST_NODES;
      for (let k = 0; k < n; k++) {
        if (beta[k] === 0) continue;
        const [v, v2] = [vectors[j * n + k]!, vectors[j * n + k + 1]!];
        const [w, w2] = [this.#weight[k]!, this.#weight[k + 1]!];
        p[at + k] = v * w + v2 * w2;
        q[at + k] = v * w2 - v2 * w;
        k++;
        p[at + k] = 0;
        q[at + k] = 0;
      }
    }
  }

  /** How long the regime at hand lasts, `durationS` at most; sets the one after it. */
  #untilExit(track: ZoneTrack, durationS: number): number {
    const { piece, capped } = this.#regime;
    const given = this.#given;
    const next = this.#next;
    next.piece = piece;
    next.capped = capped;
    if (given.limitW <= 0 && given.electricW <= 0) return durationS;
    this.#readInside(track);
    let endS = durationS;
    const low = lowerEnd(piece, given);
    if (low > -Infinity) {
      this.#exit.setScaled(this.#insideCourse, 1, -low);
      endS = this.#leave(endS, colder(piece, given));
    }
    if (piece !== 'off') {
      const above = warmer(piece, given);
      this.#exit.setScaled(this.#insideCourse, -1, lowerEnd(above, given));
      endS = this.#leave(endS, above);
    }
    if (!this.#isDuctOpen()) return endS;
    this.#setDuctExit(track);
    const atS = this.#exit.firstBelow(0, endS, capped ? TOLERANCE_W : TOLERANCE_K);
    if (atS === Infinity) return endS;
    next.piece = piece;
    next.capped = !capped;
    return atS;
  }

  #leave(endS: number, piece: Piece): number {
    const atS = this.#exit.firstBelow(0, endS, TOLERANCE_K);
    if (atS === Infinity) return endS;
    this.#next.piece = piece;
    return atS;
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
      track.addNode(exit, stretch * MOST_NODES + this.#underbelly, -1);
      exit.a += UNDERBELLY_CAP_C;
      return;
    }
    const { heat, network } = this.#unit;
    const { setC, capacityW, limitW } = this.#given;
    const share = heat?.ductedShare ?? 0;
    if (this.#regime.piece === 'full') exit.a += share * limitW;
    else {
      const perKelvin = (share * capacityW) / BAND_K;
      track.addNode(exit, stretch * MOST_NODES + this.#inside, -perKelvin);
      exit.a += perKelvin * (setC + BAND_K / 2);
    }
    const windSpeedMps = windOfClass(this.#regime.windClass);
    for (const path of network.paths) {
      const [one, other] = path.between;
      if (one !== 'underbelly' && other !== 'underbelly') continue;
      const end = one === 'underbelly' ? other : one;
      const conductance = pathConductance(path, windSpeedMps);
      exit.a -= conductance * UNDERBELLY_CAP_C;
      if (end === 'outside') {
        exit.a += conductance * track.outsideA[stretch]!;
        exit.b += conductance * track.outsideB[stretch]!;
      } else if (end === 'ground') {
        exit.a += conductance * track.groundA[stretch]!;
        exit.b += conductance * track.groundB[stretch]!;
      } else track.addNode(exit, stretch * MOST_NODES + this.#rowOf(end), conductance);
    }
  }

  #readInside(track: ZoneTrack): void {
    track.clear(this.#insideCourse, track.count);
    track.addNode(this.#insideCourse, track.count * MOST_NODES + this.#inside, 1);
  }

  /** Heat of the furnace over the first `t` seconds of the stretch at hand [J]. */
  #furnaceHeat(t: number): number {
    const { piece } = this.#regime;
    const given = this.#given;
    if (given.limitW <= 0) return 0;
    if (piece === 'full') return given.limitW * t;
    if (piece !== 'band') return 0;
    return t * bandOutput(given, given.setC - this.#insideCourse.integralTo(t) / t);
  }

  /** Instant at which gas or charge are out, known to be before `durationS`. Both only ever fall. */
  #untilOut(durationS: number): number {
    let low = 0;
    let high = durationS;
    while (high - low > SLIVER_S) {
      const middle = (low + high) / 2;
      if (this.#supply.lasts(this.#furnaceHeat(middle), middle)) low = middle;
      else high = middle;
    }
    return high;
  }

  /** Moves the nodes to the end of the stretch that was just written. */
  #moveTo(system: System, t: number, track: ZoneTrack): void {
    const { alpha, beta, hourCos, hourSin } = system;
    const { a, b, p, q, count } = track;
    const n = alpha.length;
    const temperatureC = this.#temperatureC;
    const growthCos = this.#growthCos;
    const growthSin = this.#growthSin;
    for (let k = 0; k < n; k++) {
      const turn = beta[k]! * t;
      const growth = t === HOUR_S ? Number.NaN : Math.exp(alpha[k]! * t);
      growthCos[k] = t === HOUR_S ? hourCos[k]! : turn === 0 ? growth : growth * Math.cos(turn);
      growthSin[k] = t === HOUR_S ? hourSin[k]! : turn === 0 ? 0 : growth * Math.sin(turn);
    }
    for (let row = 0; row < this.#nodes; row++) {
      const at = count * MOST_NODES + row;
      let y = a[at]! + t * b[at]!;
      for (let k = 0; k < n; k++) {
        const mode = at * MOST_NODES + k;
        y += p[mode]! * growthCos[k]!;
        if (beta[k] !== 0) y += q[mode]! * growthSin[k]!;
      }
      temperatureC[row] = y;
    }
  }
}
