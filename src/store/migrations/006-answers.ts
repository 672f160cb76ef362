import type { Kysely } from 'kysely';
import type { Migration } from '../migration.ts';

/** What people answered, one row for each answer, and the key that links are signed with. */
export const answers: Migration = {
  number: 6,
  async up(db) {
    await createAnswers(db);
    await createKeys(db);
  },
};

/** `link` is null for what was not said by a link; SQL takes no two nulls for the same, so those never clash. */
async function createAnswers(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('answer')
    .addColumn('id', 'integer', (column) => column.primaryKey().autoIncrement())
    .addColumn('unit', 'text', (column) => column.notNull())
    .addColumn('person', 'text')
    .addColumn('answer', 'text', (column) => column.notNull())
    .addColumn('at', 'double precision', (column) => column.notNull())
    .addColumn('recorded_at', 'double precision', (column) => column.notNull())
    .addColumn('until', 'double precision')
    .addColumn('basis', 'text', (column) => column.notNull())
    .addColumn('via', 'text', (column) => column.notNull())
    .addColumn('episode', 'text')
    .addColumn('link', 'text', (column) => column.unique())
    .addColumn('details', 'text', (column) => column.notNull())
    .addColumn('ended_at', 'double precision')
    .execute();
  await db.schema.createIndex('answer_of').on('answer').columns(['unit', 'person', 'answer', 'id']).execute();
}

async function createKeys(db: Kysely<unknown>): Promise<void> {
  await db.schema
    .createTable('signing_key')
    .addColumn('purpose', 'text', (column) => column.primaryKey().notNull())
    .addColumn('key', 'blob', (column) => column.notNull())
    .addColumn('made_at', 'double precision', (column) => column.notNull())
    .execute();
}
