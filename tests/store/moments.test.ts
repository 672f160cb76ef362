/** What a unit was in the course of time, as the history in a real file has it. */
import SqliteDatabase from 'better-sqlite3';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY, type Memory } from '../../src/decision/memory.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import { keptForecast } from '../support/kept-forecast.ts';
import { NOW } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const HOUR = 3600;
const at = (hours: number): number => NOW + hours * HOUR;

const DRAINED: UnitWater = {
  all: { state: { kind: 'drained', quality: 'well' }, since: NOW, by: 'ann' },
  circuits: {},
};

async function freshStore(): Promise<{ store: Store; path: string }> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path);
  onTestFinished(() => store.close());
  return { store, path };
}

function advised(action: 'nothing' | 'drain', since: number): Memory {
  return { ...EMPTY_MEMORY, advice: { action, method: null, startBy: null, since } };
}

async function commit(store: Store, hours: number, memory: Memory): Promise<void> {
  const version = (await store.readUnits()).get('blue')?.version ?? 0;
  const startedAt = at(hours);
  const round = {
    id: `round ${hours}`,
    startedAt,
    finishedAt: startedAt,
    placesWithForecast: 1,
    placesWithout: 0,
  };
  await store.commitRound(round, [{ unit: 'blue', expectedVersion: version, memory, outbox: [] }]);
}

async function story(store: Store): Promise<void> {
  await commit(store, 0, advised('nothing', at(0)));
  await commit(store, 10, advised('drain', at(10)));
  await store.mark({ unit: 'blue', water: DRAINED, checked: false, at: at(12), by: 'ann' });
  await commit(store, 13, advised('nothing', at(13)));
}

describe('the moments of a unit', () => {
  it('are what each round advised and each mark said, in order, and since when the water is so', async () => {
    const { store } = await freshStore();
    await story(store);
    const moments = await store.readMoments('blue', 0);
    expect(moments.map((m) => [m.at, m.cause, m.memory.advice?.action, m.water, m.waterAt])).toEqual([
      [at(0), 'round', 'nothing', null, null],
      [at(10), 'round', 'drain', null, null],
      [at(12), 'mark', 'drain', DRAINED, at(12)],
      [at(13), 'round', 'nothing', DRAINED, at(12)],
    ]);
  });

  it('begin with the last round and the last mark before the time asked for', async () => {
    const { store } = await freshStore();
    await story(store);
    const late = await store.readMoments('blue', at(20));
    expect(late.map((m) => [m.at, m.cause, m.waterAt])).toEqual([
      [at(12), 'mark', at(12)],
      [at(13), 'round', at(12)],
    ]);
    expect(await store.readMoments('red', 0)).toEqual([]);
  });

  it('are told to be damaged where they cannot be read', async () => {
    const { store, path } = await freshStore();
    await story(store);
    const database = new SqliteDatabase(path);
    database.exec(`update unit_history set memory = '{' where version = 2`);
    database.close();
    const moments = await store.readMoments('blue', 0);
    expect(moments.map(({ damaged }) => damaged ?? false)).toEqual([false, true, false, false]);
  });
});

describe('forecasts that are kept without a round', () => {
  it('give way to those that are there, and tell from which day on there are any', async () => {
    const { store } = await freshStore();
    expect(await store.firstKeptDay('creek')).toBeNull();
    const first = keptForecast();
    const earlier = keptForecast({ validDay: first.validDay - 24 * HOUR });
    await store.keepForecasts([first, earlier]);
    await store.keepForecasts([{ ...first, meanC: first.meanC.map(() => 0) }]);
    expect(await store.firstKeptDay('creek')).toBe(earlier.validDay);
    expect(await store.firstKeptDay('meadow')).toBeNull();
    expect((await store.readKept('creek', 0)).rows).toEqual([earlier, first]);
  });
});
