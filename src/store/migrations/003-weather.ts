import type { Kysely } from 'kysely';
import type { Migration } from '../migration.ts';

/** Answers of weather services and the calls spent on them; readings, and what forecasts are scored by. */
export const weather: Migration = {
  number: 3,
  async up(db) {
    await createShelf(db);
    await createMeasured(db);
    await createForecasts(db);
  },
};

async function createShelf(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('shelf')
    .addColumn('source', 'text', (column) => column.notNull())
    .addColumn('url', 'text', (column) => column.notNull())
    .addColumn('body', 'blob', (column) => column.notNull())
    .addColumn('etag', 'text')
    .addColumn('last_modified', 'text')
    .addColumn('expires_at', 'double precision')
    .addColumn('fetched_at', 'double precision', (column) => column.notNull())
    .addPrimaryKeyConstraint('shelf_key', ['source', 'url'])
    .execute();
  await db.schema
    .createTable('spent_call')
    .addColumn('source', 'text', (column) => column.notNull())
    .addColumn('minute', 'double precision', (column) => column.notNull())
    .addColumn('weight', 'double precision', (column) => column.notNull())
    .addPrimaryKeyConstraint('spent_call_key', ['source', 'minute'])
    .execute();
}

/** Keys begin with what is searched by: the place, then the time. No unit is an empty text, since null equals nothing. */
async function createMeasured(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('reading')
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('at', 'double precision', (column) => column.notNull())
    .addColumn('unit', 'text', (column) => column.notNull())
    .addColumn('zone', 'text', (column) => column.notNull())
    .addColumn('origin', 'text', (column) => column.notNull())
    .addColumn('temperature_c', 'double precision', (column) => column.notNull())
    .addColumn('learned_at', 'double precision', (column) => column.notNull())
    .addPrimaryKeyConstraint('reading_key', ['place', 'at', 'unit', 'zone', 'origin'])
    .execute();
  await db.schema.createIndex('reading_at').on('reading').column('at').execute();
  await db.schema
    .createTable('truth')
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('at', 'double precision', (column) => column.notNull())
    .addColumn('kind', 'text', (column) => column.notNull())
    .addColumn('name', 'text', (column) => column.notNull())
    .addColumn('temperature_c', 'double precision', (column) => column.notNull())
    .addPrimaryKeyConstraint('truth_key', ['place', 'at', 'kind', 'name'])
    .execute();
  await db.schema.createIndex('truth_at').on('truth').column('at').execute();
}

async function createForecasts(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('past_hour')
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('hour', 'double precision', (column) => column.notNull())
    .addColumn('source', 'text', (column) => column.notNull())
    .addColumn('temperature_c', 'double precision', (column) => column.notNull())
    .addColumn('wind_speed_mps', 'double precision')
    .addColumn('cloud_percent', 'double precision')
    .addColumn('soil_temperature_c', 'double precision')
    .addPrimaryKeyConstraint('past_hour_key', ['place', 'hour'])
    .execute();
  await db.schema
    .createTable('kept_forecast')
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('valid_day', 'double precision', (column) => column.notNull())
    .addColumn('source', 'text', (column) => column.notNull())
    .addColumn('lead_day', 'integer', (column) => column.notNull())
    .addColumn('kept_at', 'double precision', (column) => column.notNull())
    .addColumn('said', 'text', (column) => column.notNull())
    .addPrimaryKeyConstraint('kept_forecast_key', ['place', 'valid_day', 'source', 'lead_day'])
    .execute();
  await db.schema.createIndex('kept_forecast_day').on('kept_forecast').column('valid_day').execute();
  await db.schema
    .createTable('place_record')
    .addColumn('place', 'text', (column) => column.notNull())
    .addColumn('source', 'text', (column) => column.notNull())
    .addColumn('state', 'text', (column) => column.notNull())
    .addColumn('updated_at', 'double precision', (column) => column.notNull())
    .addPrimaryKeyConstraint('place_record_key', ['place', 'source'])
    .execute();
}
