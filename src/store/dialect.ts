import type { Database } from 'better-sqlite3';
import { CompiledQuery, SqliteDialect, SqliteDriver } from 'kysely';
import type { DatabaseConnection, Driver } from 'kysely';
import { retained } from './retained.ts';

/**
 * SQLite whose transactions take the write lock when they begin. A plain `begin` takes it at the first write,
 * and fails there for good when another process wrote meanwhile, whatever the busy timeout.
 */
export class ImmediateDialect extends SqliteDialect {
  readonly #database: Database;

  constructor(database: Database) {
    super({ database: retained(database) });
    this.#database = database;
  }

  override createDriver(): Driver {
    return new ImmediateDriver(this.#database);
  }
}

class ImmediateDriver extends SqliteDriver {
  readonly #database: Database;

  constructor(database: Database) {
    super({ database: retained(database) });
    this.#database = database;
  }

  override async beginTransaction(connection: DatabaseConnection): Promise<void> {
    await connection.executeQuery(CompiledQuery.raw('begin immediate'));
  }

  /** A full disk makes SQLite roll back by itself; a second rollback would hide the reason behind its own error. */
  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    if (this.#database.inTransaction) await super.rollbackTransaction(connection);
  }
}
