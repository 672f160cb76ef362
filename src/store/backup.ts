/** A copy of the database while it is in use, and whether a database is whole. */
import SqliteDatabase from 'better-sqlite3';
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname } from 'node:path';
import { StoreError } from '../errors.ts';
import { storeFailure, unreachable } from './failure.ts';

const BUSY_TIMEOUT_MS = 10_000;
/** All pages in one step: one snapshot, which writers need not wait for, and which they cannot make begin anew. */
const ALL_PAGES = 0x7fffffff;

/**
 * Writes a copy as the database is at this moment, whoever writes it meanwhile. The copy is checked, and takes its name
 * only when it is whole and on the disk.
 *
 * @throws {StoreError} locked, damaged or unreachable, also for a target that is there already.
 */
export async function backUp(path: string, target: string): Promise<void> {
  if (existsSync(target))
    throw unreachable(target, new Error('there is a file of that name, which is not written over'));
  const part = `${target}.part`;
  try {
    // For this user only, as the database itself is.
    closeSync(openSync(part, 'wx', 0o600));
  } catch (error) {
    throw unreachable(part, error);
  }
  try {
    await copied(path, part);
    const mistakes = findMistakes(part);
    if (mistakes.length > 0) throw damagedBy(path, mistakes);
    synced(part);
    renameSync(part, target);
    synced(dirname(target));
  } catch (error) {
    for (const left of [part, `${part}-wal`, `${part}-shm`, `${part}-journal`]) rmSync(left, { force: true });
    throw storeFailure(error, path);
  }
}

async function copied(path: string, part: string): Promise<void> {
  const database = opened(path);
  try {
    await database.backup(part, { progress: () => ALL_PAGES });
  } finally {
    database.close();
  }
}

/** @throws {StoreError} with what is wrong with it. */
export function checkDatabase(path: string): void {
  let mistakes: readonly string[];
  try {
    mistakes = findMistakes(path);
  } catch (error) {
    throw storeFailure(error, path);
  }
  if (mistakes.length > 0) throw damagedBy(path, mistakes);
}

const MOST_MISTAKES = 5;

function findMistakes(path: string): readonly string[] {
  const database = opened(path);
  try {
    const rows = database.pragma(`integrity_check(${MOST_MISTAKES})`) as readonly {
      integrity_check: string;
    }[];
    const loose = database.pragma('foreign_key_check') as readonly unknown[];
    const found = rows.map((row) => row.integrity_check).filter((text) => text !== 'ok');
    return loose.length === 0 ? found : [...found, `${loose.length} rows point to others that are not there`];
  } finally {
    database.close();
  }
}

/** Not read-only: the last connection of all could then not take away the log that it made. */
function opened(path: string): SqliteDatabase.Database {
  if (!existsSync(path)) throw unreachable(path, new Error('there is no such file'));
  return new SqliteDatabase(path, { fileMustExist: true, timeout: BUSY_TIMEOUT_MS });
}

function damagedBy(path: string, mistakes: readonly string[]): StoreError {
  return new StoreError('store-damaged', `The database ${path} is damaged: ${mistakes.join('; ')}.`, {
    hint: 'Stop the daemon and put a backup in its place.',
  });
}

function synced(path: string): void {
  const file = openSync(path, 'r');
  try {
    fsyncSync(file);
  } finally {
    closeSync(file);
  }
}
