/**
 * When a part is damaged, given what is in it. "No water" and "damage" coincide for a sealed rigid part: once
 * blocked, the pressure between ice and a shut tap breaks it.
 */
import type { EpochSeconds } from '../quantity/instant.ts';
import { stretchesAtOrBelow, type ZoneSeries } from '../weather/cold-spell.ts';
import type { Part } from './unit.ts';
import { circuitState, type CircuitState, type UnitWater, type WaterState } from './water-state.ts';

/** The rule of thumb for a drained part: damaged once its zone has been this cold this long. */
export interface SustainedRule {
  readonly atC: number;
  readonly hours: number;
}

/** Parts at the hook-up are taken in when the unit is drained or kept warm; empty and stowed they take any cold. */
export const STOWED_CIRCUIT = 'post';

/** Emptied and left open at dusk where a unit is kept warm: what stays in them has room, whatever the cold. */
const OPENED_CIRCUITS: readonly string[] = ['inlet', 'flush', 'outside-shower'];

/** The water after the list for dusk. Heat does not reach these circuits; what is in them decides. */
export function emptiedAtDusk(
  water: UnitWater,
  by: Pick<CircuitState, 'since' | 'by'>,
): UnitWater['circuits'] {
  const emptied = { state: { kind: 'drained', quality: 'well' }, ...by } as const;
  const still = [STOWED_CIRCUIT, ...OPENED_CIRCUITS].filter((circuit) => {
    const { kind } = circuitState(water, circuit).state;
    return kind !== 'blown' && kind !== 'antifreeze';
  });
  return { ...water.circuits, ...Object.fromEntries(still.map((circuit) => [circuit, emptied])) };
}

/**
 * Propylene glycol in water, percent by volume to freezing point [°C]. Lange's Handbook of Chemistry, 15th ed.,
 * Table 5.13.
 */
const GLYCOL_FREEZING: readonly (readonly [number, number])[] = [
  [0, 0],
  [10, -2.2],
  [20, -6.7],
  [25, -8.9],
  [30, -12.8],
  [40, -20.6],
  [50, -33.3],
];

/** Undiluted ready-to-use fluid: 28 % glycol, burst −23 °C. Common practice, no source. */
export const READY_TO_USE_PERCENT = 28;
const READY_TO_USE_BURST_C = -23;

export function glycolFreezingPointC(percent: number): number {
  const last = GLYCOL_FREEZING.at(-1) ?? [50, -33.3];
  const upper = GLYCOL_FREEZING.findIndex(([p]) => p >= percent);
  if (upper < 0) return last[1];
  const [p1, t1] = GLYCOL_FREEZING[upper] ?? last;
  const [p0, t0] = GLYCOL_FREEZING[Math.max(0, upper - 1)] ?? last;
  return p1 === p0 ? t1 : t0 + ((t1 - t0) * (percent - p0)) / (p1 - p0);
}

/**
 * Below this the slush may burst what holds it [°C]. Scales the one rating the trade states with the freezing
 * point: engineering estimate.
 */
export function burstPointC(percent: number): number {
  return (READY_TO_USE_BURST_C * glycolFreezingPointC(percent)) / glycolFreezingPointC(READY_TO_USE_PERCENT);
}

/** Whether the part keeps its water although its circuit was drained. */
function keepsPocket(part: Part, quality: 'well' | 'quick'): boolean {
  return part.pocket === 'always' || (part.pocket === 'quick' && quality === 'quick');
}

/** Whether cold can reach water in it, so that its own budget decides. */
export function holdsWater(part: Part, state: WaterState): boolean {
  if (state.kind === 'wet' || state.kind === 'unknown') return true;
  return state.kind === 'drained' && part.circuit !== STOWED_CIRCUIT && keepsPocket(part, state.quality);
}

export interface Held {
  readonly part: Part;
  readonly state: WaterState;
}

/**
 * Instants at which a part without its own water is damaged, in order: a drained one by the sustained rule, one
 * with antifreeze at its burst point, a blown one never. The series starts when the state does.
 */
export function dryDamage({ part, state }: Held, zone: ZoneSeries, rule: SustainedRule): EpochSeconds[] {
  if (part.circuit === STOWED_CIRCUIT) return [];
  switch (state.kind) {
    case 'wet':
    case 'unknown':
    case 'blown':
      return [];
    case 'drained': {
      if (OPENED_CIRCUITS.includes(part.circuit)) return [];
      const needed = rule.hours * 3600;
      return stretchesAtOrBelow(zone, rule.atC)
        .filter((s) => s.end - s.start >= needed)
        .map((s) => s.start + needed);
    }
    case 'antifreeze':
      return stretchesAtOrBelow(zone, burstPointC(state.concentrationPercent)).map((s) => s.start);
  }
}
