/**
 * What the model knows of one unit: its zones as a thermal network, its heat, its parts. Built from a
 * `UnitSpec` by `catalogue.ts`; nothing here knows about forecasts or config files.
 */

/** Where a number comes from. `estimate`: engineering estimate. `config`: the user said so. */
export type Provenance = 'found' | 'memory' | 'practice' | 'estimate' | 'derived' | 'config';

/** The unit's zones. An own part may name any of these. */
export const ZONES = [
  'outside',
  'post',
  'underneath',
  'underbelly',
  'bay',
  'cabinet',
  'slide',
  'inside',
] as const;
export type ZoneId = (typeof ZONES)[number];

export const KINDS = ['travel-trailer', 'fifth-wheel', 'motorhome', 'truck-camper', 'van', 'pop-up'] as const;
export type UnitKind = (typeof KINDS)[number];

export const BELLIES = ['open', 'enclosed', 'heated'] as const;
export type Belly = (typeof BELLIES)[number];

export const SKIRTINGS = ['none', 'vinyl', 'insulated'] as const;
export type Skirting = (typeof SKIRTINGS)[number];

/** When a part keeps its water although its circuit was drained. `quick`: unless it was drained well. */
export type Pocket = 'never' | 'quick' | 'always';

export interface Part {
  readonly id: string;
  /** Trade name, for people. */
  readonly label: string;
  readonly zone: ZoneId;
  readonly circuit: string;
  readonly waterKg: number;
  /** Between the water and its zone's air, in calm air [W/K]. */
  readonly conductanceWPerK: number;
  /** Wind at the part over that at 10 m; 0: sheltered. */
  readonly windShare: number;
  readonly wallHeatCapacityJPerK: number;
  /** At the start of the computation; null: in balance with its zone, never below 0 °C. */
  readonly startTemperatureC: number | null;
  readonly body: 'rigid' | 'flexible';
  /** Ice fraction at which it is blocked and, sealed, breaks. */
  readonly blocked: number;
  /** Ice fraction at which it counts as solid. */
  readonly solid: number;
  /** x·h/k of the ice layer when all is frozen: its resistance over that of the outside film; 0 for a lumped body. */
  readonly iceLayerRatio: number;
  readonly pocket: Pocket;
  readonly provenance: Provenance;
}

export type NodeId = 'inside' | 'underbelly' | 'underneath';
export type BoundaryId = 'outside' | 'ground';

export interface ThermalNode {
  readonly id: NodeId;
  readonly capacityJPerK: number;
}

/** A heat path. Its conductance is `calmWPerK + windWPerKPerMps · wind`. */
export interface ThermalPath {
  readonly name: string;
  readonly between: readonly [NodeId, NodeId | BoundaryId];
  readonly calmWPerK: number;
  readonly windWPerKPerMps: number;
}

export interface Network {
  readonly nodes: readonly ThermalNode[];
  readonly paths: readonly ThermalPath[];
}

export interface Heat {
  readonly setC: number;
  readonly capacityW: number;
  /** Share of the furnace's output that goes into the underbelly, 0 to 1. */
  readonly ductedShare: number;
  /** Whether it is on as the unit stands; keeping warm switches it on. */
  readonly running: boolean;
}

/** One derived number and where it comes from, for `drainby config`. */
export interface StatedDefault {
  readonly path: string;
  readonly value: string;
  readonly provenance: Provenance;
  readonly note: string;
}

export interface UnitModel {
  readonly id: string;
  readonly network: Network;
  readonly heat: Heat | null;
  readonly parts: readonly Part[];
  readonly stated: readonly StatedDefault[];
  /** Cautious readings of what the user left open, in full sentences. */
  readonly assumptions: readonly string[];
}

/** The user's own part, in base units. */
export interface OwnPart {
  readonly id: string;
  readonly label: string | null;
  readonly zone: ZoneId;
  readonly circuit: string;
  readonly waterKg: number;
  readonly conductanceWPerK: number;
  readonly wallHeatCapacityJPerK: number;
  readonly startTemperatureC: number | null;
  readonly body: 'rigid' | 'flexible';
  readonly blocked: number | null;
  readonly solid: number | null;
  readonly pocket: Pocket;
}

/** The user's own numbers for the network; null: from the catalogue. Capacities J/K, conductances W/K. */
export interface NetworkSpec {
  readonly insideCapacity: number | null;
  readonly underbellyCapacity: number | null;
  readonly underneathCapacity: number | null;
  readonly insideOutside: number | null;
  readonly insideUnderbelly: number | null;
  readonly underbellyUnderneath: number | null;
  readonly underneathOutside: number | null;
  readonly underneathGround: number | null;
}

/** What the config says of a unit's body, in base units. */
export interface UnitSpec {
  readonly id: string;
  readonly kind: UnitKind;
  /** Null: the kind's usual length. */
  readonly lengthM: number | null;
  readonly slides: number;
  readonly belly: Belly;
  readonly skirting: Skirting;
  /** `hose: connected` brings the hose, regulator and splitter at the post. */
  readonly hoseConnected: boolean;
  /** Null: no heat. `ductedShare` null: unknown, the catalogue's cautious value. */
  readonly heat: {
    readonly setC: number;
    readonly furnaceW: number;
    readonly ductedShare: number | null;
    readonly running: boolean;
  } | null;
  readonly network: NetworkSpec | null;
  readonly parts: {
    readonly catalogue: boolean;
    /** Ids of catalogue parts that the kind does not have by itself. */
    readonly add: readonly string[];
    readonly without: readonly string[];
    readonly own: readonly OwnPart[];
  };
}
