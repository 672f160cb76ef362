/** What a message can say and draw beside the answer itself. Each of them may be absent: then it is left out. */
import type { EpochSeconds } from '../quantity/instant.ts';

export interface ExtraFacts {
  readonly course?: CourseFacts | null;
  readonly limit?: LimitFacts | null;
  /** From which cold on, and after how long, what a drain leaves behind breaks something. */
  readonly drainedBears?: { readonly atC: number; readonly hours: number };
  /** Chance of damage as it stands, as far ahead as people want to be told; for a heads-up. */
  readonly chanceAhead?: number;
  /** Minutes on the way, which are before the work. */
  readonly travelMinutes?: number;
  /** What the work and its calendar entry belong to, also in the message that ends it. */
  readonly episode?: { readonly id: string; readonly since: EpochSeconds } | null;
}

/** The weather of a picture, hour by hour from about now on: as many values as there are times. */
export interface CourseFacts {
  readonly times: readonly EpochSeconds[];
  /** Air outside, middle member [°C]. */
  readonly middleC: readonly number[];
  /** Eight members of ten, by weight, lie between these; the same as the middle where there is but one [°C]. */
  readonly lowC: readonly number[];
  readonly highC: readonly number[];
  /** The air round the part that goes first, middle member, where that is not outside. */
  readonly zone: { readonly id: string; readonly temperatureC: readonly number[] } | null;
  readonly nights: readonly { readonly start: EpochSeconds; readonly end: EpochSeconds }[];
}

/** What the part that goes first can take. */
export type LimitFacts =
  /** So much cold in still air until ice blocks it, and whether wind makes it less. */
  | { readonly kind: 'ice'; readonly kelvinHours: number; readonly inWind: boolean }
  /** Air round it at or below this for so long: what draining leaves, or antifreeze (0 h). */
  | { readonly kind: 'cold'; readonly atC: number; readonly hours: number };
