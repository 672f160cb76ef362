import type { Work } from '../decision/policy.ts';
import type { Provenance, StatedDefault } from '../model/unit.ts';
import type { CircuitState, WaterState } from '../model/water-state.ts';
import { formatClockSpan } from '../quantity/clock-time.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { Config, EmailConfig, PlaceConfig, SourceConfig, UnitConfig } from './config.ts';

/** Whether the file says so or drainby filled it in. */
export type From = 'config' | 'default' | 'derived';

export interface PlaceDescription {
  readonly id: string;
  readonly label: string;
  readonly latitude: number;
  readonly longitude: number;
  /** Null: the weather service takes the ground's. */
  readonly elevationM: number | null;
  readonly timeZone: string;
  readonly timeZoneFrom: From;
  readonly lie: string;
  readonly coldSpotK: number;
  readonly sources: readonly string[];
}

export interface PartDescription {
  readonly id: string;
  readonly label: string;
  readonly zone: string;
  readonly circuit: string;
  readonly waterKg: number;
  readonly conductanceWPerK: number;
  readonly provenance: Provenance;
}

export interface UnitDescription {
  readonly id: string;
  readonly label: string;
  readonly place: string;
  readonly kind: string;
  readonly lengthM: number | null;
  readonly slides: number;
  readonly belly: string;
  readonly skirting: string;
  readonly attended: boolean;
  readonly hose: 'connected' | 'none';
  readonly heat: {
    readonly setC: number;
    readonly furnaceW: number;
    readonly ductedShare: number;
    readonly running: boolean;
  } | null;
  readonly gasKg: number | null;
  readonly water: readonly {
    readonly circuit: string;
    readonly state: string;
    readonly since: string | null;
  }[];
  readonly contacts: readonly string[];
  readonly work: Work;
  /** What the file leaves out, so that the default holds. */
  readonly leftOut: readonly string[];
  /** Zones in which it has parts. */
  readonly zones: readonly string[];
  readonly network: {
    readonly capacitiesJPerK: Readonly<Record<string, number>>;
    readonly conductancesWPerK: Readonly<Record<string, { readonly calm: number; readonly perMps: number }>>;
  };
  readonly parts: readonly PartDescription[];
  /** Every number that was filled in, and where it comes from. */
  readonly stated: readonly StatedDefault[];
  readonly assumptions: readonly string[];
}

export interface PersonDescription {
  readonly id: string;
  readonly name: string;
  readonly email: string | null;
  readonly channels: readonly string[];
  readonly temperature: string;
  readonly timeZone: string;
  readonly timeZoneFrom: From;
  readonly quiet: string | null;
  readonly headsUpHours: number;
}

export interface Setting {
  readonly key: string;
  readonly value: number | boolean | string;
  readonly unit: string;
  readonly from: From;
}

/** What a config means, for `drainby config`. Fields may be added, never change meaning. */
export interface ConfigDescription {
  readonly schema: 'drainby.config/1';
  readonly file: string;
  readonly store: string;
  readonly schedule: string;
  readonly horizonHours: number;
  readonly sources: readonly SourceConfig[];
  readonly errorModel: Config['weather']['errorModel'];
  readonly delivery: {
    readonly email: EmailConfig | null;
    readonly fileDirectory: string | null;
    readonly console: boolean;
    readonly leaseSeconds: number;
  };
  readonly places: readonly PlaceDescription[];
  readonly units: readonly UnitDescription[];
  readonly people: readonly PersonDescription[];
  readonly policy: readonly Setting[];
}

export function describeConfig(config: Config): ConfigDescription {
  const given = new Set(config.given);
  return {
    schema: 'drainby.config/1',
    file: config.file,
    store: config.store.path,
    schedule: config.schedule,
    horizonHours: config.weather.horizonHours,
    sources: config.weather.sources,
    errorModel: config.weather.errorModel,
    delivery: describeDelivery(config),
    places: config.places.map((place, index) => describePlace(place, zoneFrom(given, `places[${index}]`))),
    units: config.units.map((unit, index) => describeUnit(unit, leftOut(given, index))),
    people: config.people.map((person, index) => ({
      ...person,
      timeZoneFrom: zoneFrom(given, `people[${index}]`),
      quiet: person.quiet === null ? null : formatClockSpan(person.quiet),
    })),
    policy: describePolicy(config, given),
  };
}

function describeDelivery({ delivery }: Config): ConfigDescription['delivery'] {
  const { email, file, console, leaseSeconds } = delivery;
  return { email, fileDirectory: file?.directory ?? null, console, leaseSeconds };
}

function zoneFrom(given: ReadonlySet<string>, path: string): From {
  return given.has(`${path}.timeZone`) ? 'config' : 'derived';
}

function describePlace(place: PlaceConfig, timeZoneFrom: From): PlaceDescription {
  return { ...place, timeZoneFrom };
}

/** What a person says of a unit and may leave out. */
const OPTIONAL = ['length', 'slides', 'belly', 'skirting', 'attended', 'hose', 'heat', 'water'] as const;

function leftOut(given: ReadonlySet<string>, index: number): readonly string[] {
  return OPTIONAL.filter((key) => !given.has(`units[${index}].${key}`));
}

function describeUnit(unit: UnitConfig, omitted: readonly string[]): UnitDescription {
  const { spec, model } = unit;
  return {
    id: unit.id,
    label: unit.label,
    place: unit.place,
    kind: spec.kind,
    lengthM: spec.lengthM,
    slides: spec.slides,
    belly: spec.belly,
    skirting: spec.skirting,
    attended: unit.attended,
    hose: spec.hoseConnected ? 'connected' : 'none',
    heat: describeHeat(unit),
    gasKg: unit.gasKg,
    water: describeWater(unit),
    contacts: unit.contacts,
    work: unit.work,
    leftOut: omitted,
    zones: [...new Set(model.parts.map((part) => part.zone))],
    network: describeNetwork(unit),
    parts: describeParts(unit),
    stated: model.stated,
    assumptions: model.assumptions,
  };
}

function describeHeat({ model: { heat } }: UnitConfig): UnitDescription['heat'] {
  if (heat === null) return null;
  const { setC, capacityW, ductedShare, running } = heat;
  return { setC, furnaceW: capacityW, ductedShare, running };
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
      return `winterized (antifreeze, ${state.concentrationPercent} %)`;
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
  return parts.map(({ id, label, zone, circuit, waterKg, conductanceWPerK, provenance }) => {
    return { id, label, zone, circuit, waterKg, conductanceWPerK, provenance };
  });
}

function describePolicy({ policy }: Config, given: ReadonlySet<string>): readonly Setting[] {
  const setting = (key: string, value: Setting['value'], unit = ''): Setting => {
    return { key, value, unit, from: given.has(`policy.${key}`) ? 'config' : 'default' };
  };
  return [
    setting('window', policy.windowHours, 'h'),
    ...Object.entries(policy.tolerance).map(([action, chance]) => setting(`tolerance.${action}`, chance)),
    setting('sustained.at', policy.sustained.atC, '°C'),
    setting('sustained.hours', policy.sustained.hours, 'h'),
    setting('margin', policy.marginMinutes, 'min'),
    setting('daylight', policy.daylight),
    setting('headsUpChance', policy.headsUpChance),
  ];
}
