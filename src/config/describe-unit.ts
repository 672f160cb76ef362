import type { Policy, Work } from '../decision/policy.ts';
import type { Kit, Route } from '../model/catalogue-work.ts';
import type { Heat, PartHeat, Provenance, StatedDefault, UnitSpec, ZoneAir } from '../model/unit.ts';
import type { CircuitState, WaterState } from '../model/water-state.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { UnitConfig, WaterUse } from './config.ts';

export interface PartDescription {
  readonly id: string;
  readonly label: string;
  readonly zone: string;
  readonly circuit: string;
  readonly waterKg: number;
  readonly conductanceWPerK: number;
  readonly provenance: Provenance;
  /** Its own heater; absent: none. */
  readonly heat?: PartHeat;
}

export interface HeatDescription extends Omit<Heat, 'capacityW'> {
  /** What it can give where it stands. */
  readonly furnaceW: number;
}

export interface UnitDescription {
  readonly id: string;
  readonly label: string;
  readonly place: string;
  readonly kind: string;
  readonly lengthM: number | null;
  readonly slides: number;
  readonly belly: string;
  /** Null: an open belly has none. */
  readonly bellySkin: string | null;
  readonly skirting: string;
  readonly shelter: string;
  /** Wind that reaches it, over the forecast's. */
  readonly windReaching: number;
  readonly cupboards: 'shut' | 'open';
  readonly attended: boolean;
  readonly hose: 'connected' | 'heated' | 'none';
  readonly heat: HeatDescription | null;
  readonly gasKg: number | null;
  readonly waterHeater: 'off' | 'gas' | 'shore';
  readonly tanklessProtection: boolean;
  /** Null: nobody has said. */
  readonly outsideShowerValves: boolean | null;
  readonly tankPadW: number | null;
  /** How full, where that is said. */
  readonly tanks: NonNullable<UnitSpec['tanks']>;
  readonly towing: readonly { readonly from: string; readonly until: string; readonly speedMps: number }[];
  /** What the post bears and what draws on it; null: nothing is known of either. */
  readonly electrics: {
    readonly limitW: number | null;
    readonly loads: readonly { readonly label: string; readonly watts: number }[];
  } | null;
  readonly water: readonly {
    readonly circuit: string;
    readonly state: string;
    readonly since: string | null;
  }[];
  readonly waterUse: WaterUse | null;
  readonly contacts: readonly string[];
  readonly work: Work;
  readonly kit: Kit;
  readonly route: Route;
  /** What is accepted at this unit; null tolerance: it comes from the costs. */
  readonly accepted: { readonly tolerance: Policy['tolerance'] | null; readonly caution: number };
  /** What the file leaves out, so that the default holds. */
  readonly leftOut: readonly string[];
  /** Zones in which it has parts. */
  readonly zones: readonly string[];
  /** What the air of each of them is made of. */
  readonly zoneAir: Readonly<Record<string, ZoneAir>>;
  readonly network: {
    readonly capacitiesJPerK: Readonly<Record<string, number>>;
    readonly conductancesWPerK: Readonly<Record<string, { readonly calm: number; readonly perMps: number }>>;
  };
  readonly parts: readonly PartDescription[];
  /** Every number that was filled in, and where it comes from. */
  readonly stated: readonly StatedDefault[];
  readonly assumptions: readonly string[];
}

/** What a person says of a unit and may leave out. */
const OPTIONAL = [
  'length',
  'slides',
  'belly',
  'bellySkin',
  'skirting',
  'shelter',
  'cupboards',
  'attended',
  'hose',
  'heat',
  'power',
  'waterHeater',
  'tankPads',
  'tanks',
  'water',
] as const;

export function leftOut(given: ReadonlySet<string>, index: number): readonly string[] {
  return OPTIONAL.filter((key) => !given.has(`units[${index}].${key}`));
}

export function describeUnit(unit: UnitConfig, omitted: readonly string[]): UnitDescription {
  const { spec, model } = unit;
  const zones = [...new Set(model.parts.map((part) => part.zone))];
  return {
    id: unit.id,
    label: unit.label,
    place: unit.place,
    kind: spec.kind,
    lengthM: spec.lengthM,
    slides: spec.slides,
    belly: spec.belly,
    bellySkin: spec.belly === 'open' ? null : (spec.bellySkin ?? 'bare'),
    skirting: spec.skirting,
    shelter: spec.shelter ?? 'open',
    windReaching: model.windReaching ?? 1,
    cupboards: spec.cupboardsOpen === true ? 'open' : 'shut',
    attended: unit.attended,
    hose: hoseOf(spec),
    heat: describeHeat(model.heat),
    gasKg: unit.gasKg,
    waterHeater: spec.waterHeater ?? 'off',
    tanklessProtection: spec.tanklessProtected ?? false,
    outsideShowerValves: spec.showerValves ?? null,
    tankPadW: spec.tankPadW ?? null,
    tanks: spec.tanks ?? {},
    towing: describeTowing(unit),
    electrics: model.electrics ?? null,
    water: describeWater(unit),
    waterUse: unit.waterUse,
    contacts: unit.contacts,
    work: unit.work,
    kit: unit.kit,
    route: unit.route,
    accepted: describeAccepted(unit),
    leftOut: omitted,
    zones,
    zoneAir: Object.fromEntries(zones.map((zone) => [zone, model.network.zones[zone]])),
    network: describeNetwork(unit),
    parts: describeParts(unit),
    stated: model.stated,
    assumptions: model.assumptions,
  };
}

function describeAccepted({ policy }: UnitConfig): UnitDescription['accepted'] {
  const { tolerance, toleranceFrom, caution } = policy;
  return { tolerance: toleranceFrom === 'costs' ? null : tolerance, caution };
}

function hoseOf({ hoseConnected, hoseHeated }: UnitSpec): UnitDescription['hose'] {
  if (!hoseConnected) return 'none';
  return hoseHeated === true ? 'heated' : 'connected';
}

function describeHeat(heat: Heat | null): HeatDescription | null {
  if (heat === null) return null;
  const { capacityW, ...rest } = heat;
  return { ...rest, furnaceW: capacityW };
}

function describeTowing({ spec: { tows = [] } }: UnitConfig): UnitDescription['towing'] {
  return tows.map(({ from, until, speedMps }) => {
    return { from: isoSecond(from), until: isoSecond(until), speedMps };
  });
}

function describeWater({ water }: UnitConfig): UnitDescription['water'] {
  const one = (circuit: string, { state, since }: CircuitState) => ({
    circuit,
    state: stateText(state),
    since: since === null ? null : isoSecond(since),
  });
  return [
    one('all', water.all),
    ...Object.entries(water.circuits).map(([circuit, state]) => one(circuit, state)),
  ];
}

function stateText(state: WaterState): string {
  switch (state.kind) {
    case 'wet':
      return 'in use';
    case 'unknown':
      return 'unknown, taken as in use';
    case 'drained':
      return `drained (${state.quality})`;
    case 'blown':
      return 'winterized (air)';
    case 'antifreeze':
      return `winterized (antifreeze, ${state.concentrationPercent === undefined ? 'not measured' : `${state.concentrationPercent} %`}${state.fluid === undefined ? '' : ` ${state.fluid}`})`;
  }
}

function describeNetwork({ model: { network } }: UnitConfig): UnitDescription['network'] {
  const conductances = network.paths.map(
    (path) => [path.name, { calm: path.calmWPerK, perMps: path.windWPerKPerMps }] as const,
  );
  return {
    capacitiesJPerK: Object.fromEntries(network.nodes.map((node) => [node.id, node.capacityJPerK])),
    conductancesWPerK: Object.fromEntries(conductances),
  };
}

function describeParts({ model: { parts } }: UnitConfig): readonly PartDescription[] {
  return parts.map(({ id, label, zone, circuit, waterKg, conductanceWPerK, provenance, heat }) => {
    const row = { id, label, zone, circuit, waterKg, conductanceWPerK, provenance };
    return heat === undefined ? row : { ...row, heat };
  });
}
