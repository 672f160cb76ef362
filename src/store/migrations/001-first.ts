import { sql } from 'kysely';
import type { Kysely } from 'kysely';
import type { Migration } from '../migration.ts';

/** Units, their history, rounds and the outbox. Instants are seconds since 1970 as double precision. */
export const first: Migration = {
  number: 1,
  async up(db) {
    await createUnits(db);
    await createRounds(db);
    await createOutbox(db);
  },
};

async function createUnits(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('unit')
    .addColumn('unit', 'text', (column) => column.primaryKey().notNull())
    .addColumn('version', 'integer', (column) => column.notNull())
    .addColumn('water', 'text')
    .addColumn('water_at', 'double precision')
    .addColumn('checked_at', 'double precision')
    .addColumn('memory', 'text', (column) => column.notNull())
    .execute();
  await db.schema
    .createTable('unit_history')
    .addColumn('id', 'integer', (column) => column.primaryKey().autoIncrement())
    .addColumn('unit', 'text', (column) => column.notNull().references('unit.unit'))
    .addColumn('version', 'integer', (column) => column.notNull())
    .addColumn('at', 'double precision', (column) => column.notNull())
    .addColumn('cause', 'text', (column) => column.notNull())
    .addColumn('by', 'text')
    .addColumn('water', 'text')
    .addColumn('checked_at', 'double precision')
    .addColumn('memory', 'text', (column) => column.notNull())
    .addUniqueConstraint('unit_history_version', ['unit', 'version'])
    .execute();
}

async function createRounds(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('round')
    .addColumn('id', 'text', (column) => column.primaryKey().notNull())
    .addColumn('started_at', 'double precision', (column) => column.notNull())
    .addColumn('finished_at', 'double precision', (column) => column.notNull())
    .addColumn('places_with_forecast', 'integer', (column) => column.notNull())
    .addColumn('places_without', 'integer', (column) => column.notNull())
    .execute();
  await db.schema.createIndex('round_finished').on('round').column('finished_at').execute();
}

async function createOutbox(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('outbox')
    .addColumn('id', 'integer', (column) => column.primaryKey().autoIncrement())
    .addColumn('episode', 'text', (column) => column.notNull())
    .addColumn('kind', 'text', (column) => column.notNull())
    .addColumn('action', 'text', (column) => column.notNull())
    .addColumn('person', 'text', (column) => column.notNull())
    .addColumn('channel', 'text', (column) => column.notNull())
    .addColumn('unit', 'text', (column) => column.notNull())
    .addColumn('round', 'text', (column) => column.notNull())
    .addColumn('message', 'text', (column) => column.notNull())
    .addColumn('use_before', 'double precision', (column) => column.notNull())
    .addColumn('due_at', 'double precision', (column) => column.notNull())
    .addColumn('state', 'text', (column) => column.notNull())
    .addColumn('attempt', 'integer', (column) => column.notNull())
    .addColumn('claimed_by', 'text')
    .addColumn('superseded_by', 'integer')
    .addColumn('last_error', 'text')
    .addColumn('settled_at', 'double precision')
    .addUniqueConstraint('outbox_once', ['episode', 'kind', 'action', 'person', 'channel'])
    .execute();
  await createOutboxIndexes(db);
}

/** Only what waits is searched, and it is little beside what was sent over the years. */
async function createOutboxIndexes(db: Kysely<unknown>): Promise<void> {
  const waiting = sql<boolean>`state = 'waiting'`;
  await db.schema.createIndex('outbox_due').on('outbox').column('due_at').where(waiting).execute();
  await db.schema
    .createIndex('outbox_reader')
    .on('outbox')
    .columns(['unit', 'person', 'channel'])
    .where(waiting)
    .execute();
}
