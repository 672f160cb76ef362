/** What an operator does with the database. */
import { existsSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import type { Config } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { backUp, checkDatabase } from '../store/backup.ts';
import { openStore } from '../store/open.ts';
import { isEmpty } from '../store/soundness.ts';

/** Bytes of the copy. @throws StoreError */
export async function backUpStore({ store }: Config, target: string): Promise<number> {
  const file = resolve(target);
  await backUp(store.path, file);
  return statSync(file).size;
}

/** @throws StoreError when it is not whole. */
export async function checkStore({ store }: Config): Promise<void> {
  await checkDatabase(store.path);
}

/** What is said of a database file that is there and empty, from which everything begins anew; null: it is none such. */
export function emptyStore({ store }: Config): string | null {
  if (!isEmpty(store.path)) return null;
  return `The database file ${store.path} is there and holds nothing, so everything begins anew. If it held something before, all that was told and said is gone: stop the daemon and put a backup in its place.`;
}

/**
 * Makes every link void that was sent so far. A daemon that runs signs with the new key from its next message on.
 *
 * @throws UsageError where there is no database, which is not made for this; StoreError
 */
export async function replaceLinkKey({ store: { path } }: Config, now: EpochSeconds): Promise<void> {
  if (!existsSync(path)) throw new UsageError(`There is no database ${path} yet, and no link was ever made.`);
  const store = await openStore(path);
  try {
    await store.rotateLinkKey(now);
  } finally {
    await store.close();
  }
}
