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
  /** What the database holds of it cannot be read: nothing of it is known but its version. Absent: it can. */
  readonly damaged?: true;
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
  /** Messages that will be sent: new ones, and lost ones that are worth another try. The rest had been told before. */
  readonly enqueued: number;
}

export interface ClaimCommand {
  readonly now: EpochSeconds;
  readonly leaseSeconds: number;
  readonly owner: string;
  readonly limit: number;
  /** Only messages of these channels; absent: any. */
  readonly channels?: readonly ChannelId[];
}

export interface ClaimedMessage {
  readonly rowId: number;
  /** Counts from 1; with the owner it proves whose claim it is. */
  readonly attempt: number;
  readonly channel: ChannelId;
  readonly useBefore: EpochSeconds;
  readonly message: OutgoingMessage;
  /** Why the attempt before this one failed; null: there was none, or it never ended. */
  readonly lastError: string | null;
  /** Attempts after which the message may have arrived all the same. */
  readonly unsureAttempts: number;
}

/** A message that will not be sent any more: its time ran out, or a newer one took its place. */
export interface LostMessage {
  readonly rowId: number;
  readonly unit: string;
  readonly kind: string;
  readonly person: string;
  readonly channel: ChannelId;
  readonly useBefore: EpochSeconds;
  readonly attempts: number;
  readonly lastError: string | null;
}

export interface ClaimResult {
  /** Most urgent first. */
  readonly claimed: readonly ClaimedMessage[];
  readonly expired: readonly LostMessage[];
  /** Tried in vain before a newer message took their place. */
  readonly overtaken: readonly LostMessage[];
}

export type Settlement =
  | { readonly outcome: 'sent' }
  | {
      readonly outcome: 'again';
      readonly nextTryAt: EpochSeconds;
      readonly error: string;
      /** It may have arrived all the same. */
      readonly unsure?: boolean;
    }
  | { readonly outcome: 'failed'; readonly error: string; readonly unsure?: boolean }
  | { readonly outcome: 'expired' };

export interface SettleCommand {
  readonly rowId: number;
  readonly owner: string;
  readonly attempt: number;
  readonly settlement: Settlement;
  readonly now: EpochSeconds;
}

export interface MarkCommand {
  readonly unit: string;
  /**
   * The water as it now stands; null: unchanged. A function is called inside the transaction with the unit as
   * it is then (null: never seen), so that two marks of different circuits cannot undo each other. What it throws
   * is passed on, and nothing is written.
   */
  readonly water: UnitWater | null | ((current: UnitRecord | null) => UnitWater | null);
  readonly checked: boolean;
  readonly at: EpochSeconds;
  readonly by: string | null;
}

export interface OutboxCounts {
  readonly waiting: number;
  /** Of those waiting: tried before, in vain. */
  readonly retrying: number;
  readonly sent: number;
  readonly failed: number;
  readonly expired: number;
  readonly superseded: number;
}

/** What commands that only look may ask. */
export interface StoreReader {
  /** Units never written are absent. */
  readUnits(): Promise<ReadonlyMap<string, UnitRecord>>;
  /** The round that finished last; null: none yet. */
  lastRound(): Promise<RoundRecord | null>;
  outboxCounts(): Promise<OutboxCounts>;
  /** How many of these were refused for good or ran out of time. */
  countLost(entries: readonly OutboxEntry[]): Promise<number>;
  close(): Promise<void>;
}

/** The database. Every write is one short transaction; each rejects with a `StoreError` when it cannot be done. */
export interface Store extends StoreReader {
  /** Writes what a round learned. Units whose version has moved are left alone and returned as stale. */
  commitRound(round: RoundRecord, commits: readonly UnitCommit[]): Promise<CommitResult>;
  mark(command: MarkCommand): Promise<void>;
  /** Takes due messages for `leaseSeconds`; first lets go of those whose time ran out. */
  claimDue(command: ClaimCommand): Promise<ClaimResult>;
  /** Records how an attempt ended; false: the claim was no longer ours, and nothing was written. */
  settle(command: SettleCommand): Promise<boolean>;
  /** When `claimDue` next has something to do, not before `now`; null: nothing waits. */
  nextDueAt(now: EpochSeconds): Promise<EpochSeconds | null>;
}
