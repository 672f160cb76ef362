/** What is collected after a round, what becomes of failures, and that nothing waits for it. */
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Collector } from '../../src/app/collect.ts';
import type { Evaluation } from '../../src/app/evaluate.ts';
import type { PlaceEvaluation } from '../../src/app/evaluate-place.ts';
import type { PastServices } from '../../src/app/sources.ts';
import type { Config, PlaceConfig } from '../../src/config/config.ts';
import { SourceError, type SourceErrorCode } from '../../src/errors.ts';
import type { AskPast, PastAsk } from '../../src/forecast/open-meteo/archive.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import type { Observation } from '../../src/weather/reading.ts';
import { iso, seconds } from '../support/instants.ts';
import { keptForecast } from '../support/kept-forecast.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';

const NOW = seconds('2026-11-26T08:30:00Z');
const TODAY = seconds('2026-11-26T00:00:00Z');
const HOUR = 3600;
const DAY = 24 * HOUR;

interface Scene {
  readonly config: Config;
  readonly store: Store;
  readonly collector: Collector;
  readonly asked: string[];
  readonly warned: string[];
}

type Answer = Awaited<ReturnType<AskPast>>;

function series(valueC: number, { days }: PastAsk, count: number, elevationM: number | null = null): Answer {
  const hours = (days.to - days.from) / HOUR + 24;
  const temperaturesC = Array.from({ length: count }, () => Array<number>(hours).fill(valueC));
  const about = { attribution: 'of a test', firstHour: days.from, gridElevationM: elevationM };
  const value = { ...about, temperaturesC };
  return { ok: true, value, fetchedAt: NOW, keptSince: null, remarks: [] };
}

function failing(code: SourceErrorCode): Answer {
  return { ok: false, error: new SourceError(code, `The archive fails: ${code}.`), failure: null };
}

interface Services {
  readonly archive: (ask: PastAsk) => Answer | Promise<Answer>;
  readonly previousRuns?: (ask: PastAsk) => Answer;
}

async function setScene({ archive, previousRuns }: Services, places: readonly object[] = []): Promise<Scene> {
  const creek = {
    id: 'creek',
    latitude: 39.61,
    longitude: -106.05,
    timeZone: 'America/Denver',
    lie: 'bench',
  };
  const sources = [{ id: 'meteo', kind: 'open-meteo', baseUrl: 'http://127.0.0.1:1' }];
  const config = scenario(
    configOf({ units: [probeUnit()], places: [{ ...creek, elevation: '2000 m' }, ...places], sources }),
    {},
  );
  const store = await openStore(join(config.store.path));
  onTestFinished(() => store.close());
  const [asked, warned]: [string[], string[]] = [[], []];
  const told =
    (name: string, answer: Services['archive']): AskPast =>
    async (ask) => {
      asked.push(
        `${name} ${ask.point.id} ${iso(ask.days.from).slice(0, 10)} ${iso(ask.days.to).slice(0, 10)}`,
      );
      return await answer(ask);
    };
  const services: PastServices = {
    archive: told('archive', archive),
    previousRuns: previousRuns === undefined ? null : told('runs', previousRuns),
  };
  const collector = new Collector({
    config,
    store,
    sources: { past: new Map([['meteo', services]]) },
    signal: new AbortController().signal,
    log: {
      info: () => undefined,
      warn: (fields) => warned.push(JSON.stringify(fields)),
      error: (fields) => warned.push(JSON.stringify(fields)),
    },
  });
  return { config, store, collector, asked, warned };
}

function evaluated(place: PlaceConfig, observation: Observation | null): PlaceEvaluation {
  const nothing = {
    outlook: null,
    problem: null,
    forecast: null,
    alerts: [],
    attributions: [],
    learned: null,
    refused: [],
  };
  return { place, observation, ...nothing };
}

function roundOf({ config }: Scene, now = NOW, observation: Observation | null = null): Evaluation {
  return { now, places: config.places.map((place) => evaluated(place, observation)), units: [] };
}

async function collect(scene: Scene, now = NOW): Promise<void> {
  await scene.collector.collect(roundOf(scene, now));
  await scene.collector.ended();
}

describe('after a round', () => {
  it('a station’s observation is kept', async () => {
    const scene = await setScene({ archive: (ask) => series(1, ask, 1) });
    const observation = { station: 'KEGE', at: NOW - 900, temperatureC: -3.5, distanceKm: 12 };
    await scene.collector.collect(roundOf(scene, NOW, observation));
    await scene.collector.ended();
    const truths = await scene.store.readTruths('creek', 0);
    expect(truths.filter(({ kind }) => kind === 'station')).toEqual([
      { place: 'creek', kind: 'station', name: 'KEGE', at: NOW - 900, temperatureC: -3.5 },
    ]);
  });

  it('the archive is asked once a UTC day, and the last days again', async () => {
    let valueC = 1;
    const scene = await setScene({ archive: (ask) => series(valueC, ask, 1) });
    await collect(scene);
    await collect(scene, NOW + HOUR);
    expect(scene.asked).toEqual(['archive creek 2026-11-18 2026-11-25']);
    expect(await scene.store.readTruths('creek', 0)).toHaveLength(8 * 24);
    valueC = 2;
    await collect(scene, NOW + DAY);
    const truths = await scene.store.readTruths('creek', 0);
    expect(truths.map(({ temperatureC }) => temperatureC)).toEqual([
      ...Array<number>(24).fill(1),
      ...Array<number>(8 * 24).fill(2),
    ]);
    expect(scene.warned).toEqual([]);
  });

  it('what the archive says of other ground is brought to the height of the place', async () => {
    const scene = await setScene({ archive: (ask) => series(1, ask, 1, 1000) });
    await collect(scene);
    const [truth] = await scene.store.readTruths('creek', 0);
    // 6.5 K a kilometre (ICAO standard atmosphere, Doc 7488).
    expect(truth?.temperatureC).toBeCloseTo(1 - 6.5, 6);
  });

  it('earlier runs are asked once, with the archive of the same days', async () => {
    const scene = await setScene({
      archive: (ask) => series(1, ask, 1),
      previousRuns: (ask) => series(2, ask, 7),
    });
    await collect(scene);
    await collect(scene, NOW + DAY);
    expect(scene.asked).toEqual([
      'archive creek 2026-10-27 2026-11-25',
      'runs creek 2026-10-27 2026-11-25',
      'archive creek 2026-11-19 2026-11-26',
    ]);
    const { rows } = await scene.store.readKept('creek', 0);
    expect(rows).toHaveLength(30 * 7);
    expect(new Set(rows.map(({ source }) => source))).toEqual(new Set(['meteo (earlier runs)']));
  });

  it('earlier runs are not asked where older forecasts are kept', async () => {
    const scene = await setScene({
      archive: (ask) => series(1, ask, 1),
      previousRuns: (ask) => series(2, ask, 7),
    });
    await scene.store.keepForecasts([keptForecast({ validDay: TODAY - 8 * DAY })]);
    await collect(scene);
    expect(scene.asked).toEqual(['archive creek 2026-11-18 2026-11-25']);
  });

  it('earlier runs are asked again where the archive failed before them', async () => {
    let fails = true;
    const scene = await setScene({
      archive: (ask) => (fails ? failing('source-http') : series(1, ask, 1)),
      previousRuns: (ask) => series(2, ask, 7),
    });
    await collect(scene);
    expect((await scene.store.readKept('creek', 0)).rows).toEqual([]);
    fails = false;
    await collect(scene, NOW + HOUR);
    expect((await scene.store.readKept('creek', 0)).rows).toHaveLength(30 * 7);
  });
});

describe('a service of the past that fails', () => {
  it('is logged once and not asked again within the hour', async () => {
    const scene = await setScene({ archive: () => failing('source-body') });
    for (const minutes of [0, 10, 60, 120]) await collect(scene, NOW + minutes * 60);
    expect(scene.asked).toHaveLength(3);
    expect(scene.warned).toEqual(['{"of":"place creek","error":"The archive fails: source-body."}']);
    expect(await scene.store.readTruths('creek', 0)).toEqual([]);
  });

  const MEADOW = { id: 'meadow', latitude: 44.42, longitude: -110.59, timeZone: 'America/Denver' };

  it('for one place holds up no other', async () => {
    const archive = (ask: PastAsk): Answer =>
      ask.point.id === 'creek' ? failing('source-body') : series(1, ask, 1);
    const scene = await setScene({ archive }, [MEADOW]);
    await collect(scene);
    expect(await scene.store.readTruths('meadow', 0)).toHaveLength(8 * 24);
  });

  it('for all is left alone for all', async () => {
    const scene = await setScene({ archive: () => failing('source-unreachable') }, [MEADOW]);
    await collect(scene);
    expect(scene.asked).toEqual(['archive creek 2026-11-18 2026-11-25']);
    expect(scene.warned).toEqual(['{"of":"source meteo","error":"The archive fails: source-unreachable."}']);
  });

  it('is asked again in place of its last good answer', async () => {
    const old = new SourceError('source-http', 'The service answered 502.');
    const scene = await setScene({
      archive: (ask) => ({ ...(series(1, ask, 1) as Extract<Answer, { ok: true }>), keptSince: old }),
    });
    await collect(scene);
    await collect(scene, NOW + HOUR);
    expect(scene.asked).toHaveLength(2);
    expect(scene.warned).toHaveLength(1);
  });

  it('and is slow holds up nothing: what needs no service is done, and no second pass begins', async () => {
    let answer: () => void = () => undefined;
    const answered = new Promise<void>((resolve) => {
      answer = resolve;
    });
    const scene = await setScene({
      archive: async (ask) => {
        await answered;
        return series(1, ask, 1);
      },
    });
    const observation = { station: 'KEGE', at: NOW, temperatureC: -3.5, distanceKm: null };
    await scene.collector.collect(roundOf(scene));
    await scene.collector.collect(roundOf(scene, NOW + HOUR, observation));
    expect(await scene.store.readTruths('creek', 0)).toHaveLength(1);
    answer();
    await scene.collector.ended();
    expect(scene.asked).toHaveLength(1);
    expect(await scene.store.readTruths('creek', 0)).toHaveLength(1 + 8 * 24);
  });
});

describe('the database', () => {
  it('is pruned once a UTC day', async () => {
    const scene = await setScene({ archive: (ask) => series(1, ask, 1) });
    const old = {
      place: 'creek',
      kind: 'station' as const,
      name: 'KEGE',
      at: NOW - 401 * DAY,
      temperatureC: 1,
    };
    const held = async (): Promise<number> =>
      (await scene.store.readTruths('creek', 0)).filter((t) => t.name === 'KEGE').length;
    await scene.store.addTruths([old]);
    await collect(scene);
    expect(await held()).toBe(0);
    await scene.store.addTruths([old]);
    await collect(scene, NOW + HOUR);
    expect(await held()).toBe(1);
    await collect(scene, NOW + DAY);
    expect(await held()).toBe(0);
  });

  it('that cannot be written is logged, once, and fails no round', async () => {
    const scene = await setScene({ archive: (ask) => series(1, ask, 1) });
    await scene.store.close();
    await collect(scene);
    await collect(scene, NOW + 60);
    expect(scene.warned.filter((text) => text.includes('"of":"database"'))).toHaveLength(1);
  });
});
