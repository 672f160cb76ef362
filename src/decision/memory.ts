import type { EpochSeconds } from '../quantity/instant.ts';
import type { Action, Method } from './advice.ts';

export const MESSAGE_KINDS = [
  'heads-up',
  'act',
  'last-call',
  'worse',
  'late',
  'frozen',
  'all-clear',
  'no-forecast',
  'fill-again',
] as const;
export type MessageKind = (typeof MESSAGE_KINDS)[number];

/** What a unit's rounds remember of each other: the advice in force and what was told. JSON in the store. */
export interface Memory {
  /** From the first advice above nothing, or heads-up, to the all-clear. */
  readonly episode: { readonly id: string; readonly since: EpochSeconds } | null;
  readonly advice: {
    readonly action: Action;
    readonly method: Method | null;
    readonly startBy: EpochSeconds | null;
    /** When this action became the advice. */
    readonly since: EpochSeconds;
  } | null;
  /** Forecasts under which a weaker action was within half its tolerance, oldest first. */
  readonly relaxing: readonly {
    readonly forecast: string;
    readonly at: EpochSeconds;
    readonly action: Action;
  }[];
  readonly told: readonly {
    readonly kind: MessageKind;
    readonly action: Action;
    readonly at: EpochSeconds;
    readonly startBy: EpochSeconds | null;
  }[];
  /** May already have frozen, since when; cleared only by a person's check. */
  readonly suspectSince: EpochSeconds | null;
  /** The last forecast's low, repeated when there is no forecast. */
  readonly lastKnown: {
    readonly asOf: EpochSeconds;
    readonly lowestOutsideC: number;
    readonly lowestAt: EpochSeconds;
  } | null;
  /** Since when this unit's place has had no usable forecast; null: it has one. */
  readonly blindSince: EpochSeconds | null;
}

export const EMPTY_MEMORY: Memory = {
  episode: null,
  advice: null,
  relaxing: [],
  told: [],
  suspectSince: null,
  lastKnown: null,
  blindSince: null,
};

/** One thing to say about one unit, before it is addressed to anyone. */
export interface Notice {
  readonly kind: MessageKind;
  readonly episode: string;
  readonly action: Action;
  readonly startBy: EpochSeconds | null;
  /** After this instant it would mislead and must not be sent. */
  readonly useBefore: EpochSeconds;
  /** Whether it may wait for the end of the reader's quiet hours. */
  readonly canWait: boolean;
  /** What the reader was told before; for `worse`. */
  readonly previous: { readonly action: Action; readonly startBy: EpochSeconds | null } | null;
}
