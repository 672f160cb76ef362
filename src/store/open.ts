import type { Kysely, Transaction } from 'kysely';
import type { Connection, Opening } from './connection.ts';
import { openReading, openWriter } from './connection.ts';
import { endAnswers, readAnsweredUnit, writeAnswer } from './answers.ts';
import { installation, readInstallation } from './installation.ts';
import { linkKey, readLinkKey, rotateLinkKey } from './link-key.ts';
import { mark } from './marks.ts';
import { countUnreadable } from './message-text.ts';
import { readMoments } from './moments.ts';
import { migrate, needsMigration } from './migrate.ts';
import { claimDue } from './claim.ts';
import { enqueue } from './enqueue.ts';
import { nextDueAt, outboxCounts, renew, settle } from './outbox.ts';
import { outboxHealth } from './outbox-health.ts';
import { countLost } from './lost.ts';
import { addReadings, addTruths, lastReadings, readReadings, readTruths } from './measured.ts';
import { firstKeptDay, readKept, readPast, readRecords, writeKept } from './places.ts';
import { prune } from './prune.ts';
import { commitRound, lastRound } from './rounds.ts';
import type { Schema } from './schema.ts';
import { undelivered } from './unreached.ts';
import { addSpent, findAnswer, keepAnswer, packAnswer, readSpent } from './shelf.ts';
import type { ClaimResult, Store, StoreReader } from './store.ts';
import { damagedUnits, readUnits } from './units.ts';

export interface StoreOptions {
  /** How long to wait for a lock that another process holds before 'store-locked'. Default 10 s. */
  readonly lockWaitMs?: number;
  /** In [0, 1), spreads the attempts; default `Math.random`. */
  readonly random?: () => number;
  /** Aborted when the program is to end: from then on no lock is waited for longer than 3 s. */
  readonly signal?: AbortSignal;
}

const LOCK_WAIT_MS = 10_000;

/** With the grace that a message in hand has before, this ends well before the program must have ended. */
const LAST_WAIT_MS = 3000;

/**
 * Opens the database, creates it when there is none, and brings it to this program's version. Writes and
 * reads have a connection each, so that a reader never waits for a writer.
 *
 * @throws {StoreError} locked, damaged, newer or unreachable.
 */
export async function openStore(path: string, options: StoreOptions = {}): Promise<Store> {
  const opening = toOpening(path, options);
  const writer = await openWriter(opening);
  try {
    if (await writer.run(needsMigration)) await writer.run((db) => db.transaction().execute(migrate));
    return assemble(writer, await openReading(opening));
  } catch (error) {
    await writer.close();
    throw error;
  }
}

export function toOpening(path: string, options: StoreOptions): Opening {
  const { lockWaitMs = LOCK_WAIT_MS, random = Math.random, signal } = options;
  const waitMs = (): number => (signal?.aborted === true ? Math.min(lockWaitMs, LAST_WAIT_MS) : lockWaitMs);
  return { path, patience: { waitMs, random } };
}

export function readerOf(connection: Connection): StoreReader {
  return {
    readUnits: () => connection.run(readUnits),
    damagedUnits: () => connection.run(damagedUnits),
    readUnit: (unit) => connection.run((db) => readAnsweredUnit(db, unit)),
    lastRound: () => connection.run(lastRound),
    outboxCounts: () => connection.run(outboxCounts),
    countUnreadable: () => connection.run(countUnreadable),
    outboxHealth: (now) => connection.run((db) => outboxHealth(db, now)),
    countLost: (entries) => connection.run((db) => countLost(db, entries)),
    undelivered: (now) => connection.run((db) => undelivered(db, now)),
    findAnswer: (source, url) => connection.run((db) => findAnswer(db, source, url)),
    spentCalls: (source, now) => connection.run((db) => readSpent(db, source, now)),
    readReadings: (place, since) => connection.run((db) => readReadings(db, place, since)),
    lastReadings: (asked) => connection.run((db) => lastReadings(db, asked)),
    readTruths: (place, since) => connection.run((db) => readTruths(db, place, since)),
    readPast: (place, from) => connection.run((db) => readPast(db, place, from)),
    readKept: (place, since) => connection.run((db) => readKept(db, place, since)),
    firstKeptDay: (place) => connection.run((db) => firstKeptDay(db, place)),
    readMoments: (unit, since) => connection.run((db) => readMoments(db, unit, since)),
    readRecords: () => connection.run(readRecords),
    close: () => connection.close(),
  };
}

const NOTHING_CLAIMED: ClaimResult = {
  claimed: [],
  expired: [],
  overtaken: [],
  passedOn: [],
  unreadable: [],
};

function assemble(writer: Connection, reader: Connection): Store {
  const write = <T>(operation: (trx: Transaction<Schema>) => Promise<T>): Promise<T> =>
    writer.run((db) => db.transaction().execute(operation));
  const read = <T>(operation: (db: Kysely<Schema>) => Promise<T>): Promise<T> => reader.run(operation);
  return {
    ...readerOf(reader),
    commitRound: (round, units, places = []) => write((trx) => commitRound(trx, round, { units, places })),
    enqueue: (round, entries) => write((trx) => enqueue(trx, round, entries)),
    async keepAnswer(source, answer) {
      const packed = await packAnswer(answer);
      await write((trx) => keepAnswer(trx, source, packed));
    },
    spendCalls: (calls) => write((trx) => addSpent(trx, calls)),
    addReadings: (readings, learnedAt) => write((trx) => addReadings(trx, readings, learnedAt)),
    addTruths: (truths) => write((trx) => addTruths(trx, truths)),
    keepForecasts: (kept) => write((trx) => writeKept(trx, kept)),
    prune: (now) => write((trx) => prune(trx, now)),
    mark: (command) => write((trx) => mark(trx, command)),
    answer: (command) => write((trx) => writeAnswer(trx, command)),
    endAnswers: (command) => write((trx) => endAnswers(trx, command)),
    async linkKey(now) {
      return (await read(readLinkKey)) ?? (await write((trx) => linkKey(trx, now)));
    },
    async installation(now) {
      return (await read(readInstallation)) ?? (await write((trx) => installation(trx, now)));
    },
    rotateLinkKey: (now) => write((trx) => rotateLinkKey(trx, now)),
    settle: (...commands) => write((trx) => settle(trx, commands)),
    renew: (command) => write((trx) => renew(trx, command)),
    nextDueAt: (now) => read((db) => nextDueAt(db, now)),
    async claimDue(command) {
      const next = await read((db) => nextDueAt(db, command.now));
      if (next === null || next > command.now) return NOTHING_CLAIMED;
      return await write((trx) => claimDue(trx, command));
    },
    /** The writer goes last: the last connection of all empties the write-ahead log and removes it. */
    async close() {
      await reader.close();
      await writer.close();
    },
  };
}
