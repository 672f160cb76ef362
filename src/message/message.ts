import type { Action, Advice, ChanceOfDamage } from '../decision/advice.ts';
import type { Memory, MessageKind } from '../decision/memory.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';

/** The words a reader is used to. */
export interface Words {
  readonly faucet: 'faucet' | 'tap';
  readonly trailer: 'trailer' | 'caravan';
  readonly gas: 'propane' | 'gas';
}

export interface Reader {
  readonly id: string;
  readonly name: string;
  readonly temperature: TemperatureUnit;
  readonly timeZone: string;
  readonly words: Words;
}

/** A stretch below 0 °C, as people are told of it. */
export interface SpellFacts {
  readonly zone: string;
  readonly start: EpochSeconds;
  readonly end: EpochSeconds;
  readonly degreeHours: number;
  readonly minimumC: number;
  readonly longestHoursAtOrBelowMinus4C: number;
}

/** Everything a message about one unit can speak of. Null: unknown, and then said so. */
export interface UnitFacts {
  readonly asOf: EpochSeconds;
  readonly unit: { readonly id: string; readonly label: string; readonly attended: boolean };
  readonly place: { readonly id: string; readonly label: string; readonly timeZone: string };
  readonly advice: Advice | null;
  readonly chances: ChanceOfDamage | null;
  readonly windowHours: number;
  readonly lowestOutside: { readonly temperatureC: number; readonly at: EpochSeconds } | null;
  /** Outside air, middle member, from now on. */
  readonly spells: readonly SpellFacts[];
  /** Trade name of the part that fails first if nothing is done. */
  readonly firstPart: string | null;
  readonly firstDamageAt: EpochSeconds | null;
  readonly suspect: boolean;
  readonly alreadyDamaged: boolean;
  /** From the stop that leaves the least time; null: no stop within the window does harm. */
  readonly holdOutHours: number | null;
  /** Null: longer than the forecast, or not counted. */
  readonly heatLasts: { readonly gasUntil: EpochSeconds | null; readonly batteryUntil: EpochSeconds | null };
  readonly hasHeat: boolean;
  readonly hasHose: boolean;
  readonly waterState: string;
  readonly problem: string | null;
  readonly lastKnown: Memory['lastKnown'];
  readonly assumptions: readonly string[];
  readonly attributions: readonly string[];
}

export interface MessageText {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

/** A rendered message on its way to one person over one channel. */
export interface OutgoingMessage {
  /** RFC 5322 Message-ID with its angle brackets; the same at every attempt. */
  readonly messageId: string;
  readonly kind: MessageKind | 'test';
  readonly unit: string;
  readonly action: Action;
  readonly startBy: EpochSeconds | null;
  /** Why it was sent: the advice's reason code, or the kind of trouble. */
  readonly cause: string;
  readonly to: { readonly id: string; readonly name: string; readonly email: string | null };
  readonly createdAt: EpochSeconds;
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}
