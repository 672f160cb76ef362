/** How much chance of damage is worth leaving, by what the work costs and what the damage would. */
import { ACTIONS, type Action } from './advice.ts';

export type Tolerances = Readonly<Record<Action, number>>;

/** One way to carry out an action, with its price and what it leaves. */
export interface PricedWay {
  readonly action: Action;
  readonly cost: number;
  /** Chance of damage and loss to expect when it is done. */
  readonly chance: number;
  readonly loss: number;
}

export interface ToleranceQuestion {
  /** Every feasible way, in rising order of work. */
  readonly ways: readonly PricedWay[];
  /** Of the unit full of water in this cold: what damage costs where there is any; null: this cold does none. */
  readonly lossIfWet: number | null;
  /** How many times as much as itself a loss counts. */
  readonly caution: number;
  /** What holds where money says nothing: no stronger action, or no loss. */
  readonly usual: Tolerances;
}

/**
 * Never less: below it no forecast tells one chance from another, and every cold night would ask for work. Never more:
 * nobody is to wait for damage that is as likely as not. Engineering estimates.
 */
const LEAST_TOLERANCE = 0.01;
const MOST_TOLERANCE = 0.5;

/**
 * An action is worth leaving a chance p where p × loss costs less than the next stronger work would cost more: the
 * least over stronger actions of (difference of cost) / (caution × loss). The loss is what damage costs, where there is
 * any, once that action is done; where it leaves no damage, what it costs the unit full of water in this cold.
 *
 * Cost-loss model: act when p > C/L (Richardson 2000).
 */
export function tolerancesFromCosts(question: ToleranceQuestion): Tolerances {
  const of = (action: Action): number => toleranceOf(action, question);
  return Object.fromEntries(ACTIONS.map((action) => [action, of(action)])) as Record<Action, number>;
}

function toleranceOf(action: Action, { ways, lossIfWet, caution, usual }: ToleranceQuestion): number {
  const own = cheapest(ways.filter((way) => way.action === action));
  if (own === null) return usual[action];
  const stronger = ways.filter(
    (way) => ACTIONS.indexOf(way.action) > ACTIONS.indexOf(action) && helps(way, own),
  );
  const loss = own.chance === 0 ? lossIfWet : own.loss / own.chance;
  if (stronger.length === 0 || loss === null || loss <= 0) return usual[action];
  const saved = Math.min(...stronger.map((way) => way.cost)) - own.cost;
  const share = saved / (caution * loss);
  return Math.round(Math.min(MOST_TOLERANCE, Math.max(LEAST_TOLERANCE, share)) * 1e4) / 1e4;
}

/** Emptying only what lies outside is cheap, and no alternative where most of the chance lies inside. */
function helps({ action, chance }: PricedWay, own: PricedWay): boolean {
  return action !== 'drain-part' || chance <= own.chance / 2;
}

function cheapest(ways: readonly PricedWay[]): PricedWay | null {
  return ways.reduce<PricedWay | null>(
    (best, way) => (best === null || way.cost < best.cost ? way : best),
    null,
  );
}
