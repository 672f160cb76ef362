/** What damage costs: over all members, the repairs of the parts that come to harm. */
import { STOWED_CIRCUIT } from '../model/damage.ts';
import { isTank, isTrap } from '../model/circuit-names.ts';
import type { Scenario, ScenarioRisk } from '../model/risk.ts';
import type { Part, ZoneId } from '../model/unit.ts';
import { circuitState, isWet, type UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { repairPrice, type Costs } from './costs.ts';
import { breakShare, repairOf } from './repairs.ts';

export interface LossQuestion {
  /** In the order of the risk. */
  readonly parts: readonly Part[];
  readonly scenario: Pick<Scenario, 'change'>;
  /** Before the scenario's change. */
  readonly water: UnitWater;
  /** Damage after this does not count. */
  readonly until: EpochSeconds;
  readonly costs: Costs;
}

/** One repair that the cold may bring. */
export interface PartAtStake {
  readonly id: string;
  readonly label: string;
  /** That ice or cold damages it by the computation. */
  readonly chance: number;
  /** What its repair costs. */
  readonly repair: number;
  /** Chance × how often it has to be mended then × repair. */
  readonly expected: number;
}

export interface Loss {
  /** Over all members, those without damage included. */
  readonly expected: number;
  /** Weight of the members with damage. */
  readonly chance: number;
  /** The flooded floor's part of it; 0: no supply stands under pressure at the thaw. */
  readonly flood: number;
  /** By expected loss; each repair once. */
  readonly parts: readonly PartAtStake[];
}

/** Where a broken part lets water run onto the floor. */
const ABOVE_FLOOR: readonly ZoneId[] = ['inside', 'cabinet', 'slide'];

/** Sums in the order of members carry rounding that must not be seen. */
const DIGITS = 1e6;

function rounded(value: number): number {
  return Math.round(value * DIGITS) / DIGITS;
}

/** Parts that are mended together, and the price. */
interface Job {
  readonly price: number;
  readonly parts: readonly { readonly part: Part; readonly index: number; readonly floods: boolean }[];
}

export function lossOf(risk: ScenarioRisk, question: LossQuestion): Loss {
  const { parts, costs, until } = question;
  const shares = sharesOf(question);
  const jobs = jobsOf(question);
  const perJob = new Float64Array(jobs.length);
  const chances = new Float64Array(parts.length);
  let chance = 0;
  let flood = 0;
  risk.weights.forEach((weight, member) => {
    const shareOf = (index: number): number => {
      const at = risk.partAt[member * parts.length + index] ?? Infinity;
      return at > until ? 0 : (shares[index]?.(at) ?? 0);
    };
    if ((risk.firstAt[member] ?? Infinity) <= until) chance += weight;
    let dry = 1;
    jobs.forEach(({ price, parts: together }, job) => {
      let worst = 0;
      for (const { index, floods } of together) {
        const own = shareOf(index);
        if (own > 0) chances[index] = (chances[index] ?? 0) + weight;
        if (floods) dry *= 1 - own;
        worst = Math.max(worst, own);
      }
      perJob[job] = (perJob[job] ?? 0) + weight * worst * price;
    });
    flood += weight * (1 - dry) * costs.flood;
  });
  const repairs = jobs.flatMap((job, i) => stakeOf(job, perJob[i] ?? 0, chances));
  const expected = repairs.reduce((sum, { expected: own }) => sum + own, 0) + flood;
  return {
    expected: rounded(expected),
    chance: rounded(chance),
    flood: rounded(flood),
    parts: repairs.toSorted((x, y) => y.expected - x.expected || (x.id < y.id ? -1 : 1)),
  };
}

/** By part, how often it has to be mended when it comes to harm at an instant: water in it, or what a drain left. */
function sharesOf({ parts, scenario: { change }, water }: LossQuestion) {
  return parts.map((part) => {
    const before = breakShare(part, circuitState(water, part.circuit).state);
    const after = change === null ? before : breakShare(part, circuitState(change.water, part.circuit).state);
    return (at: EpochSeconds): number => (change !== null && at >= change.at ? after : before);
  });
}

function jobsOf({ parts, scenario, water, costs }: LossQuestion): readonly Job[] {
  const underPressure = isUnderPressure(parts, scenario.change?.water ?? water);
  const jobs = new Map<string, { price: number; parts: Job['parts'][number][] }>();
  parts.forEach((part, index) => {
    const { id, together } = repairOf(part);
    const job = jobs.get(together) ?? { price: 0, parts: [] };
    job.price = Math.max(job.price, repairPrice(id, costs));
    job.parts.push({ part, index, floods: underPressure && lets(part) });
    jobs.set(together, job);
  });
  return [...jobs.values()];
}

/** The hose is on and full: what is split runs as soon as it has thawed. */
function isUnderPressure(parts: readonly Part[], water: UnitWater): boolean {
  return (
    parts.some(({ circuit }) => circuit === STOWED_CIRCUIT) &&
    isWet(circuitState(water, STOWED_CIRCUIT).state)
  );
}

/** Split, it lets the supply's water onto the floor. */
function lets({ zone, circuit }: Part): boolean {
  return ABOVE_FLOOR.includes(zone) && !isTrap(circuit) && !isTank(circuit);
}

/** Under the name of the part that is likeliest to need it. */
function stakeOf({ price, parts }: Job, expected: number, chances: Float64Array): PartAtStake[] {
  const chanceOf = (index: number): number => chances[index] ?? 0;
  const [likeliest] = parts.toSorted((x, y) => chanceOf(y.index) - chanceOf(x.index));
  if (likeliest === undefined || expected === 0) return [];
  const { part, index } = likeliest;
  return [
    {
      id: part.id,
      label: part.label,
      chance: rounded(chanceOf(index)),
      repair: rounded(price),
      expected: rounded(expected),
    },
  ];
}
