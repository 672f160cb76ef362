/**
 * One part through its phases: liquid, freezing or thawing at 0 °C, solid. Lumped enthalpy balance
 *
 *     liquid    (m·c_w + C)·dT/dt = G·(T_zone − T)
 *     at 0 °C   m·L·dσ/dt = −G·T_zone,   σ = f + r·f²/2
 *     solid     (m·c_i + C)·dT/dt = G·(T_zone − T)
 *
 * f is the ice fraction and r the resistance of the full ice layer over that of the outside film (0 for a
 * lumped body, then σ = f). σ·m·L is the cold taken, so "used" degree-hours are σ·m·L/G_calm.
 */
import {
  firstBelow,
  integral,
  lagCourse,
  shiftCourse,
  valueAt,
  combineCourses,
  type Course,
} from './course.ts';
import type { Part } from './unit.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from './water.ts';

export interface PartState {
  /** Below zero only when all is ice. */
  temperatureC: number;
  /** Cold taken at 0 °C, σ; 0 when liquid. */
  taken: number;
}

/** An instant, in seconds from the start of the stretch, at which the part passed a line. */
export interface PartEvent {
  readonly atS: number;
  readonly line: 'zero' | 'blocked' | 'solid';
}

const TOLERANCE_K = 1e-10;
const TOLERANCE_TAKEN = 1e-13;
/** More phases than this in one stretch is a bug, not weather. */
const MOST_PHASES = 64;

/** σ of an ice fraction. */
export function takenAt(part: Part, fraction: number): number {
  return fraction + (part.iceLayerRatio * fraction ** 2) / 2;
}

export function iceFraction(part: Part, taken: number): number {
  const r = part.iceLayerRatio;
  if (r === 0) return taken;
  return (2 * taken) / (1 + Math.sqrt(1 + 2 * r * taken));
}

/** Degree-hours below 0 °C, in calm air, until the ice fraction is reached [K·h]. */
export function budgetKelvinHours(part: Part, fraction: number): number {
  return (takenAt(part, fraction) * part.waterKg * LATENT_HEAT_J_PER_KG) / (part.conductanceWPerK * 3600);
}

/** Degree-hours used so far [K·h]; over the budget it is exactly the share of the cold the part can take. */
export function usedKelvinHours(part: Part, taken: number): number {
  return (taken * part.waterKg * LATENT_HEAT_J_PER_KG) / (part.conductanceWPerK * 3600);
}

export interface Stretch {
  readonly air: Course;
  readonly durationS: number;
  readonly conductanceWPerK: number;
}

/** Moves `state` to the end of the stretch and returns the lines passed on the way, in order. */
export function advancePart(part: Part, state: PartState, stretch: Stretch): PartEvent[] {
  const events: PartEvent[] = [];
  let t = 0;
  for (let phases = 0; t < stretch.durationS; phases++) {
    if (phases > MOST_PHASES) throw new Error(`Part ${part.id} changes phase without end; this is a bug.`);
    t = advancePhase({ part, state, stretch, from: t, events });
  }
  return events;
}

interface Step {
  readonly part: Part;
  readonly state: PartState;
  readonly stretch: Stretch;
  readonly from: number;
  readonly events: PartEvent[];
}

function advancePhase(step: Step): number {
  const { state, part } = step;
  if (state.taken <= 0 && state.temperatureC >= 0) {
    const rising = state.temperatureC > 0 || valueAt(step.stretch.air, step.from) >= 0;
    if (rising) return advanceLiquid(step);
  }
  return state.temperatureC < 0 && state.taken >= takenAt(part, 1) ? advanceSolid(step) : advanceIce(step);
}

function advanceLiquid({ part, state, stretch, from, events }: Step): number {
  const capacity = part.waterKg * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
  const course = lagCourse(
    shiftCourse(stretch.air, from),
    state.temperatureC,
    stretch.conductanceWPerK / capacity,
  );
  const left = stretch.durationS - from;
  const crossing = firstBelow(course, left, TOLERANCE_K);
  state.taken = 0;
  if (crossing === null) {
    state.temperatureC = Math.max(0, valueAt(course, left));
    return stretch.durationS;
  }
  state.temperatureC = 0;
  // Counted as ice from here on, by the smallest amount that tells it from water about to warm.
  state.taken = Number.MIN_VALUE;
  events.push({ atS: from + crossing, line: 'zero' });
  return from + crossing;
}

function advanceIce({ part, state, stretch, from, events }: Step): number {
  const full = takenAt(part, 1);
  const perKelvinSecond = stretch.conductanceWPerK / (part.waterKg * LATENT_HEAT_J_PER_KG);
  const cold = integral(shiftCourse(stretch.air, from));
  const course = combineCourses([{ weight: -perKelvinSecond, course: cold }], state.taken);
  const left = stretch.durationS - from;
  const melted = firstBelow(course, left, TOLERANCE_TAKEN);
  // A full part about to thaw stands at the line; rounding must not take it for one about to freeze.
  const frozen = firstAbove(course, full + TOLERANCE_TAKEN, left);
  const end = Math.min(melted ?? left, frozen ?? left);
  const melts = melted !== null && melted <= end;
  const freezes = !melts && frozen !== null;
  for (const [line, fraction] of [
    ['blocked', part.blocked],
    ['solid', part.solid],
  ] as const) {
    const level = Math.min(full, takenAt(part, fraction) + TOLERANCE_TAKEN);
    // Ice that stands above the line passes it anew only once it has thawed below.
    const thawed = lowered(course, level - TOLERANCE_TAKEN);
    const below = state.taken < level ? 0 : firstBelow(thawed, end, TOLERANCE_TAKEN);
    if (below === null) continue;
    const rise = firstAbove(shiftCourse(course, below), level, end - below);
    if (rise !== null || freezes) events.push({ atS: from + (rise === null ? end : below + rise), line });
  }
  state.temperatureC = freezes ? -Number.MIN_VALUE : 0;
  state.taken = melts ? 0 : freezes ? full : Math.min(full, Math.max(0, valueAt(course, end)));
  return melts || freezes ? from + end : stretch.durationS;
}

function lowered(course: Course, by: number): Course {
  return combineCourses([{ weight: 1, course }], -by);
}

/** First instant at which the course reaches `level`; touching counts, since a full part is full. */
function firstAbove(course: Course, level: number, to: number): number | null {
  const gap = combineCourses([{ weight: -1, course }], level);
  return firstBelow(gap, to, 0) ?? (valueAt(gap, to) <= 0 ? to : null);
}

function advanceSolid({ part, state, stretch, from }: Step): number {
  const capacity = part.waterKg * ICE_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
  const course = lagCourse(
    shiftCourse(stretch.air, from),
    state.temperatureC,
    stretch.conductanceWPerK / capacity,
  );
  const left = stretch.durationS - from;
  const crossing = firstBelow(combineCourses([{ weight: -1, course }]), left, TOLERANCE_K);
  if (crossing === null) {
    state.temperatureC = Math.min(-Number.MIN_VALUE, valueAt(course, left));
    return stretch.durationS;
  }
  state.temperatureC = 0;
  state.taken = takenAt(part, 1);
  return from + crossing;
}
