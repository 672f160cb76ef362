/** Tells what this database's program says from what others say to the same broker. */
import { randomBytes } from 'node:crypto';
import type { Kysely, Transaction } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';

/** Beside the keys, which are random bytes made once as well; nothing is signed with it, and it is no secret. */
const PURPOSE = 'installation';

/** Two of millions are hardly ever the same. */
const BYTES = 8;

/** Null: none was made yet. */
export async function readInstallation(db: Kysely<Schema>): Promise<string | null> {
  const row = await db
    .selectFrom('signing_key')
    .select('key')
    .where('purpose', '=', PURPOSE)
    .executeTakeFirst();
  return row?.key.toString('hex') ?? null;
}

/** Of two processes that make one at once, the second takes the first one's. */
export async function installation(trx: Transaction<Schema>, now: EpochSeconds): Promise<string> {
  const known = await readInstallation(trx);
  if (known !== null) return known;
  const key = randomBytes(BYTES);
  await trx.insertInto('signing_key').values({ purpose: PURPOSE, key, made_at: now }).execute();
  return key.toString('hex');
}
