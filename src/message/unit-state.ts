import type { Method, OutsideAction, PerOutsideAction, ReasonCode } from '../decision/advice.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * What a machine may be asked to switch: a vented furnace that its own thermostat stops again, and nothing else,
 * ever. No heater of another kind, no pump, no valve; and nothing is ever to be switched off.
 */
export const HEAT_WISHES = ['furnace-on', 'unchanged'] as const;
export type HeatWish = (typeof HEAT_WISHES)[number];

/** What is known of a unit, in numbers. Null: unknown, never "nothing". */
export interface UnitFigures {
  readonly method: Method | null;
  readonly late: boolean | null;
  /** Within the decision window, by action. */
  readonly chanceOfDamage: PerOutsideAction | null;
  /** What lesser work leaves to the end of this cold, which would do within the window; absent or null: that is not why. */
  readonly throughCold?: { readonly until: EpochSeconds; readonly chanceOfDamage: PerOutsideAction } | null;
  /** Of the outside air, middle member. */
  readonly lowestC: number | null;
  readonly lowestAt: EpochSeconds | null;
  /** May already have frozen; only a person's check ends that. */
  readonly suspect: boolean;
  readonly heat: HeatWish;
}

/** How one unit stands, for machines, and until when that may be believed. */
export interface UnitState {
  readonly unit: string;
  readonly label: string;
  readonly place: string;
  readonly asOf: EpochSeconds;
  /** From then on it says nothing any more. */
  readonly validUntil: EpochSeconds;
  /** Null: unknown, and `problem` says why. */
  readonly advice: {
    readonly action: OutsideAction;
    /** Only what lies outside is drained. */
    readonly partial?: true;
    readonly startBy: EpochSeconds | null;
    readonly reasonCode: ReasonCode;
  } | null;
  readonly figures: UnitFigures;
  readonly waterState: string;
  readonly problem: { readonly code: string; readonly message: string } | null;
}
