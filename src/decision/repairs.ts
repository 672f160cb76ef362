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

/**
 * What mends which part of the catalogue, and under which name: parts of one name are mended together, so that they are
 * paid once.
 */
const OF_PARTS: ReadonlyMap<string, readonly [repair: RepairId, together: string]> = new Map([
  ['outside-shower', ['faucet', 'outside-shower']],
  ['outside-shower-hot', ['faucet', 'outside-shower']],
  ['spray-port', ['small-valve', 'spray-port']],
  ['city-inlet', ['inlet', 'city-inlet']],
  ['black-flush', ['line', 'black-flush']],
  ['flush-breaker', ['small-valve', 'flush-breaker']],
  ['petcock', ['small-valve', 'petcock']],
  ['tank-outlet', ['hidden-fitting', 'tank-outlet']],
  ['low-points', ['small-valve', 'low-points']],
  ['pump-head', ['pump', 'pump']],
  ['strainer', ['pump', 'pump']],
  ['check-valve', ['small-valve', 'check-valve']],
  ['canister-filter', ['filter', 'canister-filter']],
  ['water-softener', ['softener', 'water-softener']],
  ['toilet-valve', ['toilet-valve', 'toilet-valve']],
  ['second-toilet', ['toilet-valve', 'second-toilet']],
  ['hand-spray', ['small-valve', 'hand-spray']],
  ['kitchen-faucet', ['faucet', 'kitchen-faucet']],
  ['bath-faucet', ['faucet', 'bath-faucet']],
  ['cold-line', ['line', 'cold-line']],
  ['hot-line', ['line', 'hot-line']],
  ['cabinet-elbow', ['hidden-fitting', 'cabinet-elbow']],
  ['slide-line', ['line', 'slide-line']],
  ['heater-tank', ['heater', 'heater']],
  ['heater-fittings', ['heater-fittings', 'heater-fittings']],
  ['tankless-heater', ['tankless', 'heater']],
  ['hydronic-coil', ['tankless', 'hydronic-coil']],
  ['accumulator', ['filter', 'accumulator']],
  ['washing-machine', ['appliance', 'washing-machine']],
  ['dishwasher', ['appliance', 'dishwasher']],
  ['ice-maker', ['appliance', 'ice-maker']],
  ['dispenser-coil', ['appliance', 'dispenser-coil']],
  ['outside-kitchen', ['faucet', 'outside-kitchen']],
  ['macerator', ['macerator', 'macerator']],
  ['dump-grey', ['dump-valve', 'dump-grey']],
  ['dump-black', ['dump-valve', 'dump-black']],
]);

/** A tank and no elbow or valve of it. */
const TANK_KG = 5;

/** An own part that takes no catalogue part's name is mended as its circuit is: a fitting or, where it gives way, a line. */
export function repairOf(part: Part): { readonly id: RepairId; readonly together: string } {
  const known = OF_PARTS.get(part.id);
  if (known !== undefined) return { id: known[0], together: known[1] };
  return { id: byCircuit(part), together: part.id };
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
