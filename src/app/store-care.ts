/** What an operator does with the database. */
import { existsSync, statSync } from 'node:fs';
import { resolve } from 'node:path';
import type { Config } from '../config/config.ts';
import { UsageError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { backUp, checkDatabase } from '../store/backup.ts';
import { openStore } from '../store/open.ts';

/** Bytes of the copy. @throws StoreError */
export async function backUpStore({ store }: Config, target: string): Promise<number> {
  const file = resolve(target);
  await backUp(store.path, file);
  return statSync(file).size;
}

/** @throws StoreError when it is not whole. */
export function checkStore({ store }: Config): void {
  checkDatabase(store.path);
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
