import type { Memory } from '../decision/memory.ts';
import type { ChannelId } from '../delivery/channel.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { Shelved, Spent } from '../forecast/http/shelf.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { KeptForecast } from '../verify/kept-forecast.ts';
import type { Reading } from '../weather/reading.ts';
import type { KeptAnswer, NewAnswer } from './kept-answers.ts';
import type { LastReadings, ReadingCounts, Truth } from './measured.ts';
import type { PastHour, PlaceCommit, PlaceRecord, Rows } from './places.ts';
import type { SpentCalls } from './shelf.ts';

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
  /** Of each person the last of each kind, oldest first; absent: none. */
  readonly answers?: readonly KeptAnswer[];
  /** What the database holds of it cannot be read: nothing of it is known but its version. Absent: it can. */
  readonly damaged?: true;
}

/** A unit as it was from some instant on, until the next. */
export interface UnitMoment extends Pick<UnitRecord, 'water' | 'waterAt' | 'memory' | 'damaged'> {
  readonly at: EpochSeconds;
  /** A round keeps advice, a mark says water. */
  readonly cause: 'round' | 'mark';
}

/** A message to be put in the outbox. */
export interface OutboxEntry {
  readonly episode: string;
  readonly channel: ChannelId;
  readonly useBefore: EpochSeconds;
  readonly notBefore: EpochSeconds;
  readonly message: OutgoingMessage;
  /** The channels after this one, the first that takes it being enough. Absent: every channel has an entry of its own. */
  readonly ways?: readonly ChannelId[];
  /** It cannot wait. */
  readonly urgent?: boolean;
  /** Until when this way alone is relied on. */
  readonly patienceEnds?: EpochSeconds;
  /** It may go out in one message with others to the same reader. */
  readonly gathers?: boolean;
}

/** Until when a way that is taken from `from` on is relied on alone: the outbox's schedule knows. */
export type PatienceOf = (
  message: { readonly urgent: boolean; readonly useBefore: EpochSeconds },
  from: EpochSeconds,
) => EpochSeconds;

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
  /** What may go out together is claimed together, whatever the limit; the group stays until it is settled. */
  readonly together?: boolean;
  /** For the next way of what this one has not delivered in time; absent: for as long as it is of use. */
  readonly patienceOf?: PatienceOf;
}

/** A message handed on to the next way of its reader, because the one before did not deliver it in time. */
export interface PassedOn extends LostMessage {
  readonly next: ChannelId;
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
  /** The ways that are left after this one. */
  readonly ways: readonly ChannelId[];
  /** Message-ID of the group that it belongs to; its own, where it is alone. Null: it goes out by itself. */
  readonly batch: string | null;
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
  readonly passedOn: readonly PassedOn[];
  /** Their text in the database is damaged: they are given up. */
  readonly unreadable: readonly LostMessage[];
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
  /** For the next way of what was refused for good; absent: for as long as it is of use. */
  readonly patienceOf?: PatienceOf;
}

export interface RenewCommand {
  readonly rowIds: readonly number[];
  readonly owner: string;
  /** How long from now on the claim holds. */
  readonly leaseSeconds: number;
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

/** What an answer makes of a unit. */
export interface Answering extends Pick<MarkCommand, 'checked' | 'at' | 'by'> {
  /** Null: unchanged. */
  readonly water: UnitRecord['water'];
  readonly answer: NewAnswer;
}

export interface AnswerCommand {
  readonly unit: string;
  /** See `NewAnswer.link`. */
  readonly link: string | null;
  /**
   * Called inside the transaction with the unit as it is then (null: never seen), with the last answers, and with what
   * the same press of the button wrote already. Null: nothing is written. What it throws is passed on, and nothing is
   * written either. It may be called again while the database is locked.
   */
  readonly decide: (current: UnitRecord | null, pressed: KeptAnswer | null) => Answering | null;
}

export interface EndCommand {
  readonly ids: readonly number[];
  readonly units: readonly string[];
  readonly at: EpochSeconds;
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

/** Someone whom no way has reached: all refused the message, ran out of time, or had their time and still try. */
export interface UnreachedPerson {
  readonly unit: string;
  readonly person: string;
  readonly kind: OutgoingMessage['kind'];
  readonly action: OutgoingMessage['action'];
  /** Under which the outbox knows the message. */
  readonly episode: string;
  /** When the last way was given up, or had had its time. */
  readonly at: EpochSeconds;
  /** What the last way said; null: nothing. */
  readonly error: string | null;
  /** It is still being tried. */
  readonly trying: boolean;
  /** It was meant for the list of someone who looks after the whole place. */
  readonly manager: boolean;
}

/** What of the last days reached nobody and is still of matter. */
export interface Undelivered {
  /** By unit how many messages one way lost and no other took in its stead. */
  readonly lost: readonly { readonly unit: string; readonly count: number }[];
  /** One for each unit and person, the newest. */
  readonly unreached: readonly UnreachedPerson[];
}

/** Counts of messages; all 0: the outbox moves. */
export interface OutboxHealth {
  /** Due for a quarter of an hour, and nobody has them in hand. */
  readonly overdue: number;
  /** Tried in vain several times, and to be tried again. */
  readonly stuck: number;
  /** Refused for good or out of time within the last day. */
  readonly lost: number;
  /** May have arrived, and are to be tried again hours later because nobody said so. */
  readonly unsure: number;
}

/** What commands that only look may ask. */
export interface StoreReader {
  /** Units never written are absent. */
  readUnits(): Promise<ReadonlyMap<string, UnitRecord>>;
  /** Ids of units of which the database holds what cannot be read. */
  damagedUnits(): Promise<readonly string[]>;
  /** Null: it was never written. */
  readUnit(unit: string): Promise<UnitRecord | null>;
  /** The round that finished last; null: none yet. */
  lastRound(): Promise<RoundRecord | null>;
  outboxCounts(): Promise<OutboxCounts>;
  /** How many of the messages that wait have a text in the database that cannot be read. */
  countUnreadable(): Promise<number>;
  outboxHealth(now: EpochSeconds): Promise<OutboxHealth>;
  /** How many of these were refused for good or ran out of time. */
  countLost(entries: readonly OutboxEntry[]): Promise<number>;
  undelivered(now: EpochSeconds): Promise<Undelivered>;
  /** The last good answer of a source to one request. Rejects with 'store-damaged' when it cannot be read. */
  findAnswer(source: string, url: string): Promise<Shelved | null>;
  /** Weighted calls since the start of the UTC day, hour and minute of `now`. */
  spentCalls(source: string, now: EpochSeconds): Promise<Spent>;
  /** Of the place and of its units, from `since` on, oldest first. */
  readReadings(place: string, since: EpochSeconds): Promise<readonly Reading[]>;
  /** The newest ones, oldest of them first. */
  lastReadings(asked: LastReadings): Promise<readonly Reading[]>;
  /** From `since` on, oldest first. */
  readTruths(place: string, since: EpochSeconds): Promise<readonly Truth[]>;
  /** Hours from `from` on that rounds have kept, oldest first; those that nobody knew are absent. */
  readPast(place: string, from: EpochSeconds): Promise<readonly PastHour[]>;
  /** Forecasts of days from `since` on, by day, source and lead. */
  readKept(place: string, since: EpochSeconds): Promise<Rows<KeptForecast>>;
  /** The first day that any forecast of the place is kept for; null: none is. */
  firstKeptDay(place: string): Promise<EpochSeconds | null>;
  /** What the unit was in the course of time, in the order of writing: the last rows before `since`, and all after. */
  readMoments(unit: string, since: EpochSeconds): Promise<readonly UnitMoment[]>;
  /** What all places have taught. */
  readRecords(): Promise<Rows<PlaceRecord>>;
  close(): Promise<void>;
}

/** The database. Every write is one short transaction; each rejects with a `StoreError` when it cannot be done. */
export interface Store extends StoreReader {
  /** Writes what a round learned. Units whose version has moved are left alone and returned as stale. */
  commitRound(
    round: RoundRecord,
    commits: readonly UnitCommit[],
    places?: readonly PlaceCommit[],
  ): Promise<CommitResult>;
  /** Puts in messages that are about no unit's memory; those that were told before are ignored. Returns how many were new. */
  enqueue(round: RoundRecord, entries: readonly OutboxEntry[]): Promise<number>;
  keepAnswer(source: string, answer: Shelved): Promise<void>;
  spendCalls(calls: SpentCalls): Promise<void>;
  /** All of them or none. The same reading again changes nothing; another value takes the place of the old one. */
  addReadings(readings: readonly Reading[], learnedAt: EpochSeconds): Promise<ReadingCounts>;
  /** The newest value holds; unknown ones are left out. Returns how many were new or different. */
  addTruths(truths: readonly Truth[]): Promise<number>;
  /** The first that was kept of a source for a day and lead stays. */
  keepForecasts(kept: readonly KeptForecast[]): Promise<void>;
  /** Drops what has become too old to be of use. Meant for once a day. */
  prune(now: EpochSeconds): Promise<void>;
  mark(command: MarkCommand): Promise<void>;
  /** Like `mark`, and keeps who said what; false: there was nothing to write. */
  answer(command: AnswerCommand): Promise<boolean>;
  /** Answers that no longer hold, since the config was changed. */
  endAnswers(command: EndCommand): Promise<void>;
  /** What links are signed with; made at the first call. */
  linkKey(now: EpochSeconds): Promise<Buffer>;
  /** A new key: links that were sent so far are void from now on. */
  rotateLinkKey(now: EpochSeconds): Promise<Buffer>;
  /** Which of several programs that speak to one broker this is; made at the first call. */
  installation(now: EpochSeconds): Promise<string>;
  /** Takes due messages for `leaseSeconds`; first lets go of those whose time ran out. */
  claimDue(command: ClaimCommand): Promise<ClaimResult>;
  /**
   * Records how attempts ended, together; false: a claim was no longer ours, and nothing was written of it. What was
   * refused for good goes on to the next way; what was sent makes the other ways needless.
   */
  settle(...commands: readonly SettleCommand[]): Promise<boolean>;
  /** Holds claims for longer, as long as they are ours. */
  renew(command: RenewCommand): Promise<void>;
  /** When `claimDue` next has something to do, not before `now`; null: nothing waits. */
  nextDueAt(now: EpochSeconds): Promise<EpochSeconds | null>;
}
