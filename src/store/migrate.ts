import SqliteDatabase from 'better-sqlite3';
import { Kysely, sql } from 'kysely';
import type { Transaction } from 'kysely';
import { StoreError } from '../errors.ts';
import { ImmediateDialect } from './dialect.ts';
import type { Migration } from './migration.ts';
import { first } from './migrations/001-first.ts';
import { unsureAttempts } from './migrations/002-unsure-attempts.ts';
import { weather } from './migrations/003-weather.ts';
import { pastHeights } from './migrations/004-past-heights.ts';
import { outbox } from './migrations/005-outbox.ts';
import { answers } from './migrations/006-answers.ts';
import type { Schema } from './schema.ts';

/** In order, numbered from 1 without gaps. What was released never changes. */
export const MIGRATIONS: readonly Migration[] = [
  first,
  unsureAttempts,
  weather,
  pastHeights,
  outbox,
  answers,
];

export const SCHEMA_VERSION = MIGRATIONS.length;

/** Whether `migrate` has something to do. Throws 'store-newer' for a database of a later program. */
export async function needsMigration(db: Kysely<Schema>): Promise<boolean> {
  return (await readVersion(db)) < SCHEMA_VERSION;
}

/** Brings the database to this program's version, inside the caller's transaction: all of it or nothing. */
export async function migrate(trx: Transaction<Schema>): Promise<void> {
  const version = await readVersion(trx);
  for (const migration of MIGRATIONS.filter(({ number }) => number > version)) {
    await migration.up(trx as unknown as Kysely<unknown>);
    await sql`pragma user_version = ${sql.raw(String(migration.number))}`.execute(trx);
  }
}

/** SQLite keeps `user_version` in the file's header and rolls it back with the transaction. */
async function readVersion(db: Kysely<Schema>): Promise<number> {
  const result = await sql<{ user_version: number }>`pragma user_version`.execute(db);
  const version = result.rows[0]?.user_version ?? 0;
  if (version > SCHEMA_VERSION) throw newerStore(version);
  return version;
}

export function newerStore(version: number): StoreError {
  return new StoreError(
    'store-newer',
    `The database has version ${version}, and this program knows versions up to ${SCHEMA_VERSION}.`,
    { hint: 'Run the newer program that wrote it, or name another database file under store.path.' },
  );
}

/** Columns by table. */
export type Tables = ReadonlyMap<string, ReadonlySet<string>>;

/** What a database of that version has, from one that is made so, in memory. */
export async function tablesOf(version: number): Promise<Tables> {
  const database = new SqliteDatabase(':memory:');
  const db = new Kysely<unknown>({ dialect: new ImmediateDialect(database) });
  try {
    for (const migration of MIGRATIONS.filter(({ number }) => number <= version)) await migration.up(db);
    return tablesIn(database);
  } finally {
    await db.destroy();
    database.close();
  }
}

/** Every table with its columns. */
export function tablesIn(database: SqliteDatabase.Database): Tables {
  const rows = database
    .prepare(
      "select m.name as name, c.name as field from sqlite_master m join pragma_table_info(m.name) c where m.type = 'table'",
    )
    .all() as readonly { name: string; field: string }[];
  const tables = new Map<string, Set<string>>();
  for (const { name, field } of rows) tables.set(name, (tables.get(name) ?? new Set()).add(field));
  return tables;
}
