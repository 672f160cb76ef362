/** Copies of a database in use: whole, of one moment, for one user only, and never over another file. */
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { backUp, checkDatabase } from '../../src/store/backup.ts';
import { openStore } from '../../src/store/open.ts';
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
    checkDatabase(target);
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
    expect(() => checkDatabase(path)).toThrow(expect.objectContaining({ code: 'store-damaged' }));
    await expect(backUp(path, join(directory, 'copy.db'))).rejects.toMatchObject({ code: 'store-damaged' });
    expect(existsSync(join(directory, 'copy.db'))).toBe(false);
  });

  it('leaves no log beside a database at rest', async () => {
    const directory = temporaryDirectory();
    const path = join(directory, 'drainby.db');
    await (await written(path, 1)).store.close();
    await backUp(path, join(directory, 'copy.db'));
    checkDatabase(path);
    expect(existsSync(`${path}-wal`) || existsSync(join(directory, 'copy.db-wal'))).toBe(false);
    expect(new Database(path, { readonly: true }).pragma('user_version')).toBeDefined();
  });
});

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
