import SqliteDatabase from 'better-sqlite3';
import {
  copyFileSync,
  existsSync,
  readFileSync,
  readdirSync,
  statSync,
  truncateSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import { openStore } from '../../src/store/open.ts';
import { openReader } from '../../src/store/reader.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const ROUND = { id: 'one', startedAt: NOW, finishedAt: NOW + 5, placesWithForecast: 1, placesWithout: 0 };

/** A closed database with one unit, and as many messages as asked for. */
async function writtenDatabase(messages = 0): Promise<string> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path);
  const outbox = Array.from({ length: messages }, (_, index) =>
    entry({ episode: `episode-${index}`, message: letter({ text: 'cold '.repeat(200) }) }),
  );
  const memory = { ...EMPTY_MEMORY, suspectSince: NOW };
  await store.commitRound(ROUND, [{ unit: 'blue', expectedVersion: 0, memory, outbox }]);
  await store.close();
  return path;
}

function beside(path: string): string[] {
  return readdirSync(join(path, '..')).toSorted();
}

describe.each([
  ['opening', openStore],
  ['looking at', openReader],
] as const)('%s a database', (_how, open) => {
  it('is refused when a newer program wrote it, and leaves it as it was', async () => {
    const path = await writtenDatabase();
    const database = new SqliteDatabase(path);
    database.pragma('user_version = 999');
    database.close();
    const before = readFileSync(path);
    await expect(open(path)).rejects.toMatchObject({ name: 'StoreError', code: 'store-newer' });
    expect(readFileSync(path).equals(before)).toBe(true);
  });

  it('is refused when the file is no database', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    writeFileSync(path, 'This is a letter, not a database. '.repeat(100));
    await expect(open(path)).rejects.toMatchObject({ code: 'store-damaged' });
  });

  it('is refused when the path is a directory', async () => {
    await expect(open(temporaryDirectory())).rejects.toMatchObject({ code: 'store-unreachable' });
  });

  it('says that it is damaged when it comes to pages full of nonsense', async () => {
    const path = await writtenDatabase(200);
    const content = readFileSync(path);
    content.fill(0x5a, 4096);
    writeFileSync(path, content);
    const work = async (): Promise<void> => {
      const store = await open(path);
      try {
        await store?.readUnits();
      } finally {
        await store?.close();
      }
    };
    await expect(work()).rejects.toMatchObject({ code: 'store-damaged' });
  });

  it('says that it is damaged when half of it is gone', async () => {
    const path = await writtenDatabase(200);
    truncateSync(path, Math.floor(statSync(path).size / 2));
    const work = async (): Promise<void> => {
      const store = await open(path);
      try {
        await store?.readUnits();
        await store?.outboxCounts();
      } finally {
        await store?.close();
      }
    };
    await expect(work()).rejects.toMatchObject({ code: 'store-damaged' });
  });
});

it('makes no directory: a mistyped path is an error', async () => {
  const path = join(temporaryDirectory(), 'missing', 'drainby.db');
  await expect(openStore(path)).rejects.toMatchObject({ code: 'store-unreachable' });
  expect(existsSync(join(path, '..'))).toBe(false);
});

describe('looking only', () => {
  it('finds nothing and creates nothing where there is no database', async () => {
    const directory = temporaryDirectory();
    expect(await openReader(join(directory, 'drainby.db'))).toBeNull();
    expect(await openReader(join(directory, 'missing', 'drainby.db'))).toBeNull();
    expect(readdirSync(directory)).toEqual([]);
  });

  it('finds nothing in a file whose creator was killed before it wrote', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    writeFileSync(path, '');
    expect(await openReader(path)).toBeNull();
    expect(statSync(path).size).toBe(0);
  });

  it('reads a database at rest and changes neither it nor what lies beside it, not even meanwhile', async () => {
    const path = await writtenDatabase();
    const before = { content: readFileSync(path), time: statSync(path).mtimeMs };
    const reader = await openReader(path);
    expect((await reader!.readUnits()).get('blue')?.memory.suspectSince).toBe(NOW);
    expect(await reader!.lastRound()).toEqual(ROUND);
    expect(beside(path)).toEqual(['drainby.db']);
    await reader!.close();
    expect(beside(path)).toEqual(['drainby.db']);
    expect(readFileSync(path).equals(before.content)).toBe(true);
    expect(statSync(path).mtimeMs).toBe(before.time);
  });

  it('sees what a running daemon wrote a moment ago, and leaves its files alone', async () => {
    const path = await writtenDatabase();
    const store = await openStore(path);
    onTestFinished(() => store.close());
    await store.mark({ unit: 'blue', water: null, checked: true, at: NOW + 60, by: 'ann' });
    const files = beside(path);
    const reader = await openReader(path);
    expect((await reader!.readUnits()).get('blue')).toMatchObject({ version: 2, checkedAt: NOW + 60 });
    await reader!.close();
    expect(beside(path)).toEqual(files);
    await store.mark({ unit: 'blue', water: null, checked: true, at: NOW + 90, by: 'ann' });
    expect((await store.readUnits()).get('blue')?.version).toBe(3);
  });

  it('sees what a killed daemon left in the log, and leaves the log for the next one', async () => {
    const path = await writtenDatabase();
    const store = await openStore(path);
    onTestFinished(() => store.close());
    await store.mark({ unit: 'blue', water: null, checked: true, at: NOW + 60, by: 'ann' });
    const left = join(temporaryDirectory(), 'drainby.db');
    for (const suffix of ['', '-wal', '-shm']) copyFileSync(path + suffix, left + suffix);
    const log = readFileSync(`${left}-wal`);
    const reader = await openReader(left);
    expect((await reader!.readUnits()).get('blue')?.version).toBe(2);
    await reader!.close();
    expect(beside(left)).toEqual(['drainby.db', 'drainby.db-shm', 'drainby.db-wal']);
    expect(readFileSync(`${left}-wal`).equals(log)).toBe(true);
  });

  it('takes a database that was never set up as one without units', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const database = new SqliteDatabase(path);
    database.exec('create table scratch(a); drop table scratch');
    database.close();
    const before = readFileSync(path);
    const reader = await openReader(path);
    expect((await reader!.readUnits()).size).toBe(0);
    expect(await reader!.lastRound()).toBeNull();
    await reader!.close();
    expect(readFileSync(path).equals(before)).toBe(true);
  });
});
