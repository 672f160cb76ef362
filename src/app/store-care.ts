/** What an operator does with the database. */
import { statSync } from 'node:fs';
import { resolve } from 'node:path';
import type { Config } from '../config/config.ts';
import { backUp, checkDatabase } from '../store/backup.ts';

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
