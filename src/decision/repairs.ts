/** What breaks, what mends it, and how often ice that closes a part breaks it. */
import { isTank, isTrap } from '../model/circuit-names.ts';
import { holdsWater } from '../model/damage.ts';
import type { Part } from '../model/unit.ts';
import type { WaterState } from '../model/water-state.ts';

export const REPAIR_IDS = [
  'pump',
  'toilet-valve',
  'faucet',
  'hidden-fitting',
  'line',
  'inlet',
  'dump-valve',
  'heater',
  'heater-fittings',
  'tankless',
  'trap',
  'filter',
  'tank',
  'small-valve',
  'appliance',
  'macerator',
  'softener',
  'hook-up',
] as const;
export type RepairId = (typeof REPAIR_IDS)[number];

export interface Repair {
  readonly part: number;
  readonly hours: number;
  /** How often it is needed where the computation says damaged and water stood in it. */
  readonly breaks: number;
}

/**
 * Part in dollars and hours: pump, toilet valve, faucet, hidden fitting, inlet, dump valve, heater and tankless heater are
 * common practice, no source; the others are engineering estimates in their proportion. A line is opened like a hidden
 * fitting.
 *
 * A part that ice has closed is one that may break, and not each does. The shares are engineering estimates (pump,
 * elbows and cartridges 0.2 to 0.6; tubing that gives 0.02 to 0.1), such that a typical unit left wet at −10 °C comes
 * to the 900 dollars (400 to 2,000) that the trade reckons with.
 */
export const REPAIRS: Readonly<Record<RepairId, Repair>> = {
  pump: { part: 180, hours: 1, breaks: 0.33 },
  'toilet-valve': { part: 60, hours: 1, breaks: 0.33 },
  faucet: { part: 80, hours: 1, breaks: 0.33 },
  'hidden-fitting': { part: 350, hours: 0, breaks: 0.33 },
  line: { part: 350, hours: 0, breaks: 0.05 },
  inlet: { part: 35, hours: 0.5, breaks: 0.33 },
  'dump-valve': { part: 60, hours: 2, breaks: 0.05 },
  heater: { part: 1100, hours: 3, breaks: 0.3 },
  'heater-fittings': { part: 60, hours: 1, breaks: 0.33 },
  tankless: { part: 1200, hours: 0, breaks: 0.33 },
  trap: { part: 15, hours: 0.5, breaks: 0.1 },
  filter: { part: 60, hours: 0.5, breaks: 0.33 },
  tank: { part: 250, hours: 3, breaks: 0.1 },
  'small-valve': { part: 15, hours: 0.5, breaks: 0.1 },
  appliance: { part: 120, hours: 1, breaks: 0.33 },
  macerator: { part: 200, hours: 1, breaks: 0.33 },
  softener: { part: 250, hours: 0, breaks: 0.33 },
  'hook-up': { part: 40, hours: 0, breaks: 0.33 },
};

/** What mends which part of the catalogue. */
const OF_PARTS: ReadonlyMap<string, RepairId> = new Map([
  ['outside-shower', 'faucet'],
  ['outside-shower-hot', 'faucet'],
  ['spray-port', 'small-valve'],
  ['city-inlet', 'inlet'],
  ['black-flush', 'line'],
  ['flush-breaker', 'small-valve'],
  ['petcock', 'small-valve'],
  ['tank-outlet', 'hidden-fitting'],
  ['low-points', 'small-valve'],
  ['pump-head', 'pump'],
  ['strainer', 'pump'],
  ['check-valve', 'small-valve'],
  ['canister-filter', 'filter'],
  ['water-softener', 'softener'],
  ['toilet-valve', 'toilet-valve'],
  ['second-toilet', 'toilet-valve'],
  ['hand-spray', 'small-valve'],
  ['kitchen-faucet', 'faucet'],
  ['bath-faucet', 'faucet'],
  ['cold-line', 'line'],
  ['hot-line', 'line'],
  ['cabinet-elbow', 'hidden-fitting'],
  ['slide-line', 'line'],
  ['heater-tank', 'heater'],
  ['heater-fittings', 'heater-fittings'],
  ['tankless-heater', 'tankless'],
  ['hydronic-coil', 'tankless'],
  ['accumulator', 'filter'],
  ['washing-machine', 'appliance'],
  ['dishwasher', 'appliance'],
  ['ice-maker', 'appliance'],
  ['dispenser-coil', 'appliance'],
  ['outside-kitchen', 'faucet'],
  ['macerator', 'macerator'],
  ['dump-grey', 'dump-valve'],
  ['dump-black', 'dump-valve'],
]);

/** Mended with another part, so that both are paid once. */
const WITH: ReadonlyMap<string, string> = new Map([
  ['outside-shower-hot', 'outside-shower'],
  ['strainer', 'pump-head'],
  ['tankless-heater', 'heater-tank'],
]);

/** A tank and no elbow or valve of it. */
const TANK_KG = 5;

/**
 * What mends a part, and under which name: parts of one name are mended together. An own part that takes no catalogue
 * part's name is mended as its circuit is: a fitting or, where it gives way, a line.
 */
export function repairOf(part: Part): { readonly id: RepairId; readonly together: string } {
  return { id: OF_PARTS.get(part.id) ?? byCircuit(part), together: WITH.get(part.id) ?? part.id };
}

function byCircuit({ circuit, body, waterKg }: Part): RepairId {
  if (isTrap(circuit)) return 'trap';
  if (circuit === 'post') return 'hook-up';
  if (isTank(circuit)) return waterKg >= TANK_KG ? 'tank' : 'dump-valve';
  if (circuit === 'heater') return waterKg >= TANK_KG ? 'heater' : 'heater-fittings';
  if (circuit === 'inlet') return 'inlet';
  return body === 'flexible' ? 'line' : 'hidden-fitting';
}

/**
 * How often what a drain leaves behind breaks a part that the rule of thumb counts as damaged: the rule speaks of the
 * unit, and what is left stands in a few low spots. Engineering estimate, 0.02 to 0.1, such that computed tolerances come
 * near the stated ones.
 */
const LEFT_BEHIND_BREAKS = 0.04;

/** Vessels with a plug of their own: a puddle at the bottom has the whole vessel to grow into. */
const EMPTIED: readonly RepairId[] = ['heater', 'tank'];

/** How often damage of the computation is damage to be mended, with that in it. */
export function breakShare(part: Part, state: WaterState): number {
  const { id } = repairOf(part);
  if (state.kind !== 'drained' || holdsWater(part, state)) return REPAIRS[id].breaks;
  return EMPTIED.includes(id) ? 0 : LEFT_BEHIND_BREAKS;
}
