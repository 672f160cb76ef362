import type { Memory } from '../decision/memory.ts';
import type { ChannelId } from '../delivery/channel.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/** What the database holds of one unit. `version` counts every change. */
export interface UnitRecord {
  readonly unit: string;
  readonly version: number;
  /** By `mark`; null: nobody marked it. */
  readonly water: UnitWater | null;
  readonly waterAt: EpochSeconds | null;
  /** Last time a person said it was checked and whole. */
  readonly checkedAt: EpochSeconds | null;
  readonly memory: Memory;
}

/** A message to be put in the outbox. */
export interface OutboxEntry {
  readonly episode: string;
  readonly channel: ChannelId;
  readonly useBefore: EpochSeconds;
  readonly notBefore: EpochSeconds;
  readonly message: OutgoingMessage;
}

/** What one round learned of one unit, to be written only if nobody changed the unit meanwhile. */
export interface UnitCommit {
  readonly unit: string;
  readonly expectedVersion: number;
  readonly memory: Memory;
  readonly outbox: readonly OutboxEntry[];
}

export interface RoundRecord {
  readonly id: string;
  readonly startedAt: EpochSeconds;
  readonly finishedAt: EpochSeconds;
  readonly placesWithForecast: number;
  readonly placesWithout: number;
}

export interface CommitResult {
  /** Units whose version had moved: compute them again. */
  readonly stale: readonly string[];
  /** Outbox rows that were new; the rest had been told before. */
  readonly enqueued: number;
}

export interface ClaimedMessage {
  readonly rowId: number;
  readonly attempt: number;
  readonly channel: ChannelId;
  readonly useBefore: EpochSeconds;
  readonly message: OutgoingMessage;
}

export type Settlement =
  | { readonly outcome: 'sent' }
  | { readonly outcome: 'again'; readonly nextTryAt: EpochSeconds; readonly error: string }
  | { readonly outcome: 'failed'; readonly error: string };

export interface MarkCommand {
  readonly unit: string;
  readonly water: UnitWater | null;
  readonly checked: boolean;
  readonly at: EpochSeconds;
  readonly by: string | null;
}

export interface OutboxCounts {
  readonly waiting: number;
  readonly sent: number;
  readonly failed: number;
  readonly expired: number;
  readonly superseded: number;
}
