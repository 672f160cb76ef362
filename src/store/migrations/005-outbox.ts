import { sql } from 'kysely';
import type { Migration } from '../migration.ts';

/** Ways out in order, what a manager gets in one message, and a quick way to what was lost lately. */
export const outbox: Migration = {
  number: 5,
  async up(db) {
    const table = () => db.schema.alterTable('outbox');
    await table().addColumn('ways', 'text').execute();
    await table()
      .addColumn('urgent', 'integer', (column) => column.notNull().defaultTo(0))
      .execute();
    await table().addColumn('patience_ends', 'double precision').execute();
    await table()
      .addColumn('gathers', 'integer', (column) => column.notNull().defaultTo(0))
      .execute();
    await table().addColumn('batch', 'text').execute();
    const lost = sql<boolean>`state in ('failed', 'expired')`;
    await db.schema.createIndex('outbox_lost').on('outbox').column('settled_at').where(lost).execute();
    await db.schema.createIndex('outbox_unit').on('outbox').columns(['unit', 'person']).execute();
  },
};
