/** What can be done with a unit, and what it leaves. */
import type { Tolerances } from './tolerance.ts';
import type { Measure } from '../model/measure.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Action, Method } from './advice.ts';

export interface Money {
  readonly cost: number;
  readonly loss: number;
  /** Trade names of the parts that it is likeliest of, the first first; absent: not known. */
  readonly atStake?: readonly string[];
}

export interface Candidate {
  readonly action: Action;
  readonly method: Method | null;
  readonly chance: number;
  /** The same to the end of the cold in which the window ends; absent: that ends mild, or there is no work to do. */
  readonly chanceInSpell?: number;
  /** When that cold ends by the middle course; given with the chance in it. */
  readonly spellEndsAt?: EpochSeconds;
  /** Had the work been done by now; given where no action is within its tolerance. */
  readonly chanceIfDone?: number;
  /** Of the unit as it stands, where work has been done: the chance that this work may leave; absent: its action's own. */
  readonly accepted?: number;
  /** Circuits to be done, and how long they take, where the rest is done already or cannot be; absent: all. */
  readonly circuits?: readonly string[];
  readonly workMinutes?: number;
  /** Circuits that ice closes and that it leaves as they are; absent: none. */
  readonly closed?: readonly string[];
  /** What doing it costs, and the loss to expect then; absent: not counted. */
  readonly money?: Money;
  /** What keeping it warm takes; absent with any other action. */
  readonly measures?: readonly Measure[];
  /** Id of what goes first all the same when it is kept warm; null: nothing; absent with any other action. */
  readonly firstPart?: string | null;
}

/** The chance that is accepted of it. */
export function acceptedOf({ action, accepted }: Candidate, tolerance: Tolerances): number {
  return accepted ?? tolerance[action];
}
