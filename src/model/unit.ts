import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * What the model knows of one unit: its zones as a thermal network, its heat, its parts. Built from a
 * `UnitSpec` by `catalogue.ts`; nothing here knows about forecasts or config files.
 */

/** Where a number comes from. `estimate`: engineering estimate. `config`: the user said so. */
export type Provenance = 'found' | 'memory' | 'practice' | 'estimate' | 'derived' | 'config';

/**
 * The unit's zones. An own part may name any of these. `outlet`: what hangs through the belly skin, half in the
 * underbelly and half in the air below. `barn`: the air of the barn the unit stands in.
 */
export const ZONES = [
  'outside',
  'barn',
  'post',
  'underneath',
  'outlet',
  'underbelly',
  'bay',
  'cabinet',
  'slide',
  'inside',
] as const;
export type ZoneId = (typeof ZONES)[number];

export function isZone(name: string): name is ZoneId {
  return ZONES.some((zone) => zone === name);
}

export const KINDS = ['travel-trailer', 'fifth-wheel', 'motorhome', 'truck-camper', 'van', 'pop-up'] as const;
export type UnitKind = (typeof KINDS)[number];

export const BELLIES = ['open', 'enclosed', 'heated'] as const;
export type Belly = (typeof BELLIES)[number];

export const SKIRTINGS = ['none', 'vinyl', 'insulated'] as const;
export type Skirting = (typeof SKIRTINGS)[number];

/** What keeps the wind off. `row`: among other units under a roof. `barn`: an enclosed, unheated barn. */
export const SHELTERS = ['open', 'sheltered', 'row', 'barn'] as const;
export type Shelter = (typeof SHELTERS)[number];

export const BELLY_SKINS = ['bare', 'foil', 'torn'] as const;
export type BellySkin = (typeof BELLY_SKINS)[number];

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
  /** Its ice has room to grow into, as in a part-full tank: it closes the way and breaks nothing. Absent: no room. */
  readonly headroom?: true;
  /** Shape that the wind meets; absent: a valve or elbow. */
  readonly film?: Film;
  /** Its own heater, which warms it and never its zone; absent: none. */
  readonly heat?: PartHeat;
}

export interface Film {
  /** Across the wind [m]. */
  readonly diameterM: number;
  /** Share of the calm resistance that wind does not change, 0 to 1: wall, sleeve, mounting. */
  readonly fixedShare: number;
}

/** A pad, a tape, a burner: full on below a temperature of its part, off above it. */
export interface PartHeat {
  readonly watts: number;
  readonly onBelowC: number;
  /** Without this supply it gives nothing, but for what is stored. */
  readonly needs: 'shore' | 'gas';
  /** What it still gives from a hot tank in the first and in the second 6 h after that [W]; absent: nothing. */
  readonly stored?: readonly [number, number];
}

export type NodeId = 'inside' | 'underbelly' | 'underneath' | 'barn';
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

/** The air of a zone: weights of nodes and outside that sum to 1, followed with a lag. */
export interface ZoneAir {
  readonly of: readonly { readonly end: NodeId | 'outside'; readonly weight: number }[];
  /** Time constant [s]; 0: at once. */
  readonly lagS: number;
}

export interface Network {
  readonly nodes: readonly ThermalNode[];
  readonly paths: readonly ThermalPath[];
  readonly zones: Readonly<Record<ZoneId, ZoneAir>>;
}

export interface Heat {
  readonly setC: number;
  /** What the furnace gives at full power, at the unit's height [W]; 0: there is none. */
  readonly capacityW: number;
  /** Share of the furnace's output that goes into the underbelly, 0 to 1. */
  readonly ductedShare: number;
  /** Whether it is on as the unit stands; keeping warm switches it on. */
  readonly running: boolean;
  /** Electric heaters inside [W], whose thermostat stands above the furnace's: they come first. Absent: none. */
  readonly electricW?: number;
  /** Comes with the electric heaters while outside air is above its limit. Absent: none. */
  readonly heatPump?: { readonly watts: number; readonly limitC: number };
  /** When gas and charge were read; absent: now, whenever that is. */
  readonly gaugedAt?: EpochSeconds;
  /** Absent: gas is taken to last. */
  readonly gas?: Gas;
  /** What runs the blower without shore power. Absent: it is taken to last. */
  readonly battery?: Battery;
  /** Whether shore power is there; electric heaters and pads need it. */
  readonly shore: boolean;
}

export interface Gas {
  /** On board now [kg], in all cylinders. */
  readonly kg: number;
  /** Full weight of gas of one cylinder [kg]; they are drawn on one after the other. */
  readonly cylinderKg: number;
  /** Somebody changes cylinders in time: gas never runs out, but a cold cylinder still gives less. */
  readonly refilled: boolean;
}

export interface Battery {
  /** Usable at room temperature [Ah], now: capacity × charge × usable share × what age leaves. */
  readonly usableAh: number;
  /** Share left at −15 °C; linear between there and 25 °C. */
  readonly shareAtMinus15: number;
  /** Drawn by the blower at full fire, and by all else all the time [A]. */
  readonly blowerA: number;
  readonly standbyA: number;
}

/** What draws on the post, and what the post bears. */
export interface Electrics {
  /** What the breaker bears continuously [W]; null: not known. */
  readonly limitW: number | null;
  readonly loads: readonly ElectricLoad[];
}

export interface ElectricLoad {
  readonly label: string;
  readonly watts: number;
  /** On only while the heat inside is. */
  readonly withHeat?: true;
}

/** The unit is on the road: its speed is its wind, and the furnace is off. */
export interface Tow {
  readonly from: EpochSeconds;
  readonly until: EpochSeconds;
  readonly speedMps: number;
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
  /** Wind that reaches the unit over the forecast's, 0 to 1. Absent: 1. */
  readonly windReaching?: number;
  readonly tows?: readonly Tow[];
  readonly electrics?: Electrics;
  /** The outside shower hangs on the lines without valves of its own: it cannot be emptied while they are in use. */
  readonly showerOnLines?: true;
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
  /** In a barn only. Absent: from the catalogue. */
  readonly barnCapacity?: number;
  readonly barnOutside?: number;
  readonly barnGround?: number;
}

/** Ice fractions that count, for parts that do not state their own. */
export interface IceThresholds {
  readonly blocked: Readonly<Record<Part['body'], number>>;
  readonly solid: number;
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
  readonly heat: HeatSpec | null;
  readonly network: NetworkSpec | null;
  /** Absent: in the open. */
  readonly shelter?: Shelter;
  /** Absent: bare. */
  readonly bellySkin?: BellySkin;
  /** Height of the place above the sea [m]; absent: not known, taken as 0. */
  readonly elevationM?: number;
  /** Cupboards on outside walls stand open. */
  readonly cupboardsOpen?: boolean;
  /** The hose is heated. */
  readonly hoseHeated?: boolean;
  /** Whether the water heater heats; absent: it does not. */
  readonly waterHeater?: 'off' | 'gas' | 'shore';
  /** Whether a tankless heater's own protection is switched on; it needs gas and 12 V. */
  readonly tanklessProtected?: boolean;
  /** Whether the outside shower has shut-off valves of its own; absent: nobody has said. */
  readonly showerValves?: boolean;
  /** Pads under the tanks [W each]; absent: none. */
  readonly tankPadW?: number;
  /** How full each tank is, 0 to 1; absent: as the catalogue has it. */
  readonly tanks?: { readonly fresh?: number; readonly grey?: number; readonly black?: number };
  readonly tows?: readonly Tow[];
  /** What the post bears, and loads beyond those that the unit's own heaters make. Absent: not known. */
  readonly electrics?: Electrics;
  /** Absent: `ICE_THRESHOLDS` of `ice-thresholds.ts`. */
  readonly thresholds?: IceThresholds;
  readonly parts: {
    readonly catalogue: boolean;
    /** Lines by tube and length. */
    readonly lines?: readonly LineSpec[];
    /** Ids of catalogue parts that the kind does not have by itself. */
    readonly add: readonly string[];
    readonly without: readonly string[];
    readonly own: readonly OwnPart[];
  };
}

export interface HeatSpec {
  readonly setC: number;
  /** At sea level [W]; 0: none. */
  readonly furnaceW: number;
  readonly ductedShare: number | null;
  readonly running: boolean;
  readonly electricW?: number;
  readonly heatPump?: Heat['heatPump'];
  readonly gaugedAt?: EpochSeconds;
  readonly gas?: Gas;
  readonly battery?: Battery;
  /** Absent: there is shore power. */
  readonly shore?: boolean;
}

/** A line of the user's own, whose contents and conductance come from its tube. */
export interface LineSpec {
  readonly id: string;
  readonly label: string | null;
  readonly zone: ZoneId;
  readonly circuit: string;
  /** A tube of `tube.ts`. */
  readonly tube: string;
  readonly lengthM: number;
  /** Insulation around it [m]; 0: bare. */
  readonly sleeveM: number;
  /** Heat tape along it [W/m]; 0: none. */
  readonly tapeWPerM: number;
}
