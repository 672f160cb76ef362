import SqliteDatabase from 'better-sqlite3';
import type { Database } from 'better-sqlite3';
import { existsSync } from 'node:fs';
import { dirname } from 'node:path';
import { Kysely } from 'kysely';
import { ImmediateDialect } from './dialect.ts';
import { storeFailure, unreachable } from './failure.ts';
import { whileBusy } from './patience.ts';
import type { Patience } from './patience.ts';
import type { Schema } from './schema.ts';

/** How long SQLite itself may wait, and with it the whole program. Longer waits are `whileBusy`'s. */
const BUSY_TIMEOUT_MS = 20;

/** One open connection. `run` translates failures and waits for locks. */
export interface Connection {
  run<T>(operation: (db: Kysely<Schema>) => Promise<T>): Promise<T>;
  /** The whole database as the bytes of a file. */
  content(): Buffer;
  close(): Promise<void>;
}

export interface Opening {
  readonly path: string;
  readonly patience: Patience;
}

/** Creates the file when there is none. */
export async function openWriter(opening: Opening): Promise<Connection> {
  const { path } = opening;
  if (!existsSync(dirname(path))) throw unreachable(path, new Error('its directory does not exist'));
  return await opened(opening, () => new SqliteDatabase(path, { timeout: BUSY_TIMEOUT_MS }), [
    'journal_mode = wal',
    'synchronous = full',
    'foreign_keys = on',
  ]);
}

/** A connection that cannot write. The file must exist. */
export async function openReading(opening: Opening): Promise<Connection> {
  const options = { readonly: true, fileMustExist: true, timeout: BUSY_TIMEOUT_MS };
  return await opened(opening, () => new SqliteDatabase(opening.path, options), ['query_only = on']);
}

/** A database in memory with the content of a file; changes to it are nobody's. */
export async function openCopy(content: Buffer, opening: Opening): Promise<Connection> {
  return await opened(opening, () => new SqliteDatabase(withoutLog(content)), []);
}

/**
 * In memory there is no write-ahead log, and SQLite refuses a header that says there is one: bytes 18 and 19
 * are the write and read version, 2 for a log and 1 for none (https://www.sqlite.org/fileformat2.html, 1.3.3).
 */
function withoutLog(content: Buffer): Buffer {
  const copy = Buffer.from(content);
  if (copy[18] === 2) copy[18] = 1;
  if (copy[19] === 2) copy[19] = 1;
  return copy;
}

async function opened(
  opening: Opening,
  open: () => Database,
  pragmas: readonly string[],
): Promise<Connection> {
  try {
    return connect(opening, await whileBusy(async () => prepared(open(), pragmas), opening.patience));
  } catch (error) {
    throw storeFailure(error, opening.path);
  }
}

/** A connection half set up is closed again: it would hold the file, and lack what the pragmas promise. */
function prepared(database: Database, pragmas: readonly string[]): Database {
  try {
    for (const pragma of pragmas) database.exec(`pragma ${pragma}`);
    return database;
  } catch (error) {
    database.close();
    throw error;
  }
}

function connect({ path, patience }: Opening, database: Database): Connection {
  const db = new Kysely<Schema>({ dialect: new ImmediateDialect(database) });
  return {
    async run(operation) {
      try {
        return await whileBusy(() => operation(db), patience);
      } catch (error) {
        throw storeFailure(error, path);
      }
    },
    content: () => database.serialize(),
    async close() {
      await db.destroy();
      database.close();
    },
  };
}
