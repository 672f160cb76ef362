import type { Policy } from '../decision/policy.ts';
import { buildUnit } from '../model/catalogue.ts';
import { keptWarm } from '../model/kept-warm.ts';
import type { LineSpec, NetworkSpec, OwnPart, Pocket, UnitSpec } from '../model/unit.ts';
import type { UnitConfig } from './config.ts';
import {
  batteryAssumptions,
  deriveElectrics,
  deriveHeat,
  deriveWaterHeater,
  heatOf,
  postAssumptions,
} from './derive-heat.ts';
import { deriveDoing } from './derive-work.ts';
import { deriveServiceWork, deriveWaterUse } from './derive-service.ts';
import { deriveWater } from './derive-water.ts';
import type { ParsedUnit } from './schema.ts';

/** What a unit takes from elsewhere in the file. */
export interface UnitSurroundings {
  /** Of its place; null: not given. */
  readonly elevationM: number | null;
  readonly policy: Policy;
}

/** @throws ModelError when the unit's own network cannot be. */
export function deriveUnit(unit: ParsedUnit, surroundings: UnitSurroundings): UnitConfig {
  const spec = deriveSpec(unit, surroundings);
  const model = buildUnit(spec);
  return {
    id: unit.id,
    label: unit.label ?? unit.id,
    place: unit.place,
    attended: unit.attended,
    spec,
    model: {
      ...model,
      assumptions: [...model.assumptions, ...batteryAssumptions(unit), ...postAssumptions(unit)],
    },
    keptWarm: keptWarm(spec, unit.attended),
    gasKg: heatOf(unit)?.propane ?? null,
    water: deriveWater(
      unit.water,
      model.parts.map((part) => part.circuit),
    ),
    waterSince: unit.water.since ?? null,
    contacts: unit.contacts,
    ...deriveDoing(unit, model.parts, surroundings.policy),
    serviceWork: deriveServiceWork(unit.work),
    waterUse: deriveWaterUse(unit, model.parts),
  };
}

function deriveSpec(unit: ParsedUnit, { elevationM, policy: { thresholds } }: UnitSurroundings): UnitSpec {
  const electrics = deriveElectrics(unit);
  const tows = unit.towing.map(({ from, until, speed }) => ({ from, until, speedMps: speed }));
  return {
    id: unit.id,
    kind: unit.kind,
    lengthM: unit.length ?? null,
    slides: unit.slides,
    belly: unit.belly,
    bellySkin: unit.bellySkin ?? 'bare',
    skirting: unit.skirting,
    shelter: unit.shelter,
    cupboardsOpen: unit.cupboards === 'open',
    hoseConnected: unit.hose === undefined ? unit.attended : unit.hose !== 'none',
    hoseHeated: unit.hose === 'heated',
    waterHeater: deriveWaterHeater(unit),
    tanklessProtected: unit.tanklessProtection,
    ...(unit.outsideShowerValves === undefined ? {} : { showerValves: unit.outsideShowerValves }),
    heat: deriveHeat(unit),
    network: unit.network === undefined ? null : deriveNetwork(unit.network),
    thresholds,
    parts: {
      catalogue: unit.parts.catalogue,
      add: unit.parts.add,
      without: unit.parts.without,
      own: unit.parts.own.map(deriveOwnPart),
      lines: unit.parts.lines.map(deriveLine),
    },
    ...(elevationM === null ? {} : { elevationM }),
    ...(electrics === null ? {} : { electrics }),
    ...(tows.length === 0 ? {} : { tows }),
    ...(unit.tankPads === undefined ? {} : { tankPadW: unit.tankPads }),
    ...(unit.tanks === undefined ? {} : { tanks: deriveTanks(unit.tanks) }),
  };
}

function deriveTanks(tanks: NonNullable<ParsedUnit['tanks']>): NonNullable<UnitSpec['tanks']> {
  const { fresh, grey, black } = tanks;
  return {
    ...(fresh === undefined ? {} : { fresh }),
    ...(grey === undefined ? {} : { grey }),
    ...(black === undefined ? {} : { black }),
  };
}

function deriveNetwork(network: NonNullable<ParsedUnit['network']>): NetworkSpec {
  const { barnCapacity, barnOutside, barnGround } = network;
  return {
    insideCapacity: network.insideCapacity ?? null,
    underbellyCapacity: network.underbellyCapacity ?? null,
    underneathCapacity: network.underneathCapacity ?? null,
    insideOutside: network.insideOutside ?? null,
    insideUnderbelly: network.insideUnderbelly ?? null,
    underbellyUnderneath: network.underbellyUnderneath ?? null,
    underneathOutside: network.underneathOutside ?? null,
    underneathGround: network.underneathGround ?? null,
    ...(barnCapacity === undefined ? {} : { barnCapacity }),
    ...(barnOutside === undefined ? {} : { barnOutside }),
    ...(barnGround === undefined ? {} : { barnGround }),
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

function deriveLine(line: ParsedUnit['parts']['lines'][number]): LineSpec {
  return {
    id: line.id,
    label: line.label ?? null,
    zone: line.zone,
    circuit: line.circuit,
    tube: line.tube,
    lengthM: line.length,
    sleeveM: line.sleeve,
    tapeWPerM: line.tape,
  };
}
