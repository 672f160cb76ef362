import type { Migration } from '../migration.ts';

/** How often a mail server fell silent with the whole message in its hands. */
export const unsureAttempts: Migration = {
  number: 2,
  async up(db) {
    await db.schema
      .alterTable('outbox')
      .addColumn('unsure_attempts', 'integer', (column) => column.notNull().defaultTo(0))
      .execute();
  },
};
