import type { Migration } from '../migration.ts';

/** For which height the temperature of an hour that has passed is; null: its source did not say. */
export const pastHeights: Migration = {
  number: 4,
  async up(db) {
    await db.schema.alterTable('past_hour').addColumn('grid_elevation_m', 'double precision').execute();
  },
};
