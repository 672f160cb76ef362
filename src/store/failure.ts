import SqliteDatabase from 'better-sqlite3';
import { StoreError } from '../errors.ts';

/** Whether another connection held the lock: the one failure of SQLite that passes by itself. */
export function isBusy(error: unknown): boolean {
  return error instanceof SqliteDatabase.SqliteError && /^SQLITE_(BUSY|LOCKED)/.test(error.code);
}

/** What SQLite's failure means to the operator; an error that is none of SQLite's comes back as it was. */
export function storeFailure(error: unknown, path: string): unknown {
  if (!(error instanceof SqliteDatabase.SqliteError)) return error;
  if (isBusy(error)) return locked(path, error);
  if (/^SQLITE_(CORRUPT|NOTADB)/.test(error.code)) return damaged(path, error);
  if (/^SQLITE_(CANTOPEN|READONLY|IOERR|FULL|PERM|NOLFS)/.test(error.code)) return unreachable(path, error);
  return error;
}

export function unreachable(path: string, cause: unknown): StoreError {
  const reason = cause instanceof Error ? cause.message : String(cause);
  return new StoreError('store-unreachable', `The database ${path} cannot be opened or written: ${reason}.`, {
    hint: 'Check that its directory exists, that this user may write there and that the disk has room.',
    cause,
  });
}

function locked(path: string, cause: unknown): StoreError {
  return new StoreError('store-locked', `Another process holds the database ${path} and did not let go.`, {
    retryable: true,
    hint: 'End the process that holds it (a backup, a database shell), then run the command again.',
    cause,
  });
}

function damaged(path: string, cause: unknown): StoreError {
  return new StoreError('store-damaged', `The database ${path} is damaged, or the file is no database.`, {
    hint: 'Put a backup in its place, or move it away to begin anew; what was told is then told again.',
    cause,
  });
}
