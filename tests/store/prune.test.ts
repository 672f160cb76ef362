/** How long things are kept, and how a database of an earlier program gets the tables for them. */
import SqliteDatabase from 'better-sqlite3';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Kysely } from 'kysely';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY, type Memory } from '../../src/decision/memory.ts';
import { ImmediateDialect } from '../../src/store/dialect.ts';
import { first } from '../../src/store/migrations/001-first.ts';
import { unsureAttempts } from '../../src/store/migrations/002-unsure-attempts.ts';
import { weather } from '../../src/store/migrations/003-weather.ts';
import { openStore } from '../../src/store/open.ts';
import { openReader } from '../../src/store/reader.ts';
import { keptForecast } from '../support/kept-forecast.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const DAY = 86_400;
const ago = (days: number): number => NOW - days * DAY;

const round = (daysAgo: number) => ({
  id: `${daysAgo} days ago`,
  startedAt: ago(daysAgo),
  finishedAt: ago(daysAgo),
  placesWithForecast: 1,
  placesWithout: 0,
});

const reading = (daysAgo: number) => ({
  place: 'creek',
  unit: null,
  zone: 'outside',
  at: ago(daysAgo),
  temperatureC: -1,
  origin: 'mqtt' as const,
});

const truth = (daysAgo: number) => ({
  place: 'creek',
  kind: 'archive' as const,
  name: 'era5',
  at: ago(daysAgo),
  temperatureC: -1,
});

const past = (daysAgo: number) => ({
  hour: ago(daysAgo),
  source: 'meteo',
  temperatureC: -1,
  windSpeedMps: null,
  cloudPercent: null,
  soilTemperatureC: null,
  gridElevationM: null,
});

const answer = (url: string, daysAgo: number) => ({
  url,
  body: '{}',
  fetchedAt: ago(daysAgo),
  etag: null,
  lastModified: null,
  expiresAt: null,
});

describe('pruning', () => {
  it('drops what is too old to be of use, and nothing else', async () => {
    const store = await openStore(join(temporaryDirectory(), 'drainby.db'));
    onTestFinished(() => store.close());
    const kept = [121, 120].map((days) => keptForecast({ validDay: ago(days) }));
    const records = [{ source: 'meteo', state: { at: ago(500) } }];
    const place = { place: 'creek', pastHours: [past(66), past(65)], kept, records };
    for (const days of [200, 91, 90]) await store.commitRound(round(days), [], [place]);
    await store.addReadings([reading(401), reading(400)], NOW);
    await store.addTruths([truth(131), truth(130)]);
    await store.keepAnswer('meteo', answer('old', 101));
    await store.keepAnswer('meteo', answer('new', 100));
    for (const days of [3, 1]) await store.spendCalls({ source: 'meteo', weight: 1, now: ago(days) });

    await store.prune(NOW);

    expect(await store.readPast('creek', 0)).toEqual([past(65)]);
    expect(await store.readReadings('creek', 0)).toEqual([reading(400)]);
    expect(await store.readTruths('creek', 0)).toEqual([truth(130)]);
    expect((await store.readKept('creek', 0)).rows).toEqual([kept[1]]);
    expect((await store.readRecords()).rows).toHaveLength(1);
    expect(await store.findAnswer('meteo', 'old')).toBeNull();
    expect(await store.findAnswer('meteo', 'new')).toEqual(answer('new', 100));
    expect((await store.spentCalls('meteo', ago(3))).day).toBe(0);
    expect((await store.spentCalls('meteo', ago(1))).day).toBe(1);
    expect(await store.lastRound()).toEqual(round(90));
  });

  it('leaves the last round, however old, and no other so old', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path);
    onTestFinished(() => store.close());
    for (const days of [300, 200]) await store.commitRound(round(days), []);
    await store.prune(NOW);
    expect(await store.lastRound()).toEqual(round(200));
    const database = new SqliteDatabase(path, { readonly: true });
    const ids = database.prepare('select id from round').pluck().all();
    database.close();
    expect(ids).toEqual(['200 days ago']);
  });

  it('drops what was told long ago, but nothing that a running episode may be asked about', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path);
    onTestFinished(() => store.close());
    const commit = async (unit: string, memory: Memory): Promise<void> => {
      const at = ago(90);
      const told = ['one', 'two', 'waits'].map((episode) =>
        entry({
          episode: `${unit}.${episode}`,
          message: letter({ unit }),
          useBefore: at + 200 * DAY,
          notBefore: episode === 'waits' ? NOW : at,
        }),
      );
      await store.commitRound({ ...round(90), id: unit }, [
        { unit, expectedVersion: 0, memory, outbox: told },
      ]);
    };
    await commit('over', EMPTY_MEMORY);
    await commit('running', { ...EMPTY_MEMORY, episode: { id: 'running.one', since: ago(90) } });
    await commit('later', { ...EMPTY_MEMORY, episode: { id: 'later.two', since: ago(70) } });
    await commit('blind', { ...EMPTY_MEMORY, blindSince: ago(90) });
    for (const days of [61, 60]) {
      const claim = { now: ago(days), leaseSeconds: 60, owner: 'one', limit: 4 };
      for (const { rowId, attempt } of (await store.claimDue(claim)).claimed)
        await store.settle({ rowId, attempt, owner: 'one', settlement: { outcome: 'sent' }, now: ago(days) });
    }
    await store.prune(NOW);
    const database = new SqliteDatabase(path, { readonly: true });
    const left = database.prepare('select episode from outbox order by id').pluck().all();
    database.close();
    // Settled 61 days ago: the first four; 60 days ago: the others; "later" began before either was settled.
    expect(left).toEqual([
      'over.waits',
      'running.one',
      'running.two',
      'running.waits',
      'later.one',
      'later.two',
      'later.waits',
      'blind.one',
      'blind.two',
      'blind.waits',
    ]);
  });

  it('keeps of the history one row of each cause from before what it keeps', async () => {
    const store = await openStore(join(temporaryDirectory(), 'drainby.db'));
    onTestFinished(() => store.close());
    for (const days of [600, 500, 450, 10])
      await store.mark({ unit: 'blue', water: null, checked: true, at: ago(days), by: null });
    await store.prune(NOW);
    expect((await store.readMoments('blue', 0)).map(({ at }) => at)).toEqual([ago(450), ago(10)]);
  });

  it('of nothing does nothing', async () => {
    const store = await openStore(join(temporaryDirectory(), 'drainby.db'));
    onTestFinished(() => store.close());
    await store.prune(NOW);
    expect(await store.lastRound()).toBeNull();
  });
});

describe('a database of the third version', () => {
  it('gets heights for its past hours, and those that it has are without', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const database = new SqliteDatabase(path);
    const db = new Kysely<unknown>({ dialect: new ImmediateDialect(database) });
    for (const migration of [first, unsureAttempts, weather]) await migration.up(db);
    database.exec(`
      pragma user_version = 3;
      insert into past_hour values ('creek', ${NOW}, 'meteo', -2.5, 3, 40, null);
    `);
    await db.destroy();
    database.close();
    const reader = await openReader(path);
    expect((await reader!.readPast('creek', 0))[0]).toMatchObject({
      temperatureC: -2.5,
      gridElevationM: null,
    });
    await reader!.close();
    const store = await openStore(path);
    onTestFinished(() => store.close());
    expect((await store.readPast('creek', 0))[0]).toMatchObject({ temperatureC: -2.5, gridElevationM: null });
  });
});

describe('a database of the second version', () => {
  /** As the program before left it: one unit, one round. */
  async function older(): Promise<string> {
    const path = join(temporaryDirectory(), 'drainby.db');
    const database = new SqliteDatabase(path);
    const db = new Kysely<unknown>({ dialect: new ImmediateDialect(database) });
    await first.up(db);
    await unsureAttempts.up(db);
    database.exec(`
      pragma user_version = 2;
      insert into unit values ('blue', 4, null, null, null, '{"told":[],"relaxing":[],"suspectSince":${NOW}}');
      insert into round values ('one', ${NOW}, ${NOW + 5}, 1, 0);
    `);
    await db.destroy();
    database.close();
    return path;
  }

  it('gets the new tables and keeps what it had', async () => {
    const path = await older();
    const store = await openStore(path);
    onTestFinished(() => store.close());
    expect((await store.readUnits()).get('blue')).toMatchObject({
      version: 4,
      memory: { suspectSince: NOW },
    });
    expect((await store.lastRound())?.id).toBe('one');
    await store.addReadings([reading(0)], NOW);
    expect(await store.readReadings('creek', 0)).toEqual([reading(0)]);
  });

  it('is only looked at without being changed, and has no readings', async () => {
    const path = await older();
    const before = readFileSync(path);
    const reader = await openReader(path);
    expect((await reader!.readUnits()).get('blue')?.version).toBe(4);
    expect(await reader!.readReadings('creek', 0)).toEqual([]);
    expect(await reader!.readRecords()).toEqual({ rows: [], damaged: [] });
    await reader!.close();
    expect(readFileSync(path).equals(before)).toBe(true);
  });
});
