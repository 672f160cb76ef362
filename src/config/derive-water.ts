import { isTrap } from '../model/circuit-names.ts';
import type { CircuitState, UnitWater, WaterState } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { ParsedUnit } from './schema.ts';

type ParsedCircuit = ParsedUnit['water']['circuits'][string];

/** @param known - circuits of the unit */
export function deriveWater(water: ParsedUnit['water'], known: readonly string[]): UnitWater {
  const since = water.since ?? null;
  const circuits: Record<string, CircuitState> = {};
  const filled = water.traps === true ? known.filter(isTrap) : [];
  for (const trap of filled) circuits[trap] = { state: { kind: 'antifreeze' }, since, by: null };
  for (const [circuit, state] of Object.entries(water.circuits)) {
    circuits[circuit] = deriveCircuit(state, since);
  }
  return { all: deriveCircuit(water, since), circuits };
}

/** A circuit without its own `since` has been so as long as the rest. */
function deriveCircuit(circuit: ParsedCircuit, otherwise: EpochSeconds | null): CircuitState {
  return { state: deriveState(circuit), since: circuit.since ?? otherwise, by: null };
}

function deriveState(circuit: ParsedCircuit): WaterState {
  switch (circuit.state) {
    case 'in-use':
      return { kind: 'wet' };
    case 'unknown':
      return { kind: 'unknown' };
    case 'drained':
      return { kind: 'drained', quality: circuit.quality ?? 'quick' };
    case 'winterized':
      return circuit.method === 'air' ? { kind: 'blown' } : antifreeze(circuit);
  }
}

function antifreeze({ concentration, fluid }: ParsedCircuit): WaterState {
  return {
    kind: 'antifreeze',
    ...(concentration === undefined ? {} : { concentrationPercent: concentration }),
    ...(fluid === undefined ? {} : { fluid }),
  };
}
