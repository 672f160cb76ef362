import type { EpochSeconds } from '../quantity/instant.ts';

/** What is in a circuit. `unknown` is taken as wet. */
export type WaterState =
  | { readonly kind: 'wet' | 'unknown' }
  | { readonly kind: 'drained'; readonly quality: 'well' | 'quick' }
  | { readonly kind: 'blown' }
  | { readonly kind: 'antifreeze'; readonly concentrationPercent: number };

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
}

export function circuitState(water: UnitWater, circuit: string): CircuitState {
  return water.circuits[circuit] ?? water.all;
}
