/**
 * The zones of one unit through the hours of one member: hour by hour, cut where the furnace changes regime,
 * each stretch solved by the modes of its linear system.
 */
import type { EpochSeconds } from '../quantity/instant.ts';
import { HOUR_S } from '../quantity/instant.ts';
import {
  combineCourses,
  firstBelow,
  lagCourse,
  linearCourse,
  shiftCourse,
  valueAt,
  type Course,
} from './course.ts';
import { assemble, atRest, decompose, solve, type Modes } from './linear-system.ts';
import {
  UNDERBELLY_CAP_C,
  UNHEATED,
  exitsOf,
  furnaceCourse,
  nodeCourse,
  type Edges,
  type NodeCourses,
  type Regime,
} from './regime.ts';
import type { NodeId, UnitModel, ZoneId } from './unit.ts';

/** The weather that reaches a unit: n hours between n + 1 instants. */
export interface HourlyAir {
  readonly firstHour: EpochSeconds;
  /** n + 1 values, linear in between. */
  readonly temperatureC: Float64Array;
  /** n + 1 values, linear in between. */
  readonly groundC: Float64Array;
  /** n values, constant within the hour, already at the speed of their wind class. */
  readonly windSpeedMps: Float64Array;
}

/** When the heat is on, in seconds from the air's first hour. */
export interface HeatPlan {
  readonly onFromS: number;
  readonly offFromS: number;
}

export const NEVER_HEATED: HeatPlan = { onFromS: Infinity, offFromS: Infinity };
export const ALWAYS_HEATED: HeatPlan = { onFromS: -Infinity, offFromS: Infinity };

/** A stretch of an hour in which one linear law holds. */
export interface ZoneStretch {
  readonly hour: number;
  /** From the air's first hour. */
  readonly startS: number;
  readonly durationS: number;
  readonly nodes: NodeCourses;
  readonly outside: Course;
  /** Furnace output [W]. */
  readonly furnace: Course;
}

const TOLERANCE_K = 1e-9;
/** A thermostat that changes regime more often than this in an hour is a bug, not a furnace. */
const MOST_CHANGES = 200;

function cutsOf(hour: number, plan: HeatPlan): number[] {
  const startS = hour * HOUR_S;
  const endS = startS + HOUR_S;
  const inside = [plan.onFromS, plan.offFromS]
    .filter((s) => s > startS && s < endS)
    .toSorted((x, y) => x - y);
  return [startS, ...inside, endS];
}

function isHeated(plan: HeatPlan, atS: number): boolean {
  return atS >= plan.onFromS && atS < plan.offFromS;
}

function edgesOf(air: HourlyAir, hour: number, fromS: number): Edges {
  const course = (values: Float64Array): Course => {
    const from = values[hour] ?? Number.NaN;
    const to = values[hour + 1] ?? Number.NaN;
    return shiftCourse(linearCourse(from, (to - from) / HOUR_S), fromS - hour * HOUR_S);
  };
  return { outside: course(air.temperatureC), ground: course(air.groundC) };
}

interface NetworkState {
  readonly temperatures: ReadonlyMap<NodeId, number>;
  readonly regime: Regime;
  readonly heated: boolean;
}

interface Passage {
  readonly air: HourlyAir;
  readonly hour: number;
  readonly fromS: number;
  readonly toS: number;
  readonly heated: boolean;
  readonly state: NetworkState;
  readonly stretches: ZoneStretch[];
}

/** Solves the zones of one unit. Keeps its decomposed systems, one per wind class and regime, for all members. */
export class ZoneSolver {
  readonly #unit: UnitModel;
  readonly #modes = new Map<string, Modes>();

  constructor(unit: UnitModel) {
    this.#unit = unit;
  }

  /** Every stretch from the first hour to the last, in order. */
  trace(air: HourlyAir, plan: HeatPlan): ZoneStretch[] {
    let state = this.#start(air, plan);
    const stretches: ZoneStretch[] = [];
    for (let hour = 0; hour < air.windSpeedMps.length; hour++) {
      const cuts = cutsOf(hour, plan);
      for (let i = 0; i + 1 < cuts.length; i++) {
        const [fromS = 0, toS = 0] = [cuts[i], cuts[i + 1]];
        state = this.#advance({ air, hour, fromS, toS, heated: isHeated(plan, fromS), state, stretches });
      }
    }
    return stretches;
  }

  /** In balance with the first hour's weather, furnace included. */
  #start(air: HourlyAir, plan: HeatPlan): NetworkState {
    const heated = isHeated(plan, 0);
    const regimes = heated ? this.#possibleRegimes() : [UNHEATED];
    const outsideC = air.temperatureC[0] ?? Number.NaN;
    const groundC = air.groundC[0] ?? Number.NaN;
    const windSpeedMps = air.windSpeedMps[0] ?? 0;
    for (const regime of regimes) {
      const modes = this.#modesOf(windSpeedMps, regime, heated);
      const temperatures = this.#withCap(modes, atRest(modes, outsideC, groundC), regime);
      const nodes = new Map([...temperatures].map(([id, t]) => [id, linearCourse(t, 0)]));
      const edges = { outside: linearCourse(outsideC, 0), ground: linearCourse(groundC, 0) };
      const lasts = this.#exits({ windSpeedMps, heated }, { regime, nodes, edges }).every(
        (x) => x.course.a >= -TOLERANCE_K,
      );
      if (lasts) return { temperatures, regime, heated };
    }
    throw new Error(`Unit ${this.#unit.id}: no regime of the furnace is at rest; this is a bug.`);
  }

  #advance(passage: Passage): NetworkState {
    let state = this.#switched(passage);
    let fromS = passage.fromS;
    for (let changes = 0; fromS < passage.toS; changes++) {
      if (changes > MOST_CHANGES)
        throw new Error(`Unit ${this.#unit.id}: the furnace never settles; this is a bug.`);
      const { stretch, end } = this.#stretch({ ...passage, fromS, state });
      if (stretch.durationS > 0) passage.stretches.push(stretch);
      state = end;
      fromS = stretch.startS + stretch.durationS;
      // Rounding may leave a sliver shorter than an instant can be told apart at.
      if (passage.toS - fromS < 1e-7) break;
    }
    return state;
  }

  /** Heat that goes on or off leaves the zones as they are; the regime is found anew. */
  #switched({ state, heated }: Passage): NetworkState {
    if (heated === state.heated) return state;
    const heat = this.#unit.heat;
    const inside = state.temperatures.get('inside') ?? Number.NaN;
    if (!heated || heat === null) return { ...state, regime: UNHEATED, heated };
    const firing = inside >= heat.setC + 0.5 ? 'off' : inside <= heat.setC - 0.5 ? 'full' : 'band';
    return { ...state, regime: { firing, capped: false }, heated };
  }

  #stretch(passage: Passage): { stretch: ZoneStretch; end: NetworkState } {
    const { air, hour, fromS, toS, state, heated } = passage;
    const edges = edgesOf(air, hour, fromS);
    const windSpeedMps = air.windSpeedMps[hour] ?? Number.NaN;
    const modes = this.#modesOf(windSpeedMps, state.regime, heated);
    const start = modes.system.nodes.map((id) => state.temperatures.get(id) ?? Number.NaN);
    const solved = solve(modes, start, edges);
    const nodes = new Map<NodeId, Course>(
      modes.system.nodes.map((id, i) => [id, solved[i] ?? linearCourse(Number.NaN, 0)]),
    );
    if (state.regime.capped) nodes.set('underbelly', linearCourse(UNDERBELLY_CAP_C, 0));
    let durationS = toS - fromS;
    let regime = state.regime;
    for (const exit of this.#exits({ windSpeedMps, heated }, { regime: state.regime, nodes, edges })) {
      const atS = firstBelow(exit.course, durationS, TOLERANCE_K);
      if (atS === null) continue;
      durationS = atS;
      regime = exit.next;
    }
    const temperatures = new Map([...nodes].map(([id, course]) => [id, valueAt(course, durationS)]));
    const { heat } = this.#unit;
    const furnace = heat === null || !heated ? linearCourse(0, 0) : furnaceCourse(heat, state.regime, nodes);
    return {
      stretch: { hour, startS: fromS, durationS, nodes, outside: edges.outside, furnace },
      end: { temperatures, regime, heated },
    };
  }

  #exits(
    when: { windSpeedMps: number; heated: boolean },
    of: { regime: Regime; nodes: NodeCourses; edges: Edges },
  ): ReturnType<typeof exitsOf> {
    const { heat, network } = this.#unit;
    if (heat === null || !when.heated) return [];
    return exitsOf({ network, heat, edges: of.edges, windSpeedMps: when.windSpeedMps }, of.regime, of.nodes);
  }

  #modesOf(windSpeedMps: number, regime: Regime, heated: boolean): Modes {
    const key = `${windSpeedMps} ${regime.firing} ${regime.capped} ${heated}`;
    const known = this.#modes.get(key);
    if (known !== undefined) return known;
    const { network, heat } = this.#unit;
    const modes = decompose(assemble({ network, heat: heated ? heat : null, regime, windSpeedMps }));
    this.#modes.set(key, modes);
    return modes;
  }

  #withCap(modes: Modes, values: readonly number[], regime: Regime): Map<NodeId, number> {
    const temperatures = new Map(modes.system.nodes.map((id, i) => [id, values[i] ?? Number.NaN]));
    if (regime.capped) temperatures.set('underbelly', UNDERBELLY_CAP_C);
    return temperatures;
  }

  #possibleRegimes(): Regime[] {
    const ducted =
      this.#unit.network.nodes.some((n) => n.id === 'underbelly') && (this.#unit.heat?.ductedShare ?? 0) > 0;
    return [
      UNHEATED,
      { firing: 'band', capped: false },
      { firing: 'full', capped: false },
      ...(ducted
        ? ([
            { firing: 'band', capped: true },
            { firing: 'full', capped: true },
          ] as const)
        : []),
    ];
  }
}

/**
 * Zones without a node of their own: stated blends of inside and outside that follow with a lag. Engineering
 * estimates.
 * - bay: a hatch compartment stands about 3 K (0 to 6) above outside under a cabin 20 K warmer.
 * - cabinet: behind a shut door on an outside wall 0.3 (0.15 to 0.5) of inside − outside is lost.
 * - slide: 0.7 (0.5 to 0.9) is lost.
 */
export const BLENDS: Readonly<
  Partial<Record<ZoneId, { readonly insideShare: number; readonly lagS: number }>>
> = {
  bay: { insideShare: 0.15, lagS: 5400 },
  cabinet: { insideShare: 0.7, lagS: 1800 },
  slide: { insideShare: 0.3, lagS: 1800 },
};

/** The air of a zone over each stretch, in order. */
export function zoneCourses(stretches: readonly ZoneStretch[], zone: ZoneId): Course[] {
  const blend = BLENDS[zone];
  if (blend === undefined) return stretches.map((stretch) => ownCourse(stretch, zone));
  const rate = 1 / blend.lagS;
  let last: number | null = null;
  return stretches.map((stretch) => {
    const drive = combineCourses([
      { weight: blend.insideShare, course: nodeCourse(stretch.nodes, 'inside') },
      { weight: 1 - blend.insideShare, course: stretch.outside },
    ]);
    const course = lagCourse(drive, last ?? valueAt(drive, 0), rate);
    last = valueAt(course, stretch.durationS);
    return course;
  });
}

function ownCourse(stretch: ZoneStretch, zone: ZoneId): Course {
  if (zone === 'outside' || zone === 'post') return stretch.outside;
  const own = stretch.nodes.get(zone as NodeId);
  if (own !== undefined) return own;
  // An open belly is the air below it, and a unit without skirting stands in outside air.
  return zone === 'underbelly' ? ownCourse(stretch, 'underneath') : stretch.outside;
}
