import { ICE_THRESHOLDS } from '../model/ice-thresholds.ts';
import { isTrap } from '../model/circuit-names.ts';
import type { IceThresholds } from '../model/unit.ts';
import type { Hands } from '../model/catalogue-work.ts';
import type { Action, Method } from './advice.ts';
import { DEFAULT_COSTS, type Costs } from './costs.ts';

/** How much risk is accepted, and how time is kept. From the config's `policy` and a unit's own `policy`. */
export interface Policy {
  readonly windowHours: number;
  /** Accepted chance of damage when that action is the advice. */
  readonly tolerance: Readonly<Record<Action, number>>;
  /** `costs`: computed for each unit and forecast; the numbers above hold where money says nothing. */
  readonly toleranceFrom: 'stated' | 'costs';
  /** How many times as much as itself a loss counts against the cost of work, at least 1. */
  readonly caution: number;
  readonly costs: Costs;
  /** The rule of thumb for a drained circuit. */
  readonly sustained: { readonly atC: number; readonly hours: number };
  /** `simple`: the rule of thumb holds for wet parts, too, in place of their computed budgets. */
  readonly rule: 'computed' | 'simple';
  /** Ice fractions that count, for parts that state none of their own. */
  readonly thresholds: IceThresholds;
  readonly marginMinutes: number;
  /** Work is first called for when its time to start by is as near as this. */
  readonly callAheadHours: number;
  /** From this chance of damage within the window on it is called for at once. */
  readonly callAtOnceChance: number;
  readonly daylight: boolean;
  /** Chance above which cold is likely, and a heads-up goes out. */
  readonly headsUpChance: number;
}

/** Minutes of work and travel for one unit. */
export interface Work {
  readonly keepWarmMinutes: number;
  readonly drainMinutes: number;
  readonly winterizeMinutes: number;
  readonly travelMinutes: number;
  /** By air, where that takes another time; absent: as `winterizeMinutes`. */
  readonly airMinutes?: number;
  /** Absent: the owner's. */
  readonly hands?: Hands;
  /** Actions whose minutes come from the unit's own parts, so that cold adds to them; what a person states is their own. */
  readonly slowedByCold?: readonly Action[];
}

export const DEFAULT_POLICY: Policy = {
  windowHours: 72,
  tolerance: { nothing: 0.05, 'keep-warm': 0.05, 'drain-part': 0.05, drain: 0.25, winterize: 0.25 },
  toleranceFrom: 'stated',
  caution: 1,
  costs: DEFAULT_COSTS,
  sustained: { atC: -4, hours: 6 },
  rule: 'computed',
  thresholds: ICE_THRESHOLDS,
  marginMinutes: 120,
  callAheadHours: 24,
  callAtOnceChance: 0.9,
  daylight: true,
  headsUpChance: 0.5,
};

/** What is done from outside, without the rest; common practice. */
const OUTSIDE_MINUTES = 15;

/** @param method - how to winterize; null or absent: with antifreeze, or any other action */
export function workMinutes(work: Work, action: Action, method?: Method | null): number {
  switch (action) {
    case 'nothing':
      return 0;
    case 'keep-warm':
      return work.keepWarmMinutes;
    case 'drain-part':
      return Math.min(work.drainMinutes, OUTSIDE_MINUTES);
    case 'drain':
      return work.drainMinutes;
    case 'winterize':
      return method === 'air' ? (work.airMinutes ?? work.winterizeMinutes) : work.winterizeMinutes;
  }
}

/** Circuits behind a lid or a valve of their own, done without the rest. */
const ASIDE: readonly string[] = ['flush', 'outside-shower', 'inlet', 'outside-kitchen'];

/**
 * Minutes for some circuits alone; common practice: traps 5, what is done from outside 15. Anything else takes as
 * long as the whole.
 */
export function partialMinutes(work: Work, action: Action, circuits: readonly string[]): number {
  const whole = workMinutes(work, action);
  if (circuits.every(isTrap)) return Math.min(whole, 5);
  return circuits.every((c) => isTrap(c) || ASIDE.includes(c)) ? Math.min(whole, OUTSIDE_MINUTES) : whole;
}
