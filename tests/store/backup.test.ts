/** Copies of a database in use: whole, of one moment, for one user only, and never over another file. */
import { existsSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { Kysely } from 'kysely';
import { describe, expect, it } from 'vitest';
import { backUp, checkDatabase } from '../../src/store/backup.ts';
import { ImmediateDialect } from '../../src/store/dialect.ts';
import { MIGRATIONS } from '../../src/store/migrate.ts';
import { openStore } from '../../src/store/open.ts';
import { entry, letter } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const NOW = 1_795_000_000;

async function written(path: string, count: number) {
  const store = await openStore(path);
  const mark = (i: number) =>
    store.mark({ unit: `u${i}`, water: null, checked: true, at: NOW + i, by: null });
  for (let i = 0; i < count; i++) await mark(i);
  return { store, mark };
}

describe('a backup', () => {
  it('made while the database is written has all that was written before, and is whole', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    const { store, mark } = await written(path, 50);
    const target = join(directory, 'copy.db');
    const writing = Array.from({ length: 50 }, (_, i) => mark(50 + i));
    await backUp(path, target);
    await Promise.all(writing);
    await store.close();
    await checkDatabase(target);
    const copy = await openStore(target);
    const units = await copy.readUnits();
    await copy.close();
    for (let i = 0; i < 50; i++) expect(units.get(`u${i}`)?.checkedAt).toBe(NOW + i);
    expect(statSync(target).mode & 0o777).toBe(0o600);
    expect(existsSync(`${target}.part`)).toBe(false);
  });

  it('is not written over another file, nor without a database', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    const target = join(directory, 'copy.db');
    await expect(backUp(path, target)).rejects.toMatchObject({ code: 'store-unreachable' });
    expect(existsSync(target)).toBe(false);
    await (await written(path, 1)).store.close();
    writeFileSync(target, 'mine');
    await expect(backUp(path, target)).rejects.toMatchObject({ code: 'store-unreachable' });
    expect(readFileSync(target, 'utf8')).toBe('mine');
  });

  it('of a damaged database is refused, and check says that it is damaged', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    await (await written(path, 400)).store.close();
    const bytes = readFileSync(path);
    // The heads of pages in the middle: the file still opens.
    for (let page = 6; page < bytes.length / 4096; page++) bytes.fill(0xff, page * 4096, page * 4096 + 64);
    writeFileSync(path, bytes);
    await expect(checkDatabase(path)).rejects.toMatchObject({ code: 'store-damaged' });
    await expect(backUp(path, join(directory, 'copy.db'))).rejects.toMatchObject({ code: 'store-damaged' });
    expect(existsSync(join(directory, 'copy.db'))).toBe(false);
  });

  it('leaves no log beside a database at rest', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    await (await written(path, 1)).store.close();
    await backUp(path, join(directory, 'copy.db'));
    await checkDatabase(path);
    expect(existsSync(`${path}-wal`) || existsSync(join(directory, 'copy.db-wal'))).toBe(false);
    expect(new Database(path, { readonly: true }).pragma('user_version')).toBeDefined();
  });

  it('is not kept from its name by what a backup that was killed has left', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    await (await written(path, 1)).store.close();
    const target = join(directory, 'copy.db');
    for (const name of [`${target}.part`, `${target}.1.part`]) writeFileSync(name, 'left behind');
    await backUp(path, target);
    await checkDatabase(target);
    expect(readFileSync(`${target}.part`, 'utf8')).toBe('left behind');
  });
});

describe('a database that is none of ours', () => {
  const of = (sql: string) => (path: string) => {
    const database = new Database(path);
    database.exec(sql);
    database.close();
  };
  it.each([
    ['a file of no bytes', (path: string) => writeFileSync(path, ''), 'holds nothing at all'],
    ['one of a single table', of('create table x(a)'), 'database of something else'],
    ['one with our version', of('create table x(a); pragma user_version = 6'), 'no table unit'],
  ])('%s is neither whole nor backed up', async (_what, make, words) => {
    const path = join(temporaryDirectory(), 'drainby.db');
    make(path);
    const expected = { code: 'store-damaged', message: expect.stringContaining(words) as string };
    await expect(checkDatabase(path)).rejects.toMatchObject(expected);
    await expect(backUp(path, `${path}.copy`)).rejects.toMatchObject(expected);
    expect(readdirSync(dirname(path))).toEqual(['drainby.db']);
  });

  it.each([
    ['a table', 'drop table shelf', 'no table shelf'],
    ['a column', 'alter table outbox drop column batch', 'no outbox.batch'],
  ])('one that has lost %s is not whole', async (_what, sql, words) => {
    const path = join(temporaryDirectory(), 'drainby.db');
    await (await written(path, 1)).store.close();
    of(sql)(path);
    await expect(checkDatabase(path)).rejects.toThrow(words);
  });

  it('one of a newer program is called so, and one of each earlier version is whole', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    await (await written(path, 1)).store.close();
    of('pragma user_version = 999')(path);
    await expect(checkDatabase(path)).rejects.toMatchObject({ code: 'store-newer' });
    for (let version = 1; version <= MIGRATIONS.length; version++) {
      const earlier = join(temporaryDirectory(), 'drainby.db');
      const database = new Database(earlier);
      const db = new Kysely<unknown>({ dialect: new ImmediateDialect(database) });
      for (const migration of MIGRATIONS.slice(0, version)) await migration.up(db);
      database.exec(`pragma user_version = ${version};
        insert into unit (unit, version, memory) values ('blue', 1, '{}');
        insert into outbox (episode, kind, action, person, channel, unit, round, message, use_before, due_at, state, attempt)
        values ('e', 'act', 'drain', 'ann', 'email', 'blue', 'r', '${JSON.stringify(letter())}', 1, 1, 'sent', 1)`);
      await db.destroy();
      database.close();
      await expect(checkDatabase(earlier), String(version)).resolves.toBeUndefined();
    }
  });
});

describe('a database of which a row cannot be read', () => {
  it.each([
    ['unit', "update unit set memory = '{'", 'unit u0 cannot be read'],
    ['unit', "update unit set water = '[]'", 'unit u0 cannot be read'],
    ['history', "update unit_history set memory = 'x'", 'unit_history 1 cannot be read'],
    ['message', "update outbox set message = '{'", 'outbox 1 cannot be read'],
    ['ways', `update outbox set ways = '["pigeon"]'`, 'outbox 1 cannot be read'],
    ['answer', "update answer set details = ''", 'answer 1 cannot be read'],
    ['forecast', "update kept_forecast set said = '{}'", 'kept_forecast creek cannot be read'],
    ['lesson', "update place_record set state = 'null'", 'place_record creek cannot be read'],
    ['service', "update shelf set body = x'00'", 'shelf meteo cannot be read'],
  ])('is not whole, is copied all the same, and says so: %s', async (_what, sql, words) => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const { store } = await written(path, 1);
    const round = { id: 'one', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 };
    await store.enqueue(round, [entry()]);
    await store.keepAnswer('meteo', {
      url: 'http://127.0.0.1/',
      body: '{}',
      fetchedAt: NOW,
      etag: null,
      lastModified: null,
      expiresAt: null,
    });
    await store.close();
    const database = new Database(path);
    database.exec(`insert into answer (unit, at, recorded_at, answer, basis, via, details) values ('u0', 1, 1, 'checked', 'seen', 'link', '{}');
      insert into place_record (place, source, state, updated_at) values ('creek', 'meteo', '{}', 1)`);
    database.prepare("insert into kept_forecast values ('creek', 1, 'meteo', 1, 1, ?)").run(
      JSON.stringify({
        m: HOURS,
        d: HOURS,
        q: [HOURS, HOURS, HOURS, HOURS, HOURS],
        z: HOURS,
        f: HOURS,
        u: HOURS,
        v: HOURS,
      }),
    );
    await checkDatabase(path);
    database.exec(sql);
    database.close();
    const expected = { code: 'store-damaged', message: expect.stringContaining(words) as string };
    await expect(checkDatabase(path)).rejects.toMatchObject(expected);
    await expect(backUp(path, `${path}.copy`)).rejects.toThrow(/^The copy .* is written\. Some of what/);
    expect(readFileSync(`${path}.copy`).length).toBe(readFileSync(path).length);
  });
});

const HOURS = Array.from({ length: 24 }, () => 0);

describe('the health of an outbox', () => {
  it('counts what nobody takes up, what is tried in vain, and what was lost of late', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    const store = await openStore(path);
    const row = (key: string, over: object) => ({
      episode: key,
      kind: 'act',
      action: 'drain',
      person: 'ann',
      channel: 'email',
      unit: 'blue',
      round: 'r',
      message: '{}',
      use_before: NOW + 86_400,
      due_at: NOW,
      state: 'waiting',
      attempt: 0,
      claimed_by: null,
      superseded_by: null,
      last_error: null,
      settled_at: null,
      ...over,
    });
    const rows = [
      row('fresh', { due_at: NOW - 60 }),
      row('later', { due_at: NOW + 3600 }),
      row('overdue', { due_at: NOW - 901 }),
      row('stuck', { due_at: NOW + 300, attempt: 5 }),
      row('retried', { due_at: NOW + 300, attempt: 4 }),
      row('unsure', { due_at: NOW + 7200, attempt: 1, unsure_attempts: 1 }),
      row('confirmed', { state: 'sent', settled_at: NOW - 60, unsure_attempts: 1 }),
      row('lost', { state: 'failed', settled_at: NOW - 3600 }),
      row('lapsed', { state: 'expired', settled_at: NOW - 3600 }),
      row('lost before', { state: 'failed', settled_at: NOW - 90_000 }),
      row('sent', { state: 'sent', settled_at: NOW - 3600 }),
      // Every way of this one was lost: that is one message.
      row('lost', { channel: 'text', state: 'expired', settled_at: NOW - 90_000 }),
      row('lost', { channel: 'file', state: 'failed', settled_at: NOW - 1800 }),
      // One way has it, or still tries.
      row('by mail', { channel: 'text', state: 'failed', settled_at: NOW - 3600 }),
      row('by mail', { state: 'sent', settled_at: NOW - 3600 }),
      row('trying', { channel: 'text', state: 'failed', settled_at: NOW - 3600 }),
      row('trying', { due_at: NOW + 300, attempt: 1 }),
      // The same to somebody else did not arrive.
      row('by mail', { person: 'ben', state: 'failed', settled_at: NOW - 3600 }),
      row('state.blue', {
        kind: 'state',
        person: '',
        channel: 'mqtt',
        state: 'expired',
        settled_at: NOW - 60,
      }),
    ];
    const round = { id: 'r', started_at: NOW, finished_at: NOW, places_with_forecast: 1, places_without: 0 };
    const database = new Database(path);
    const insert = (table: string, of: object): void => {
      const names = Object.keys(of);
      database
        .prepare(`insert into ${table} (${names.join()}) values (${names.map(() => '?').join()})`)
        .run(Object.values(of));
    };
    insert('round', round);
    for (const one of rows) insert('outbox', one);
    database.close();
    expect(await store.outboxHealth(NOW)).toEqual({ overdue: 1, stuck: 1, lost: 3, unsure: 1 });
    await store.close();
  });
});
