/** Answers of weather services and the calls spent on them, in real files. */
import SqliteDatabase from 'better-sqlite3';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { describe, expect, it, onTestFinished } from 'vitest';
import { StoreError } from '../../src/errors.ts';
import type { Shelved } from '../../src/forecast/http/shelf.ts';
import { openStore } from '../../src/store/open.ts';
import { openReader } from '../../src/store/reader.ts';
import { readerShelf, storeShelf } from '../../src/store/shelves.ts';
import type { Store } from '../../src/store/store.ts';
import { seconds } from '../support/instants.ts';
import { temporaryDirectory } from '../support/temporary.ts';

/** In the middle of a minute, an hour and a day of UTC. */
const NOON = seconds('2026-11-25T12:30:20Z');
const URL_A = 'https://weather.example/v1/forecast?latitude=39.61';

const none = (): never => {
  throw new Error('nothing was to go wrong');
};

async function freshStore(): Promise<{ store: Store; path: string }> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path, { lockWaitMs: 0 });
  onTestFinished(() => store.close());
  return { store, path };
}

function answer(over: Partial<Shelved> = {}): Shelved {
  return {
    url: URL_A,
    body: '{"hourly":{"temperature_2m":[-3.5,null]},"unit":"°C"}',
    fetchedAt: NOON,
    etag: 'W/"abc"',
    lastModified: 'Wed, 25 Nov 2026 12:00:00 GMT',
    expiresAt: NOON + 1800,
    ...over,
  };
}

/** The write lock, held from another connection. */
function lock(path: string): { release(): void } {
  const database = new SqliteDatabase(path);
  database.exec('begin immediate');
  return {
    release() {
      database.exec('rollback');
      database.close();
    },
  };
}

describe('an answer', () => {
  it('is found again byte by byte after a restart, by its source and address', async () => {
    const { store, path } = await freshStore();
    const shelf = storeShelf(store, none);
    const bare = answer({ url: `${URL_A}&x`, body: '', etag: null, lastModified: null, expiresAt: null });
    await shelf.keep('meteo', answer());
    await shelf.keep('meteo', bare);
    const again = await openStore(path);
    onTestFinished(() => again.close());
    const later = storeShelf(again, none);
    expect(await later.find('meteo', URL_A)).toEqual(answer());
    expect(await later.find('meteo', bare.url)).toEqual(bare);
    expect(await later.find('nws', URL_A)).toBeNull();
    expect(await later.find('meteo', 'https://weather.example/')).toBeNull();
  });

  it('gives its place to a newer one, and not to an older one that comes late', async () => {
    const { store } = await freshStore();
    const shelf = storeShelf(store, none);
    const newer = answer({ body: 'newer', fetchedAt: NOON + 60, etag: null });
    await shelf.keep('meteo', answer());
    await shelf.keep('meteo', newer);
    await shelf.keep('meteo', answer());
    expect(await shelf.find('meteo', URL_A)).toEqual(newer);
  });

  it('that was kept while the clock was ahead gives its place to one that was fetched since', async () => {
    const { store } = await freshStore();
    const shelf = storeShelf(store, none);
    await shelf.keep('meteo', answer({ body: 'of next year', fetchedAt: NOON + 365 * 86_400 }));
    await shelf.keep('meteo', answer());
    expect(await shelf.find('meteo', URL_A)).toEqual(answer());
  });

  it('of megabytes takes a fraction of its size in the file', async () => {
    const { store, path } = await freshStore();
    const hours = Array.from({ length: 400_000 }, (_, i) => (Math.sin(i / 24) * 20).toFixed(1));
    const body = `{"temperature_2m":[${hours.join(',')}]}`;
    await storeShelf(store, none).keep('meteo', answer({ body }));
    expect((await storeShelf(store, none).find('meteo', URL_A))?.body).toBe(body);
    const database = new SqliteDatabase(path, { readonly: true });
    const row = database.prepare('select length(body) as bytes from shelf').get() as { bytes: number };
    database.close();
    expect(body.length).toBeGreaterThan(2_000_000);
    expect(row.bytes).toBeLessThan(body.length / 3);
  });

  it('that cannot be read is as good as none, is told of, and is replaced by the next', async () => {
    const { store, path } = await freshStore();
    const troubles: unknown[] = [];
    const shelf = storeShelf(store, (error) => troubles.push(error));
    await shelf.keep('meteo', answer());
    const database = new SqliteDatabase(path);
    database.exec(`update shelf set body = x'1f8b00'`);
    database.close();
    expect(await shelf.find('meteo', URL_A)).toBeNull();
    expect(troubles).toMatchObject([{ name: 'StoreError', code: 'store-damaged' }]);
    await shelf.keep('meteo', answer());
    expect(await shelf.find('meteo', URL_A)).toEqual(answer());
  });

  it('that would unpack to more than any service may answer is not unpacked', async () => {
    const { store, path } = await freshStore();
    const troubles: unknown[] = [];
    const shelf = storeShelf(store, (error) => troubles.push(error));
    await shelf.keep('meteo', answer());
    const database = new SqliteDatabase(path);
    database.prepare('update shelf set body = ?').run(gzipSync(Buffer.alloc(70 * 1024 * 1024)));
    database.close();
    expect(await shelf.find('meteo', URL_A)).toBeNull();
    expect(troubles).toMatchObject([{ code: 'store-damaged', cause: { code: 'ERR_BUFFER_TOO_LARGE' } }]);
  });

  it('that cannot be kept is told of, and is no failure', async () => {
    const { store, path } = await freshStore();
    const troubles: unknown[] = [];
    const shelf = storeShelf(store, (error) => troubles.push(error));
    const held = lock(path);
    await shelf.keep('meteo', answer());
    held.release();
    expect(troubles).toHaveLength(1);
    expect(troubles[0]).toBeInstanceOf(StoreError);
    expect(await shelf.find('meteo', URL_A)).toBeNull();
  });
});

describe('calls', () => {
  it('are counted by weight within the UTC minute, hour and day, for each source', async () => {
    const { store } = await freshStore();
    const shelf = storeShelf(store, none);
    await shelf.spend('meteo', 1, seconds('2026-11-24T23:59:59Z'));
    await shelf.spend('meteo', 2, seconds('2026-11-25T00:00:00Z'));
    await shelf.spend('meteo', 4, seconds('2026-11-25T12:00:00Z'));
    await shelf.spend('meteo', 8, seconds('2026-11-25T12:30:00Z'));
    await shelf.spend('meteo', 0.5, NOON);
    await shelf.spend('nws', 100, NOON);
    expect(await shelf.spent('meteo', NOON)).toEqual({ day: 14.5, hour: 12.5, minute: 8.5 });
    expect(await shelf.spent('meteo', NOON + 60)).toEqual({ day: 14.5, hour: 12.5, minute: 0 });
    expect(await shelf.spent('meteo', NOON + 86_400)).toEqual({ day: 0, hour: 0, minute: 0 });
    expect(await shelf.spent('met', NOON)).toEqual({ day: 0, hour: 0, minute: 0 });
  });

  it('of two processes add up', async () => {
    const { store, path } = await freshStore();
    const other = await openStore(path);
    onTestFinished(() => other.close());
    await Promise.all(
      [store, other].flatMap((one) => [
        storeShelf(one, none).spend('meteo', 1, NOON),
        storeShelf(one, none).spend('meteo', 2, NOON),
      ]),
    );
    expect(await storeShelf(store, none).spent('meteo', NOON)).toEqual({ day: 6, hour: 6, minute: 6 });
  });

  it('that cannot be written down are counted all the same, and none twice', async () => {
    const { store, path } = await freshStore();
    const troubles: unknown[] = [];
    const shelf = storeShelf(store, (error) => troubles.push(error));
    await shelf.spend('meteo', 1, NOON);
    const held = lock(path);
    await shelf.spend('meteo', 2, NOON);
    held.release();
    await shelf.spend('meteo', 4, NOON);
    expect(await shelf.spent('meteo', NOON)).toEqual({ day: 7, hour: 7, minute: 7 });
    expect(troubles).toMatchObject([{ code: 'store-locked' }]);
  });

  it('are those of this process where the database cannot be read', async () => {
    const { store } = await freshStore();
    const gone = new StoreError('store-damaged', 'The database is damaged.');
    const troubles: unknown[] = [];
    const shelf = storeShelf({ ...store, spentCalls: () => Promise.reject(gone) }, (e) => troubles.push(e));
    await shelf.spend('meteo', 3, NOON);
    expect(await shelf.spent('meteo', NOON)).toEqual({ day: 3, hour: 3, minute: 3 });
    expect(troubles).toEqual([gone]);
  });
});

describe('a shelf that only looks', () => {
  it('finds what the database has, and keeps and spends for itself alone', async () => {
    const { store, path } = await freshStore();
    await store.keepAnswer('meteo', answer());
    await store.spendCalls({ source: 'meteo', weight: 5, now: NOON });
    const reader = await openReader(path);
    onTestFinished(async () => reader?.close());
    const shelf = readerShelf(reader, none);
    expect(await shelf.find('meteo', URL_A)).toEqual(answer());
    const newer = answer({ body: 'newer', fetchedAt: NOON + 60 });
    await shelf.keep('meteo', newer);
    await shelf.spend('meteo', 2, NOON);
    expect(await shelf.find('meteo', URL_A)).toEqual(newer);
    expect(await shelf.spent('meteo', NOON)).toEqual({ day: 7, hour: 7, minute: 7 });
    expect(await store.findAnswer('meteo', URL_A)).toEqual(answer());
    expect(await store.spentCalls('meteo', NOON)).toEqual({ day: 5, hour: 5, minute: 5 });
  });

  it('works without a database', async () => {
    const shelf = readerShelf(null, none);
    expect(await shelf.find('meteo', URL_A)).toBeNull();
    expect(await shelf.spent('meteo', NOON)).toEqual({ day: 0, hour: 0, minute: 0 });
    await shelf.keep('meteo', answer());
    await shelf.spend('meteo', 2, NOON);
    expect(await shelf.find('meteo', URL_A)).toEqual(answer());
    expect(await shelf.spent('meteo', NOON)).toEqual({ day: 2, hour: 2, minute: 2 });
  });
});
