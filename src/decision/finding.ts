import type { EpochSeconds } from '../quantity/instant.ts';
import type { Advice } from './advice.ts';
import type { Memory } from './memory.ts';
import type { Policy } from './policy.ts';

/** Someone who is told of the unit. */
export interface Contact {
  readonly person: string;
  /** How far ahead they want a heads-up, in hours. */
  readonly headsUpHours: number;
  /** A manager looks after the whole place and hears of it in a list; absent: an owner. */
  readonly role?: 'owner' | 'manager';
  /** Asked not to be told before then; absent: did not. */
  readonly silentUntil?: EpochSeconds;
  /** Said to be on the way to do it: until then it is not asked for again; absent: nobody said so. */
  readonly onTheWayUntil?: EpochSeconds;
}

/** What this round found; null advice: the place has no usable forecast. */
export interface Finding {
  readonly unit: string;
  readonly now: EpochSeconds;
  readonly advice: Advice | null;
  readonly relaxing: Memory['relaxing'];
  /** Someone changed the unit since the advice in force was given. */
  readonly acted: boolean;
  /** As of when its water was said; null: nobody said. Absent: not known here. */
  readonly waterAt?: EpochSeconds | null;
  /** What the advice in force asks for has been done, whatever the weather; absent: it has not. */
  readonly isDone?: boolean;
  /** Chance that the unit, full of water and as it stands otherwise, comes to harm within the window. */
  readonly chanceIfWet: number;
  /** Chance of damage as it stands, within as far ahead as people want to be told. */
  readonly chanceAhead: number;
  /** The same as `chanceIfWet` within as far ahead as people want to be told; absent: not known, and not safe. */
  readonly chanceIfWetAhead?: number;
  /** Its lines stand drained, neither blown out nor filled with antifreeze; absent: not. */
  readonly standsDrained?: boolean;
  /** The air outside is below freezing now; absent: it is not known to be. */
  readonly isFreezing?: boolean;
  readonly alreadyDamaged: boolean;
  /** Ice closes the way of the water only where it has room, in stubs that are open above, and harms nothing. */
  readonly iceHasRoom?: boolean;
  /** When a person last checked it for ice; absent or null: nobody has. */
  readonly checkedAt?: EpochSeconds | null;
  /** Chance of damage within the window as it stands; absent: not known, and not safe. */
  readonly chanceAsItStands?: number;
  /** Names the forecast; absent: not known, and another one each time. */
  readonly forecast?: string;
  /** Since when it has been cold round the deadline, without a mild day between; absent: not known, and another cold. */
  readonly coldFrom?: EpochSeconds;
  readonly deadlineAt: EpochSeconds | null;
  /** When the first part fails if nothing is done; null: not within the forecast. */
  readonly firstDamageAt: EpochSeconds | null;
  readonly lowest: {
    readonly temperatureC: number;
    readonly at: EpochSeconds;
    /** When the forecast was made that says so; an answer kept from earlier rounds is of then. */
    readonly madeAt: EpochSeconds;
  } | null;
  /** Without a forecast for longer than its age limit. */
  readonly blindTooLong: boolean;
  readonly policy: Policy;
  readonly contacts: readonly Contact[];
}
