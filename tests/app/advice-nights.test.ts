/**
 * Hits, misses and false alarms from nights of which it is known what they do. The unit is one fitting outside, 0.1143 kg
 * of water at 0.5 W/K, split when a fifth of it is ice: that takes 0.2 · 0.1143 kg · 333.6 kJ/kg / 0.5 W/K = 4.24 K·h
 * below 0 °C. −8 °C for eight hours are 64 K·h; −1 °C for three hours are 3 K·h at the most.
 */
import { join } from 'node:path';
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it } from 'vitest';
import { score } from '../../src/app/score.ts';
import type { Config } from '../../src/config/config.ts';
import type { Action } from '../../src/decision/advice.ts';
import { EMPTY_MEMORY, type Memory } from '../../src/decision/memory.ts';
import { lastNights } from '../../src/decision/nights.ts';
import { UsageError } from '../../src/errors.ts';
import { openStore } from '../../src/store/open.ts';
import type { Store } from '../../src/store/store.ts';
import { iso, seconds } from '../support/instants.ts';
import { configOf, probeUnit, scenario } from '../support/scenario.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
/** Noon in Denver. */
const FIRST_NOON = seconds('2026-11-02T19:00:00Z');
const noonOf = (night: number): number => FIRST_NOON + night * DAY;

type Weather = 'cold' | 'frost' | 'mild' | 'bitter' | 'unknown';

/** By hour after noon: the cold comes from ten in the evening on. */
function airC(weather: Weather, hour: number): number {
  if (weather === 'unknown') return Number.NaN;
  if (weather === 'bitter') return -8;
  const isNight = hour >= 10 && hour < 18;
  if (weather === 'cold') return isNight ? -8 : 5;
  return weather === 'frost' && hour >= 10 && hour < 13 ? -1 : 5;
}

interface Night {
  readonly weather: Weather;
  readonly advice?: Action;
  /** Names its story; absent: one of its own. */
  readonly episode?: string;
  /** Somebody does at four what was asked for at three. */
  readonly followed?: true;
  /** The place's own thermometer says so, whatever the archive does. */
  readonly read?: Weather;
}

interface Told {
  readonly action: Action;
  readonly since: number;
  readonly episode: string | null;
  readonly over?: true;
}

function memory({ action, since, episode, over }: Told): Memory {
  const ends = over === undefined ? {} : { over };
  return {
    ...EMPTY_MEMORY,
    episode: episode === null ? null : { id: episode, since, ...ends },
    advice: { action, method: null, startBy: null, since },
  };
}

async function commit(store: Store, at: number, told: Told): Promise<void> {
  const expectedVersion = (await store.readUnits()).get('blue')?.version ?? 0;
  const counts = { placesWithForecast: 1, placesWithout: 0 };
  const record = { id: iso(at), startedAt: at, finishedAt: at, ...counts };
  await store.commitRound(record, [{ unit: 'blue', expectedVersion, memory: memory(told), outbox: [] }]);
}

async function live(store: Store, number: number, night: Night): Promise<void> {
  const noon = noonOf(number);
  const { advice = 'nothing', episode = `story ${number}` } = night;
  const asks = advice !== 'nothing';
  await commit(store, noon + HOUR, { action: 'nothing', since: noon + HOUR, episode: null });
  if (asks) await commit(store, noon + 3 * HOUR, { action: advice, since: noon + 3 * HOUR, episode });
  if (night.followed === true) {
    await say(store, noon + 4 * HOUR, 'drained');
    await commit(store, noon + 5 * HOUR, { action: 'nothing', since: noon + 5 * HOUR, episode, over: true });
    await say(store, noon + 23 * HOUR, 'wet');
  }
}

async function say(store: Store, at: number, kind: 'drained' | 'wet'): Promise<void> {
  const state = kind === 'wet' ? ({ kind } as const) : ({ kind, quality: 'well' } as const);
  const water = { all: { state, since: at, by: 'ann' }, circuits: {} };
  await store.mark({ unit: 'blue', water, checked: false, at, by: 'ann' });
}

async function lived(nights: readonly Night[], over: object = {}): Promise<{ config: Config; now: number }> {
  const unit = probeUnit({ water: { state: 'in-use', since: '2026-10-01T00:00:00Z' } }, { pocket: false });
  const places = [
    { id: 'creek', latitude: 39.61, longitude: -106.05, timeZone: 'America/Denver', lie: 'bench' },
  ];
  const config = scenario(configOf({ units: [unit], places, ...over }), {});
  const store = await openStore(config.store.path);
  try {
    for (const [number, night] of nights.entries()) {
      await live(store, number, night);
      const hours = Array.from({ length: 24 }, (_, hour) => ({ hour, at: noonOf(number) + hour * HOUR }));
      await store.addTruths(
        hours.map(({ hour, at }) => ({
          place: 'creek',
          kind: 'archive' as const,
          name: 'meteo',
          at,
          temperatureC: airC(night.weather, hour),
        })),
      );
      const { read } = night;
      if (read === undefined) continue;
      const reading = { place: 'creek', unit: null, zone: 'outside', origin: 'mqtt' as const };
      // A thermometer never says the same to the last digit.
      const said = hours.map(({ hour, at }) => ({
        ...reading,
        at,
        temperatureC: airC(read, hour) + hour / 50,
      }));
      await store.addReadings(said, noonOf(number + 1));
    }
  } finally {
    await store.close();
  }
  return { config, now: noonOf(nights.length) + HOUR };
}

const MILD: Night = { weather: 'mild' };

async function scored(nights: readonly Night[]) {
  const { config, now } = await lived(nights);
  const [blue] = (await score({ config, place: 'creek', now })).advice;
  return blue!;
}

describe('the advice of a unit', () => {
  it('is counted night by night: a hit, a miss, a false alarm, and quiet nights', async () => {
    const blue = await scored([
      { weather: 'cold', advice: 'drain' },
      MILD,
      MILD,
      MILD,
      { weather: 'frost' },
      { weather: 'cold' },
      MILD,
      MILD,
      MILD,
      { weather: 'mild', advice: 'winterize' },
    ]);
    expect(blue).toMatchObject({ hits: 1, misses: 1, falseAlarms: 1, correctRejections: 7, nights: 10 });
    expect(blue.leftOut).toMatchObject({ withoutTruth: 0, afterHarm: 0, ahead: 0 });
    expect(blue.hitRate).toBe(0.5);
    expect(blue.falseAlarmRate).toBe(1 / 8);
  });

  it('is a hit where it was followed: without it the cold would have split the fitting', async () => {
    const blue = await scored([{ weather: 'cold', advice: 'drain', followed: true }, MILD]);
    expect(blue).toMatchObject({ hits: 1, misses: 0, falseAlarms: 0, correctRejections: 1 });
  });

  it('is no false alarm in the nights before the one it warned of', async () => {
    const warned = { weather: 'mild', advice: 'drain', episode: 'outbreak' } as const;
    const blue = await scored([warned, warned, { ...warned, weather: 'cold' }]);
    expect(blue).toMatchObject({ hits: 1, falseAlarms: 0, nights: 1, leftOut: { ahead: 2 } });
    const other = await scored([warned, { ...warned, episode: 'another', weather: 'cold' }]);
    expect(other).toMatchObject({ hits: 1, falseAlarms: 1, leftOut: { ahead: 0 } });
  });

  it('is not judged where the harm was done before, where nothing is known, and where there was none', async () => {
    const blue = await scored([{ weather: 'bitter', advice: 'drain' }, { weather: 'bitter' }]);
    expect(blue).toMatchObject({
      hits: 1,
      misses: 0,
      nights: 1,
      leftOut: { afterHarm: 1, withoutAdvice: 58 },
    });
    const unseen = await scored([{ weather: 'unknown', advice: 'drain' }, MILD]);
    expect(unseen).toMatchObject({ hits: 0, nights: 1, leftOut: { withoutTruth: 1, withoutAdvice: 58 } });
  });

  it('is held against the place’s own readings before the archive', async () => {
    const blue = await scored([{ weather: 'cold', read: 'mild', advice: 'drain' }, MILD]);
    expect(blue).toMatchObject({ hits: 0, falseAlarms: 1, correctRejections: 1 });
    const other = await scored([{ weather: 'mild', read: 'cold', advice: 'drain' }, MILD]);
    expect(other).toMatchObject({ hits: 1, falseAlarms: 0 });
  });

  it('is named where what is kept of it cannot be read', async () => {
    const { config, now } = await lived([{ weather: 'cold', advice: 'drain' }, MILD]);
    const database = new SqliteDatabase(config.store.path);
    database.exec(`update unit_history set memory = '[]' where version = 2`);
    database.close();
    const answer = await score({ config, place: 'creek', now });
    expect(answer.damaged).toEqual(['1 of 3 moments of blue']);
    expect(answer.advice[0]).toMatchObject({ hits: 0, misses: 0, leftOut: { withoutAdvice: 59 } });
  });
});

describe('a score', () => {
  it('is of a place that the config knows', async () => {
    const { config, now } = await lived([]);
    const asked = score({ config, place: 'crek', now });
    await expect(asked).rejects.toThrow(UsageError);
    await expect(asked).rejects.toThrow(/There is no place "crek" in .*\. Its places are: creek\./);
  });

  it('says what is missing where there is no database, and makes none', async () => {
    const config = scenario(configOf({ units: [probeUnit()] }), {});
    const answer = await score({ config, place: 'creek', now: FIRST_NOON });
    expect(answer.forecasts).toEqual([]);
    expect(answer.missing).toEqual([
      'No readings yet: what a thermometer at the place shows is said with drainby readings creek, or sent by a sensor.',
      'No station: only the US service (a source of the kind nws) tells of one.',
      'No archive: no source of the place is Open-Meteo, or has an archiveUrl.',
    ]);
    expect(() => new SqliteDatabase(join(config.store.path), { readonly: true })).toThrow();
  });
});

describe('nights', () => {
  it('go from noon to noon by the clock of the place, an hour longer when the clocks go back', () => {
    // Denver leaves daylight saving time on 1 November 2026 (Energy Policy Act of 2005, section 110).
    const nights = lastNights('America/Denver', seconds('2026-11-01T18:59:00Z'), 2);
    expect(nights.map(({ noon, evening, end }) => [noon, evening, end].map(iso))).toEqual([
      ['2026-10-29T18:00:00Z', '2026-10-30T00:00:00Z', '2026-10-30T18:00:00Z'],
      ['2026-10-30T18:00:00Z', '2026-10-31T00:00:00Z', '2026-10-31T18:00:00Z'],
    ]);
    const [last] = lastNights('America/Denver', seconds('2026-11-01T19:00:00Z'), 1);
    expect([last!.noon, last!.end].map(iso)).toEqual(['2026-10-31T18:00:00Z', '2026-11-01T19:00:00Z']);
  });
});
