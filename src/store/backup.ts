/** A copy of the database while it is in use, and whether a database is whole. */
import { randomUUID } from 'node:crypto';
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { StoreError } from '../errors.ts';
import { storeFailure, unreachable } from './failure.ts';
import { findMistakes, isEmpty, openWhole, type Mistakes } from './soundness.ts';

/** All pages in one step: one snapshot, which writers need not wait for, and which they cannot make begin anew. */
const ALL_PAGES = 0x7fffffff;

/**
 * Writes a copy as the database is at this moment, whoever writes it meanwhile. The copy is checked, and takes its name
 * only when it is whole and on the disk. One of which single rows are damaged is written all the same, for the rest of
 * it; that is then said.
 *
 * @throws {StoreError} locked, damaged, newer or unreachable, also for a target that is there already.
 */
export async function backUp(path: string, target: string): Promise<void> {
  if (existsSync(target))
    throw unreachable(target, new Error('there is a file of that name, which is not written over'));
  if (isEmpty(path)) throw damagedBy(path, ['it holds nothing at all']);
  // A name of its own: what a backup that was killed has left stands in nobody's way.
  const part = `${target}.${randomUUID()}.part`;
  try {
    // For this user only, as the database itself is.
    closeSync(openSync(part, 'wx', 0o600));
  } catch (error) {
    throw unreachable(part, error);
  }
  try {
    await copied(path, part);
    const { ofFile, ofRows } = await findMistakes(part);
    if (ofFile.length > 0) throw damagedBy(path, ofFile);
    synced(part);
    renameSync(part, target);
    synced(dirname(target));
    if (ofRows.length > 0) throw damagedRows(path, ofRows, `The copy ${target} is written. `);
  } catch (error) {
    for (const left of [part, `${part}-wal`, `${part}-shm`, `${part}-journal`]) rmSync(left, { force: true });
    throw storeFailure(error, path);
  }
}

async function copied(path: string, part: string): Promise<void> {
  const database = openWhole(path);
  try {
    await database.backup(part, { progress: () => ALL_PAGES });
  } finally {
    database.close();
  }
}

/** @throws {StoreError} with what is wrong with it. */
export async function checkDatabase(path: string): Promise<void> {
  const { ofFile, ofRows } = await mistakesIn(path);
  if (ofFile.length > 0) throw damagedBy(path, ofFile);
  if (ofRows.length > 0) throw damagedRows(path, ofRows);
}

async function mistakesIn(path: string): Promise<Mistakes> {
  try {
    return await findMistakes(path);
  } catch (error) {
    throw storeFailure(error, path);
  }
}

function damagedBy(path: string, mistakes: readonly string[]): StoreError {
  return new StoreError('store-damaged', `The database ${path} is damaged: ${mistakes.join('; ')}.`, {
    hint: 'Stop the daemon and put a backup in its place.',
  });
}

function damagedRows(path: string, mistakes: readonly string[], written = ''): StoreError {
  return new StoreError(
    'store-damaged',
    `${written}Some of what the database ${path} holds is damaged: ${mistakes.join('; ')}.`,
    {
      hint: 'What is left out is served as unknown. Say with "drainby mark" what is in such a unit, or stop the daemon and put an earlier backup in its place.',
    },
  );
}

function synced(path: string): void {
  const file = openSync(path, 'r');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
