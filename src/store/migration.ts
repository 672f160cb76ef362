import type { Kysely } from 'kysely';

export interface Migration {
  /** The version that the database has afterwards. */
  readonly number: number;
  up(db: Kysely<unknown>): Promise<void>;
}
