/**
 * The parts that hold water in trailers and motorhomes, and where they hang. Masses and conductances are common
 * practice or engineering estimates, no published source; each can be overridden by an own part.
 */
import { tankOf, type BoxTank } from './body.ts';
import { lineOf } from './tube.ts';
import type { Film, Part, Pocket, Provenance, UnitKind, ZoneId } from './unit.ts';

/**
 * Zones that depend on the unit at hand. `below`: whatever is under the floor. `protruding`: hangs
 * through the belly, so that a heated one holds half. `enclosable`: the same, but for a belly with ducts of its own, which
 * is built round it.
 */
export type CatalogueZone = ZoneId | 'below' | 'enclosable' | 'protruding';

export interface CataloguePart {
  readonly id: string;
  readonly label: string;
  readonly zone: CatalogueZone;
  readonly circuit: string;
  readonly waterKg: number;
  readonly conductanceWPerK: number;
  readonly body: Part['body'];
  readonly pocket: Pocket;
  readonly provenance: Provenance;
  /** Resistance of the full ice layer over that of the outside film; 0 for a lumped body. */
  readonly iceLayerRatio: number;
  /** Kinds that have it by themselves; all others may add it. */
  readonly kinds: readonly UnitKind[];
  /** Lies against floor or tank: no wind reaches it, wherever it hangs. */
  readonly sheltered: boolean;
  /** Its shape, when it is a tank. */
  readonly box?: BoxTank;
  /** What the wind meets; absent: a valve or elbow. */
  readonly film?: Film;
}

const ALL: readonly UnitKind[] = [
  'travel-trailer',
  'fifth-wheel',
  'motorhome',
  'truck-camper',
  'van',
  'pop-up',
];
const FULL: readonly UnitKind[] = ['travel-trailer', 'fifth-wheel', 'motorhome'];
const BATH: readonly UnitKind[] = [...FULL, 'truck-camper'];
const NONE: readonly UnitKind[] = [];

type Row = readonly [
  id: string,
  label: string,
  zone: CatalogueZone,
  circuit: string,
  waterKg: number,
  conductanceWPerK: number,
  body: 'rigid' | 'flexible',
  pocket: Pocket,
  provenance: Provenance,
  kinds: readonly UnitKind[],
];

/**
 * What hangs behind a lid in the wall (outside shower, spray port, city inlet) is taken as in a hatch bay. A dump
 * valve has its tank’s water above, no room of its own, and gives like flexible bodies: it breaks when nearly solid. Lines have the contents
 * and conductance of half-inch PEX. A stub of 12 cm with its cap gives off 0.08 W/K at 9 W/(m²·K). The ends of a
 * heated hose are its couplings, which its wire does not reach.
 */
// prettier-ignore
const ROWS: readonly Row[] = [
  ['outside-shower', 'outside shower valve', 'bay', 'outside-shower', 0.03, 0.24, 'rigid', 'never', 'practice', FULL],
  ['outside-shower-hot', 'outside shower valve, hot side', 'bay', 'outside-shower', 0.03, 0.24, 'rigid', 'never', 'practice', FULL],
  ['spray-port', 'spray port', 'bay', 'outside-shower', 0.015, 0.14, 'rigid', 'never', 'estimate', NONE],
  ['city-inlet', 'city inlet', 'bay', 'inlet', 0.015, 0.14, 'rigid', 'never', 'practice', ALL],
  ['black-flush', 'black-tank flush line', 'below', 'flush', 0.06, 0.35, 'flexible', 'quick', 'estimate', FULL],
  ['flush-breaker', 'vacuum breaker of the flush line', 'cabinet', 'flush', 0.03, 0.15, 'rigid', 'quick', 'estimate', FULL],
  ['petcock', 'tank petcock', 'protruding', 'tank-fresh', 0.01, 0.1, 'flexible', 'never', 'practice', ALL],
  ['tank-outlet', 'fresh-tank outlet elbow', 'below', 'tank-fresh', 0.04, 0.15, 'rigid', 'never', 'estimate', BATH],
  ['low-points', 'low-point stubs and caps', 'protruding', 'cold', 0.02, 0.08, 'flexible', 'never', 'estimate', FULL],
  ['pump-head', 'pump head', 'inside', 'cold', 0.12, 0.2, 'rigid', 'quick', 'practice', ALL],
  ['strainer', 'pump strainer', 'inside', 'cold', 0.05, 0.1, 'rigid', 'quick', 'practice', ALL],
  ['check-valve', 'check valves', 'cabinet', 'cold', 0.02, 0.08, 'rigid', 'quick', 'estimate', BATH],
  ['canister-filter', 'canister filter', 'inside', 'cold', 0.8, 1.8, 'rigid', 'quick', 'practice', NONE],
  ['water-softener', 'water softener', 'post', 'post', 8, 4, 'rigid', 'quick', 'estimate', NONE],
  ['toilet-valve', 'toilet valve', 'inside', 'cold', 0.05, 0.1, 'rigid', 'quick', 'practice', BATH],
  ['second-toilet', 'second toilet’s valve', 'inside', 'cold', 0.05, 0.1, 'rigid', 'quick', 'practice', NONE],
  ['hand-spray', 'hand spray at the toilet', 'inside', 'cold', 0.03, 0.1, 'flexible', 'quick', 'estimate', NONE],
  ['kitchen-faucet', 'kitchen faucet cartridge', 'inside', 'cold', 0.03, 0.12, 'rigid', 'never', 'estimate', ALL],
  ['bath-faucet', 'bathroom faucet cartridge', 'inside', 'hot', 0.03, 0.12, 'rigid', 'never', 'estimate', BATH],
  ['cold-line', 'cold line under the floor', 'below', 'cold', 0.7, 2.7, 'flexible', 'never', 'estimate', BATH],
  ['hot-line', 'hot line under the floor', 'below', 'hot', 0.7, 2.7, 'flexible', 'never', 'estimate', BATH],
  ['cabinet-elbow', 'elbows behind the cupboards', 'cabinet', 'cold', 0.02, 0.1, 'rigid', 'never', 'estimate', ALL],
  ['slide-line', 'line in the slide', 'slide', 'cold', 0.2, 0.76, 'flexible', 'never', 'estimate', NONE],
  ['kitchen-trap', 'kitchen trap', 'inside', 'trap-kitchen', 0.35, 0.5, 'flexible', 'never', 'practice', ALL],
  ['bath-trap', 'bathroom trap', 'inside', 'trap-bath', 0.35, 0.5, 'flexible', 'never', 'practice', BATH],
  ['shower-trap', 'shower trap', 'below', 'trap-shower', 0.35, 0.5, 'flexible', 'never', 'practice', BATH],
  ['heater-tank', 'water-heater tank', 'bay', 'heater', 22.7, 1.5, 'rigid', 'never', 'practice', BATH],
  ['heater-fittings', 'water heater’s outside fittings', 'bay', 'heater', 0.04, 0.2, 'rigid', 'never', 'estimate', BATH],
  ['tankless-heater', 'tankless water heater', 'bay', 'heater', 0.4, 1.2, 'rigid', 'quick', 'practice', NONE],
  ['hydronic-coil', 'hydronic heater’s domestic coil', 'bay', 'heater', 0.5, 1.2, 'rigid', 'quick', 'estimate', NONE],
  ['accumulator', 'accumulator', 'inside', 'cold', 0.5, 0.6, 'rigid', 'quick', 'estimate', NONE],
  ['washing-machine', 'washing machine’s valves and drain pump', 'inside', 'washer', 0.6, 0.6, 'rigid', 'quick', 'estimate', NONE],
  ['dishwasher', 'dishwasher’s valve and pump', 'inside', 'washer', 0.4, 0.5, 'rigid', 'quick', 'estimate', NONE],
  ['ice-maker', 'ice maker’s valve and line', 'inside', 'ice-maker', 0.05, 0.3, 'rigid', 'quick', 'estimate', NONE],
  ['dispenser-coil', 'refrigerator’s dispenser coil', 'inside', 'ice-maker', 0.3, 0.4, 'flexible', 'always', 'estimate', NONE],
  ['outside-kitchen', 'outside kitchen’s faucet and line', 'bay', 'outside-kitchen', 0.1, 0.4, 'rigid', 'never', 'estimate', NONE],
  ['macerator', 'macerator pump', 'below', 'tank-black', 0.3, 0.5, 'rigid', 'quick', 'estimate', NONE],
  ['dump-grey', 'grey dump valve and stub', 'enclosable', 'tank-grey', 1.5, 2, 'flexible', 'never', 'practice', BATH],
  ['dump-black', 'black dump valve and stub', 'enclosable', 'tank-black', 1.5, 2, 'flexible', 'never', 'practice', BATH],
  ['hose', 'hose', 'post', 'post', 1.5, 3.8, 'flexible', 'never', 'practice', NONE],
  ['hose-end-post', 'hose’s end at the post', 'post', 'post', 0.02, 0.12, 'rigid', 'never', 'estimate', NONE],
  ['hose-end-unit', 'hose’s end at the inlet', 'post', 'post', 0.02, 0.12, 'rigid', 'never', 'estimate', NONE],
  ['regulator', 'pressure regulator at the post', 'post', 'post', 0.03, 0.2, 'rigid', 'never', 'estimate', NONE],
  ['splitter', 'splitter at the post', 'post', 'post', 0.03, 0.2, 'rigid', 'never', 'estimate', NONE],
  ['post-filter', 'canister filter at the post', 'post', 'post', 0.8, 1.8, 'rigid', 'never', 'practice', NONE],
  ['hydrant', 'frost-free hydrant kept from draining by the hose', 'post', 'post', 0.4, 0.8, 'rigid', 'never', 'estimate', NONE],
];

type TankRow = readonly [
  id: TankId,
  label: string,
  zone: CatalogueZone,
  circuit: string,
  kinds: readonly UnitKind[],
  box: BoxTank,
];

/** Flat boxes of about 120, 60, 60 and 40 L: engineering estimates. Fresh tanks hold 20 to 100 gal. */
// prettier-ignore
const TANK_ROWS: readonly TankRow[] = [
  ['fresh-tank', 'fresh tank', 'below', 'tank-fresh', BATH, { lengthM: 1.2, widthM: 0.7, heightM: 0.156 }],
  ['grey-tank', 'grey tank', 'below', 'tank-grey', BATH, { lengthM: 1, widthM: 0.5, heightM: 0.134 }],
  ['black-tank', 'black tank', 'below', 'tank-black', BATH, { lengthM: 1, widthM: 0.5, heightM: 0.134 }],
  ['portable-tank', 'small fresh tank', 'inside', 'tank-fresh', ['van', 'pop-up'], { lengthM: 0.6, widthM: 0.4, heightM: 0.184 }],
];

export type TankId = 'fresh-tank' | 'grey-tank' | 'black-tank' | 'portable-tank';

/** Lie against floor or tank. */
const SHELTERED: readonly string[] = ['tank-outlet', 'shower-trap'];

/** Long round ones, by the tube that the wind meets. */
const ROUND: Readonly<Record<string, string>> = {
  'black-flush': 'pex-3/8',
  'cold-line': 'pex-1/2',
  'hot-line': 'pex-1/2',
  'slide-line': 'pex-1/2',
  hose: 'hose-5/8',
};

/** What hangs on the hook-up when the hose is connected, and what more when it is heated. */
export const HOSE_PARTS: readonly string[] = ['hose', 'regulator', 'splitter'];
export const HEATED_HOSE_PARTS: readonly string[] = [...HOSE_PARTS, 'hose-end-post', 'hose-end-unit'];

export function catalogueParts(): readonly CataloguePart[] {
  return [...ROWS.map(rowPart), ...TANK_ROWS.map(tankPart)];
}

function rowPart(row: Row): CataloguePart {
  const [id, label, zone, circuit, waterKg, conductanceWPerK, body, pocket, provenance, kinds] = row;
  const tube = ROUND[id];
  const line = tube === undefined ? null : lineOf({ tube, lengthM: 1 });
  return {
    id,
    label,
    zone,
    circuit,
    waterKg,
    conductanceWPerK,
    body,
    pocket,
    provenance,
    kinds,
    iceLayerRatio: 0,
    sheltered: SHELTERED.includes(id),
    ...(line === null ? {} : { film: { diameterM: line.diameterM, fixedShare: line.fixedShare } }),
  };
}

function tankPart([id, label, zone, circuit, kinds, box]: TankRow): CataloguePart {
  return {
    id,
    label,
    zone,
    circuit,
    kinds,
    body: 'flexible',
    pocket: 'never',
    provenance: 'estimate',
    sheltered: false,
    box,
    ...tankVessel(box, 1),
  };
}

/** What a tank holds and how it gives off heat, so full. */
export function tankVessel(
  box: BoxTank,
  fill: number,
): Pick<Part, 'waterKg' | 'conductanceWPerK' | 'iceLayerRatio'> & { readonly film: Film } {
  const { waterKg, conductanceWPerK, iceLayerRatio, diameterM, fixedShare } = tankOf({ ...box, fill });
  return { waterKg, conductanceWPerK, iceLayerRatio, film: { diameterM, fixedShare } };
}

/** Ids of all parts of the catalogue, for `parts.add` and `parts.without`. */
export function catalogueIds(): readonly string[] {
  return [...ROWS, ...TANK_ROWS].map(([id]) => id);
}
