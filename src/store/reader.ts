import { existsSync, readFileSync, statSync } from 'node:fs';
import { openCopy, openReading } from './connection.ts';
import type { Connection, Opening } from './connection.ts';
import { storeFailure, unreachable } from './failure.ts';
import { migrate, needsMigration } from './migrate.ts';
import { readerOf, toOpening } from './open.ts';
import type { StoreOptions } from './open.ts';
import type { StoreReader } from './store.ts';

const READ_ATTEMPTS = 3;
const LARGEST_COPY_BYTES = 128 * 1024 * 1024;

/**
 * Opens the database to look only: writes nothing, creates nothing, and leaves no file beside it that was not
 * there. Null when there is no database yet.
 *
 * @throws {StoreError} locked, damaged, newer or unreachable.
 */
export async function openReader(path: string, options: StoreOptions = {}): Promise<StoreReader | null> {
  if (!isWritten(path)) return null;
  const opening = toOpening(path, options);
  return readerOf(await upToDate(await openQuietly(opening), opening));
}

/** A file of no bytes is one whose creator was killed before it wrote anything. */
function isWritten(path: string): boolean {
  return sizeOf(path) > 0;
}

function sizeOf(path: string): number {
  try {
    return statSync(path, { throwIfNoEntry: false })?.size ?? 0;
  } catch (error) {
    throw unreachable(path, error);
  }
}

/**
 * While a log lies beside the file, a process uses it or was killed in use, and an ordinary read-only
 * connection adds nothing. Without one, such a connection would create it and, being read-only, could not
 * remove it again; but then the file is complete by itself, and a copy in memory serves.
 */
async function openQuietly(opening: Opening): Promise<Connection> {
  // What would fill the memory is read where it lies, at the price of two files beside it for as long as it is open.
  if (sizeOf(opening.path) > LARGEST_COPY_BYTES) return await openReading(opening);
  for (let attempt = 0; attempt < READ_ATTEMPTS && !hasLog(opening.path); attempt += 1) {
    const content = readAtRest(opening.path);
    if (content !== null) return await openCopy(content, opening);
  }
  return await openReading(opening);
}

function hasLog(path: string): boolean {
  return existsSync(`${path}-wal`);
}

/** The file's bytes; null: somebody opened or wrote it while it was being read. */
function readAtRest(path: string): Buffer | null {
  try {
    const before = statSync(path, { bigint: true });
    const content = readFileSync(path);
    const after = statSync(path, { bigint: true });
    const untouched = before.mtimeNs === after.mtimeNs && before.size === after.size;
    return untouched && !hasLog(path) ? content : null;
  } catch (error) {
    throw unreachable(path, error);
  }
}

/** A database of an earlier program is read through a copy that is brought up to date in memory. */
async function upToDate(connection: Connection, opening: Opening): Promise<Connection> {
  try {
    if (!(await connection.run(needsMigration))) return connection;
    const copy = await openCopy(connection.content(), opening);
    await copy.run((db) => db.transaction().execute(migrate));
    await connection.close();
    return copy;
  } catch (error) {
    await connection.close();
    throw storeFailure(error, opening.path);
  }
}
