import type { Measure } from '../model/measure.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * In rising order of work. `drain-part` empties what lies outside, in bays and in flush lines, and leaves what is inside
 * in use.
 */
export const ACTIONS = ['nothing', 'keep-warm', 'drain-part', 'drain', 'winterize'] as const;
export type Action = (typeof ACTIONS)[number];

/** What programs that read answers, mail headers and machine messages know. */
export const OUTSIDE_ACTIONS = [
  'nothing',
  'keep-warm',
  'drain',
  'winterize',
] as const satisfies readonly Action[];
export type OutsideAction = (typeof OUTSIDE_ACTIONS)[number];

/** The one place where an action becomes what the outside knows: a partial drain is a drain that says so. */
export function outsideAction(action: Action): { readonly action: OutsideAction; readonly partial?: true } {
  return action === 'drain-part' ? { action: 'drain', partial: true } : { action };
}
export type Method = 'antifreeze' | 'air';

export function isStronger(action: Action, than: Action): boolean {
  return ACTIONS.indexOf(action) > ACTIONS.indexOf(than);
}

/** One number per feasible action; an action that is not feasible is absent. */
export type PerAction = Readonly<Partial<Record<Action, number>>>;

/** What is known of an action by its name outside; of a partial drain something else is said. */
export function outsideActions({ 'drain-part': _part, ...rest }: PerAction): PerOutsideAction {
  return rest;
}

export type PerOutsideAction = Readonly<Partial<Record<OutsideAction, number>>>;

/**
 * Which rule fixed the start-by time: `daylight-and-thaw`: the last daylight with air above freezing;
 * `daylight`: the last daylight; `deadline`: the damage itself, at any hour; `none`: there is no work to start.
 */
export type Bound = 'none' | 'deadline' | 'daylight' | 'daylight-and-thaw';

/**
 * Why the advice is what it is.
 * - `no-freeze`: no member damages anything within the window.
 * - `within-tolerance`: some members do, but not more than the user accepts.
 * - `cold-ahead`: the least action that brings the chance within its tolerance.
 * - `nothing-suffices`: no feasible action does; this one costs least, with the loss to expect after it.
 * - `frozen-path`: ice stands in the way: it cannot be drained, blown or pumped now.
 * - `held`: a weaker action would do by this forecast; it must be confirmed by another one first.
 */
export type ReasonCode =
  'no-freeze' | 'within-tolerance' | 'cold-ahead' | 'nothing-suffices' | 'frozen-path' | 'held';

/** Cold slows the work down. */
export interface Slowed {
  readonly factor: number;
  /** The coldest air while it is done. */
  readonly airC: number;
}

export interface Advice {
  readonly action: Action;
  /** How to winterize; null for any other action. */
  readonly method: Method | null;
  /** Circuits to be done where the rest is done already, or cannot be; absent: all. */
  readonly circuits?: readonly string[];
  /** Circuits that ice closes, to be left as they are until they have thawed; absent: none. */
  readonly closed?: readonly string[];
  /** What keeping it warm takes; absent with any other action. */
  readonly measures?: readonly Measure[];
  /** Latest start of the work, travel included; null when there is none to start. */
  readonly startBy: EpochSeconds | null;
  /** The start-by time has passed. */
  readonly late: boolean;
  readonly boundBy: Bound;
  /** Whether travel and work, begun then, lie within the free hours of somebody; absent: nobody named any, or it is late. */
  readonly inFreeHours?: boolean;
  readonly workMinutes: number;
  /** The air in which the work is slow, so that its minutes are counted so much longer; absent: it is not, or not known. */
  readonly slowed?: Slowed;
  readonly reasonCode: ReasonCode;
  /** What lesser work leaves that would do within the window only; absent: that is not why. */
  readonly throughCold?: ThroughCold;
}

/** To the end of the cold in which the window ends. */
export interface ThroughCold {
  /** When that is, by the middle course. */
  readonly until: EpochSeconds;
  /** Of the lesser actions that would do within the window. */
  readonly chances: PerAction;
}

/** When the first part fails if nothing is done, over all members; null: not within the forecast. */
export interface FirstDamage {
  readonly earliest: EpochSeconds | null;
  /** The share of members that may have failed by `deadlineAt`. */
  readonly deadlineQuantile: number;
  readonly deadlineAt: EpochSeconds | null;
  readonly median: EpochSeconds | null;
}

/** Below what the members can resolve, a chance of none is "under" this. */
export interface ChanceOfDamage {
  readonly perAction: PerAction;
  readonly tolerance: PerAction;
  readonly resolution: number;
}

/** Nothing can be done until the water's way has thawed. */
export function isFrozenIn({ action, reasonCode }: Advice): boolean {
  return action === 'nothing' && reasonCode === 'frozen-path';
}

/** Doing nothing because nothing can be done is not calm. */
export function asksForWork({ action, reasonCode }: Advice): boolean {
  return action !== 'nothing' || reasonCode === 'nothing-suffices';
}
