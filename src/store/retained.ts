import type { Database, Statement } from 'better-sqlite3';

/**
 * On Node 24 a native object of the driver that is garbage-collected outside of any call ends the process:
 * the assertion `(env) != nullptr` in node::RemoveEnvironmentCleanupHook (seen with Node 24.21 and
 * better-sqlite3 12). So what the driver made is kept until the process ends: a few kilobytes for each
 * connection, since a connection prepares each of its statements once.
 */
const KEPT = new Set<object>();

/** The database as the query builder uses it: each statement prepared once and kept. */
export function retained(database: Database): { prepare(sql: string): Statement; close(): void } {
  const statements = new Map<string, Statement>();
  KEPT.add(database);
  KEPT.add(statements);
  return {
    prepare(sql) {
      const known = statements.get(sql) ?? database.prepare(sql);
      statements.set(sql, known);
      return known;
    },
    close: () => {
      database.close();
    },
  };
}
