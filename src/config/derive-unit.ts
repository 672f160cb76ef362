import { buildUnit } from '../model/catalogue.ts';
import type { NetworkSpec, OwnPart, Pocket, UnitSpec } from '../model/unit.ts';
import type { CircuitState, UnitWater, WaterState } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { UnitConfig } from './config.ts';
import type { ParsedUnit } from './schema.ts';

/** Glycol in undiluted ready-to-use fluid unless its label says otherwise (common practice). */
const READY_TO_USE_PERCENT = 28;

type ParsedHeat = Exclude<ParsedUnit['heat'], 'none'>;
type ParsedCircuit = ParsedUnit['water']['circuits'][string];

export function deriveUnit(unit: ParsedUnit): UnitConfig {
  const heat = unit.heat === 'none' ? null : unit.heat;
  const spec = deriveSpec(unit, heat);
  return {
    id: unit.id,
    label: unit.label ?? unit.id,
    place: unit.place,
    attended: unit.attended,
    spec,
    model: buildUnit(spec),
    gasKg: heat?.propane ?? null,
    water: deriveWater(unit.water),
    waterSince: unit.water.since ?? null,
    contacts: unit.contacts,
    work: deriveWork(unit.work),
  };
}

function deriveSpec(unit: ParsedUnit, heat: ParsedHeat | null): UnitSpec {
  return {
    id: unit.id,
    kind: unit.kind,
    lengthM: unit.length ?? null,
    slides: unit.slides,
    belly: unit.belly,
    skirting: unit.skirting,
    hoseConnected: unit.hose === undefined ? unit.attended : unit.hose === 'connected',
    heat: heat === null ? null : deriveHeat(heat),
    network: unit.network === undefined ? null : deriveNetwork(unit.network),
    parts: { ...unit.parts, own: unit.parts.own.map(deriveOwnPart) },
  };
}

function deriveHeat(heat: ParsedHeat): NonNullable<UnitSpec['heat']> {
  const { set, furnace, ductedShare = null, running } = heat;
  return { setC: set, furnaceW: furnace, ductedShare, running };
}

function deriveNetwork(network: NonNullable<ParsedUnit['network']>): NetworkSpec {
  return {
    insideCapacity: network.insideCapacity ?? null,
    underbellyCapacity: network.underbellyCapacity ?? null,
    underneathCapacity: network.underneathCapacity ?? null,
    insideOutside: network.insideOutside ?? null,
    insideUnderbelly: network.insideUnderbelly ?? null,
    underbellyUnderneath: network.underbellyUnderneath ?? null,
    underneathOutside: network.underneathOutside ?? null,
    underneathGround: network.underneathGround ?? null,
  };
}

function deriveOwnPart(part: ParsedUnit['parts']['own'][number]): OwnPart {
  return {
    id: part.id,
    label: part.label ?? null,
    zone: part.zone,
    circuit: part.circuit,
    waterKg: part.water,
    conductanceWPerK: part.conductance,
    wallHeatCapacityJPerK: part.wallHeatCapacity,
    startTemperatureC: part.startTemperature ?? null,
    body: part.body,
    blocked: part.blocked ?? null,
    solid: part.solid ?? null,
    pocket: derivePocket(part.pocket),
  };
}

function derivePocket(pocket: boolean | 'quick'): Pocket {
  if (pocket === 'quick') return 'quick';
  return pocket ? 'always' : 'never';
}

function deriveWater(water: ParsedUnit['water']): UnitWater {
  const since = water.since ?? null;
  const circuits: Record<string, CircuitState> = {};
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
      return circuit.method === 'air'
        ? { kind: 'blown' }
        : { kind: 'antifreeze', concentrationPercent: circuit.concentration ?? READY_TO_USE_PERCENT };
  }
}

function deriveWork(work: ParsedUnit['work']): UnitConfig['work'] {
  return {
    keepWarmMinutes: work.keepWarm / 60,
    drainMinutes: work.drain / 60,
    winterizeMinutes: work.winterize / 60,
    travelMinutes: work.travel / 60,
  };
}
