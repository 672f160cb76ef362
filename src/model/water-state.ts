import type { EpochSeconds } from '../quantity/instant.ts';
import type { Fluid } from './antifreeze.ts';

/** What is in a circuit. `unknown` is taken as wet. */
export type WaterState =
  | { readonly kind: 'wet' | 'unknown' }
  | { readonly kind: 'drained'; readonly quality: 'well' | 'quick' }
  | { readonly kind: 'blown' }
  | {
      readonly kind: 'antifreeze';
      /** Percent by volume. */
      readonly concentrationPercent: number;
      /** Absent: propylene glycol. */
      readonly fluid?: Fluid;
    };

export interface CircuitState {
  readonly state: WaterState;
  /** Null: for as long as anyone knows. */
  readonly since: EpochSeconds | null;
  readonly by: string | null;
}

/** The water of a unit: what holds for every circuit, and what differs. */
export interface UnitWater {
  readonly all: CircuitState;
  readonly circuits: Readonly<Record<string, CircuitState>>;
  /** Someone has the heat on, whatever the config says. */
  readonly keptWarm?: boolean;
  /** Since when; absent: for as long as anyone knows. */
  readonly keptWarmSince?: EpochSeconds;
  /** What it was before, oldest first: cold that came then came to that water. */
  readonly before?: readonly { readonly until: EpochSeconds; readonly water: UnitWater }[];
}

/** A trap of which nothing is said keeps its water when the unit is drained. */
export function circuitState(water: UnitWater, circuit: string): CircuitState {
  const own = Object.hasOwn(water.circuits, circuit) ? water.circuits[circuit] : undefined;
  if (own !== undefined) return own;
  if (water.all.state.kind === 'drained' && isTrap(circuit))
    return { state: { kind: 'wet' }, since: null, by: null };
  return water.all;
}

export function isWet(state: WaterState): boolean {
  return state.kind === 'wet' || state.kind === 'unknown';
}

/** Each trap is a circuit of its own; draining leaves it as it was. */
export function isTrap(circuit: string): boolean {
  return circuit.startsWith('trap-');
}
