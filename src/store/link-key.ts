import { randomBytes } from 'node:crypto';
import type { Kysely, Transaction } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';

const LINKS = 'links';

/** As long as the hash that is made with it (RFC 2104, 3: shorter ones weaken it, longer ones add little). */
const KEY_BYTES = 32;

/** Null: none was made yet. */
export async function readLinkKey(db: Kysely<Schema>): Promise<Buffer | null> {
  const row = await db
    .selectFrom('signing_key')
    .select('key')
    .where('purpose', '=', LINKS)
    .executeTakeFirst();
  return row?.key ?? null;
}

/** Of two processes that make one at once, the second takes the first one's. */
export async function linkKey(trx: Transaction<Schema>, now: EpochSeconds): Promise<Buffer> {
  const known = await readLinkKey(trx);
  if (known !== null) return known;
  return await rotateLinkKey(trx, now);
}

/** Links that were signed with the key before are void from now on. */
export async function rotateLinkKey(trx: Transaction<Schema>, now: EpochSeconds): Promise<Buffer> {
  const key = randomBytes(KEY_BYTES);
  await trx
    .insertInto('signing_key')
    .values({ purpose: LINKS, key, made_at: now })
    .onConflict((conflict) => conflict.column('purpose').doUpdateSet({ key, made_at: now }))
    .execute();
  return key;
}
