import { statSync } from 'node:fs';

/**
 * Tells one database file from another of the same name; null: there is none. A connection keeps the file that it
 * opened, even after that was removed or another was put in its place.
 */
export function fileIdentity(path: string): string | null {
  const found = statSync(path, { bigint: true, throwIfNoEntry: false });
  return found === undefined ? null : `${found.dev}:${found.ino}`;
}
