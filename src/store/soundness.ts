/** What is wrong with a database file: with the file itself, with whose it is, and with what single rows hold. */
import SqliteDatabase from 'better-sqlite3';
import { existsSync, statSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { unreachable } from './failure.ts';
import { readKeptText } from './kept.ts';
import { readMessage } from './message-text.ts';
import { newerStore, SCHEMA_VERSION, tablesIn, tablesOf, type Tables } from './migrate.ts';
import { toRecord } from './units.ts';
import { readWays } from './ways.ts';

const BUSY_TIMEOUT_MS = 10_000;
const MOST_MISTAKES = 5;
/** Twice what is accepted of a service: a damaged row of a few kilobytes can unpack to gigabytes. */
const MOST_BYTES = 64 * 1024 * 1024;

/** In words; both empty: it is whole. */
export interface Mistakes {
  /** Of the file, or because it is none of ours: nothing of it can be relied on. */
  readonly ofFile: readonly string[];
  /** Single rows that cannot be read; the others can. */
  readonly ofRows: readonly string[];
}

/** @throws StoreError 'store-newer'; what SQLite throws for a file that it cannot read at all. */
export async function findMistakes(path: string): Promise<Mistakes> {
  if (isEmpty(path)) return { ofFile: ['it holds nothing at all'], ofRows: [] };
  const database = openWhole(path);
  try {
    const ofFile = fileMistakes(database);
    if (ofFile.length > 0) return { ofFile, ofRows: [] };
    const version = database.pragma('user_version', { simple: true }) as number;
    if (version > SCHEMA_VERSION) throw newerStore(version);
    const missing = missingIn(tablesIn(database), await tablesOf(version));
    if (version < 1 || missing.length > 0) return { ofFile: [foreign(missing)], ofRows: [] };
    return { ofFile: [], ofRows: rowMistakes(database) };
  } finally {
    database.close();
  }
}

/** A file that is there and holds nothing: its creator was killed before it wrote anything, or it was cut off. */
export function isEmpty(path: string): boolean {
  try {
    return statSync(path, { throwIfNoEntry: false })?.size === 0;
  } catch {
    // Whoever opens it says why it cannot be reached.
    return false;
  }
}

/** Not read-only: the last connection of all could then not take away the log that it made. */
export function openWhole(path: string): SqliteDatabase.Database {
  if (!existsSync(path)) throw unreachable(path, new Error('there is no such file'));
  return new SqliteDatabase(path, { fileMustExist: true, timeout: BUSY_TIMEOUT_MS });
}

function fileMistakes(database: SqliteDatabase.Database): readonly string[] {
  const rows = database.pragma(`integrity_check(${MOST_MISTAKES})`) as readonly { integrity_check: string }[];
  const loose = database.pragma('foreign_key_check') as readonly unknown[];
  const found = rows.map((row) => row.integrity_check).filter((text) => text !== 'ok');
  return loose.length === 0 ? found : [...found, `${loose.length} rows point to others that are not there`];
}

function foreign(missing: readonly string[]): string {
  const what = missing.length === 0 ? 'it has no version' : `it has no ${missing.slice(0, 3).join(', no ')}`;
  return `it is a database of something else, or part of it is gone: ${what}`;
}

function missingIn(found: Tables, expected: Tables): readonly string[] {
  return [...expected].flatMap(([table, columns]) => {
    const has = found.get(table);
    if (has === undefined) return [`table ${table}`];
    return [...columns].filter((column) => !has.has(column)).map((column) => `${table}.${column}`);
  });
}

type Row = Readonly<Record<string, unknown>>;

/** Of every table with more in it than plain values: how a row is named, and whether it can be read. */
const READ: Readonly<Record<string, { readonly name: string; readonly isGood: (row: Row) => boolean }>> = {
  unit: { name: 'unit', isGood: isUnit },
  unit_history: { name: 'id', isGood: isUnit },
  outbox: { name: 'id', isGood: isOutboxRow },
  answer: { name: 'id', isGood: ({ details }) => isObject(details) },
  kept_forecast: { name: 'place', isGood: ({ said }) => readKeptText(asText(said)) !== null },
  place_record: { name: 'place', isGood: ({ state }) => isObject(state) },
  shelf: { name: 'source', isGood: ({ body }) => isPacked(body) },
};

function rowMistakes(database: SqliteDatabase.Database): readonly string[] {
  const found: string[] = [];
  const tables = tablesIn(database);
  for (const [table, { name, isGood }] of Object.entries(READ)) {
    if (!tables.has(table)) continue;
    for (const row of database.prepare(`select * from ${table}`).iterate() as Iterable<Row>)
      if (!isGood(row)) found.push(`${table} ${asText(row[name])} cannot be read`);
  }
  const more = found.length - MOST_MISTAKES;
  return more <= 0 ? found : [...found.slice(0, MOST_MISTAKES), `and ${more} more`];
}

function isUnit(row: Row): boolean {
  return toRecord({ water_at: null, ...row } as unknown as Parameters<typeof toRecord>[0]).damaged !== true;
}

/** Databases of earlier versions know no ways. */
function isOutboxRow({ message, ways = null }: Row): boolean {
  return readMessage(asText(message)) !== null && (ways === null || readWays(asText(ways)) !== null);
}

function isObject(text: unknown): boolean {
  try {
    const value: unknown = JSON.parse(asText(text));
    return typeof value === 'object' && value !== null && !Array.isArray(value);
  } catch {
    return false;
  }
}

function isPacked(body: unknown): boolean {
  try {
    return gunzipSync(body as Buffer, { maxOutputLength: MOST_BYTES }).length > 0;
  } catch {
    return false;
  }
}

/** A value of SQLite as text; bytes are none. */
function asText(value: unknown): string {
  return typeof value === 'string' || typeof value === 'number' ? String(value) : '';
}
