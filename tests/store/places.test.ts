/** What rounds keep of places, in real files. */
import SqliteDatabase from 'better-sqlite3';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { openStore } from '../../src/store/open.ts';
import type { PastHour, PlaceCommit } from '../../src/store/places.ts';
import type { RoundRecord, Store } from '../../src/store/store.ts';
import { compileSources, startChild, type Compiled } from '../support/child.ts';
import { keptForecast } from '../support/kept-forecast.ts';
import { NOW } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const HOUR = 3600;
const FIRST = Math.floor(NOW / HOUR) * HOUR;

async function freshStore(): Promise<{ store: Store; path: string }> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path);
  onTestFinished(() => store.close());
  return { store, path };
}

function round(number = 1): RoundRecord {
  const startedAt = NOW + HOUR * number;
  return {
    id: `round-${number}`,
    startedAt,
    finishedAt: startedAt + 5,
    placesWithForecast: 1,
    placesWithout: 0,
  };
}

function past(hour: number, over: Partial<PastHour> = {}): PastHour {
  return {
    hour: FIRST + hour * HOUR,
    source: 'meteo',
    temperatureC: -2.5,
    windSpeedMps: 3,
    cloudPercent: 40,
    soilTemperatureC: null,
    gridElevationM: 1204.5,
    ...over,
  };
}

function ofCreek(over: Partial<PlaceCommit> = {}): PlaceCommit {
  return { place: 'creek', pastHours: [], kept: [], records: [], ...over };
}

/** Changes a row behind the store's back. */
function damage(path: string, sql: string): void {
  const database = new SqliteDatabase(path);
  database.exec(sql);
  database.close();
}

describe('hours that have passed', () => {
  it('are given back as they were, from the hour asked for on, of the place asked for', async () => {
    const { store } = await freshStore();
    const bare = past(2, { windSpeedMps: null, cloudPercent: Number.NaN, soilTemperatureC: 1.5 });
    await store.commitRound(
      round(),
      [],
      [
        ofCreek({ pastHours: [past(0), past(1), bare] }),
        { ...ofCreek({ pastHours: [past(1, { temperatureC: 9 })] }), place: 'meadow' },
      ],
    );
    expect(await store.readPast('creek', FIRST + HOUR)).toEqual([past(1), { ...bare, cloudPercent: null }]);
    expect(await store.readPast('meadow', 0)).toEqual([past(1, { temperatureC: 9 })]);
    expect(await store.readPast('nowhere', 0)).toEqual([]);
  });

  it('take the newest value, and keep a known one when the newest is unknown', async () => {
    const { store } = await freshStore();
    await store.commitRound(round(1), [], [ofCreek({ pastHours: [past(0), past(1)] })]);
    const newer = past(0, { source: 'nws', temperatureC: 0, windSpeedMps: null, gridElevationM: null });
    const unknown = past(1, { source: 'nws', temperatureC: Number.NaN });
    await store.commitRound(round(2), [], [ofCreek({ pastHours: [newer, unknown] })]);
    expect(await store.readPast('creek', 0)).toEqual([newer, past(1)]);
  });
});

describe('kept forecasts', () => {
  it('come back with their unknown hours unknown, to a hundredth of a degree', async () => {
    const { store } = await freshStore();
    await store.commitRound(round(), [], [ofCreek({ kept: [keptForecast()] })]);
    expect(await store.readKept('creek', keptForecast().validDay)).toEqual({
      rows: [keptForecast()],
      damaged: [],
    });
    expect(await store.readKept('creek', keptForecast().validDay + 1)).toEqual({ rows: [], damaged: [] });
    const fine = keptForecast({ leadDay: 1, meanC: Array<number>(24).fill(-3.256) });
    await store.commitRound(round(2), [], [ofCreek({ kept: [fine] })]);
    const { rows } = await store.readKept('creek', 0);
    expect(rows.map(({ leadDay, meanC }) => [leadDay, meanC[0]])).toEqual([
      [1, -3.26],
      [2, -3.25],
    ]);
  });

  it('stay as they were first kept, one for each source, day and lead', async () => {
    const { store } = await freshStore();
    await store.commitRound(round(1), [], [ofCreek({ kept: [keptForecast()] })]);
    const later = keptForecast({ keptAt: NOW, below0: Array<number>(24).fill(1) });
    const others = [
      keptForecast({ source: 'nws' }),
      keptForecast({ leadDay: 3 }),
      keptForecast({ validDay: FIRST }),
    ];
    await store.commitRound(round(2), [], [ofCreek({ kept: [later, ...others] })]);
    const { rows } = await store.readKept('creek', 0);
    expect(rows).toHaveLength(4);
    expect(rows).toContainEqual(keptForecast());
    for (const other of others) expect(rows).toContainEqual(other);
  });

  it('that cannot be read are left out and named, and the rest is read', async () => {
    const { store, path } = await freshStore();
    const kept = [0, 1, 2, 3, 4].map((leadDay) => keptForecast({ leadDay }));
    await store.commitRound(round(1), [], [ofCreek({ kept })]);
    damage(path, `update kept_forecast set said = '{"m":[1' where lead_day = 0`);
    damage(path, `update kept_forecast set said = replace(said, '"m":[-325,', '"m":[') where lead_day = 1`);
    damage(path, `update kept_forecast set said = replace(said, '-325', '"-325"') where lead_day = 2`);
    damage(
      path,
      `update kept_forecast set said = '{"m":null,"d":null,"q":[],"z":0,"f":0}' where lead_day = 3`,
    );
    const { rows, damaged } = await store.readKept('creek', 0);
    expect(rows).toEqual([keptForecast({ leadDay: 4 })]);
    expect(damaged).toEqual(
      [0, 1, 2, 3].map((lead) => `what meteo said of creek for 2026-11-26, ${lead} days ahead`),
    );
    await store.commitRound(round(2), [], [ofCreek({ kept: [keptForecast({ leadDay: 5 })] })]);
    expect((await store.readKept('creek', 0)).rows).toHaveLength(2);
  });
});

describe('what readings have taught', () => {
  it('is kept for each place and source, the last as of its round', async () => {
    const { store } = await freshStore();
    const records = [
      { source: 'meteo', state: { biasK: [1, 0.5] } },
      { source: 'nws', state: {} },
    ];
    await store.commitRound(round(1), [], [ofCreek({ records })]);
    await store.commitRound(
      round(2),
      [],
      [ofCreek({ records: [{ source: 'meteo', state: { biasK: [2] } }] })],
    );
    expect(await store.readRecords()).toEqual({
      rows: [
        { place: 'creek', source: 'meteo', state: { biasK: [2] }, updatedAt: round(2).startedAt },
        { place: 'creek', source: 'nws', state: {}, updatedAt: round(1).startedAt },
      ],
      damaged: [],
    });
  });

  it.each(['{"biasK":', '[1]', 'null', '7'])('is left out and named where it reads %s', async (text) => {
    const { store, path } = await freshStore();
    const records = ['meteo', 'nws'].map((source) => ({ source, state: { at: 1 } }));
    await store.commitRound(round(1), [], [ofCreek({ records })]);
    damage(path, `update place_record set state = '${text}' where source = 'meteo'`);
    const { rows, damaged } = await store.readRecords();
    expect(rows.map(({ source }) => source)).toEqual(['nws']);
    expect(damaged).toEqual(['what readings at creek taught about meteo']);
    await store.commitRound(round(2), [], [ofCreek({ records })]);
    expect((await store.readRecords()).rows).toHaveLength(2);
  });
});

/** Commits one round after the other, each with all that it knows of its place, and prints the number of each. */
const COMMIT_ROUNDS = `
  const [directory, path, first] = process.argv.slice(1);
  const { openStore } = await import(directory + '/store/open.js');
  const store = await openStore(path);
  for (let n = 1; ; n++) {
    const round = { id: String(n), startedAt: n, finishedAt: n, placesWithForecast: 1, placesWithout: 0 };
    const hours = Array(24).fill(n);
    const said = { meanC: hours, deviationK: hours, below0: hours, atOrBelowMinus4: hours, untaught: { meanC: hours, deviationK: hours },
      quantilesC: { q05: hours, q25: hours, q50: hours, q75: hours, q95: hours } };
    const kept = [{ place: 'creek', source: 'meteo', keptAt: n, validDay: 86400 * n, leadDay: 0, ...said }];
    const pastHours = Array.from({ length: 72 }, (_, i) => ({ hour: Number(first) + 3600 * i, source: 'meteo',
      temperatureC: n, windSpeedMps: null, cloudPercent: null, soilTemperatureC: null }));
    const records = [{ source: 'meteo', state: { round: n } }];
    await store.commitRound(round, [], [{ place: 'creek', pastHours, kept, records }]);
    console.log(n);
  }
`;

describe('a program that is killed while it writes round after round', () => {
  let compiled: Compiled;
  beforeAll(() => {
    compiled = compileSources(['store/open.ts']);
  });
  afterAll(() => {
    compiled.remove();
  });

  it.each([3, 8, 21])('after %i of them loses none, and leaves none by halves', async (count) => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const child = startChild(COMMIT_ROUNDS, [compiled.directory, path, String(FIRST)]);
    onTestFinished(() => child.kill('SIGKILL'));
    for (let n = 1; n <= count; n++) expect(await child.line()).toBe(String(n));
    await child.kill('SIGKILL');
    const store = await openStore(path);
    onTestFinished(() => store.close());
    const last = Number((await store.lastRound())?.id);
    expect(last).toBeGreaterThanOrEqual(count);
    const hours = await store.readPast('creek', 0);
    expect(hours).toHaveLength(72);
    expect(new Set(hours.map(({ temperatureC }) => temperatureC))).toEqual(new Set([last]));
    expect((await store.readRecords()).rows).toMatchObject([{ state: { round: last } }]);
    expect((await store.readKept('creek', 0)).rows).toHaveLength(last);
  });
});
