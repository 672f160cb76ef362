import { expect } from 'vitest';
import { parseJson } from '../../src/forecast/http/failure.ts';
import type { Asked } from '../../src/forecast/open-meteo/answer-parse.ts';
import { parseEnsemble } from '../../src/forecast/open-meteo/ensemble-parse.ts';
import { parseMeta } from '../../src/forecast/open-meteo/meta-parse.ts';
import { parseLocation } from '../../src/forecast/open-meteo/parse.ts';
import { parsePast } from '../../src/forecast/open-meteo/past-parse.ts';
import { splitLocations } from '../../src/forecast/open-meteo/split.ts';
import type { Point } from '../../src/forecast/source.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../../src/quantity/instant.ts';
import { itWithShared } from '../shared-data.ts';
import { openMeteoBody } from '../support/open-meteo-body.ts';
import { fuzz } from './fuzz.ts';
import type { Body, Json, Path } from './mutate.ts';
import { recorded } from './recorded.ts';
import { addTruth, checkForecast, checkSeries, errorCode, type Truth } from './series-check.ts';

interface Recorded extends Body {
  readonly points: readonly Point[];
  readonly now: EpochSeconds;
}

type Location = {
  readonly [key: string]: unknown;
  readonly hourly?: { readonly [name: string]: unknown } | null;
};

const MUNICH: Point = { id: 'munich', latitude: 48.14, longitude: 11.58, elevationM: 524 };
const START = Date.parse('2026-02-07T00:00:00Z') / 1000;
const NOW = START + 15 * HOUR_S;
const POINTS = [MUNICH, { ...MUNICH, id: 'hill', latitude: 47.4 }];

function isTemperature(path: Path): boolean {
  return path.includes('hourly') && String(path.at(-2)).startsWith('temperature_2m');
}

function bodyOf(value: Json, points: readonly Point[] = [MUNICH], now = NOW): Recorded {
  return { value, points, now, isTemperature, write: (changed) => JSON.stringify(changed) };
}

/** Of the recorded answer what is asked for today: it has names of variables that have been replaced. */
function munich(): Recorded {
  const { hourly, hourly_units: _, ...rest } = recorded('open-meteo/forecast-unixtime-munich-2026-02.json');
  const { time, temperature_2m, windspeed_10m } = hourly as { [name: string]: Json };
  const units = { time: 'unixtime', temperature_2m: '°C', wind_speed_10m: 'm/s' };
  const value = {
    ...rest,
    hourly_units: units,
    hourly: { time: time!, temperature_2m: temperature_2m!, wind_speed_10m: windspeed_10m! },
  };
  return bodyOf(value, [MUNICH], Number((time as number[])[5]));
}

function made(points: readonly Point[]): Recorded {
  const temperatureC = (hour: number, point: number): number => -3.5 - 4 * point - (hour % 9) / 10;
  const text = openMeteoBody(points, { startEpochS: START, hours: 60, temperatureC });
  return bodyOf(JSON.parse(text) as Json, points);
}

/** Hour by hour, without the parser. */
function truthOf(location: Location, name: string): Truth {
  const truth = new Map<EpochSeconds, Set<number>>();
  const { time, [name]: values } = location.hourly ?? {};
  if (!Array.isArray(time) || !Array.isArray(values)) return truth;
  time.forEach((hour, i) => addTruth(truth, Number(hour), values[i]));
  return truth;
}

function checkUnit(location: Location, name: string): void {
  const units = location['hourly_units'] as Readonly<Record<string, unknown>>;
  expect(units['time']).toBe('unixtime');
  expect(units[name]).toBe('°C');
}

/** The first place's outcome; each of several must have its own values. */
function judgeForecast(text: string, { points, now }: Recorded): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const outcomes = splitLocations('meteo')(value, points).map((part, i) => {
    if (!part.ok) return errorCode(part.error);
    const read = parseLocation(part.value, { point: points[i]!, source: 'meteo', now, fetchedAt: now });
    if (!read.ok) return errorCode(read.error);
    const location = (Array.isArray(value) ? value[i] : value) as Location;
    checkUnit(location, 'temperature_2m');
    checkForecast(read.value, now);
    const { firstHour, members } = read.value;
    checkSeries(members[0]!.temperatureC, { firstHour, truth: truthOf(location, 'temperature_2m') });
    return 'forecast';
  });
  expect(outcomes).toHaveLength(points.length);
  return outcomes[0]!;
}

/** The recorded names of twenty members and a control, with hours and values for five days. */
function ensemble(): Recorded {
  const { hourly, ...rest } = recorded('open-meteo/ensemble-21-members.json');
  const hours = Array.from({ length: 120 }, (_, i) => i);
  const names = Object.keys(hourly as object)
    .filter((name) => name !== 'time')
    .slice(0, 6);
  const series = Object.fromEntries(
    names.map((name, m) => [name, hours.map((h) => -2.5 - m - (h % 9) / 10)]),
  );
  const units = Object.fromEntries(names.map((name) => [name, '°C']));
  const value = {
    ...rest,
    hourly_units: { time: 'unixtime', ...units },
    hourly: { time: hours.map((h) => START + h * HOUR_S), ...series },
  };
  return bodyOf(value, [{ ...MUNICH, latitude: 52.5, longitude: 7 }]);
}

function asked({ points, now }: Recorded): Asked {
  return { point: points[0]!, source: 'meteo', now, fetchedAt: now };
}

function judgeEnsemble(text: string, body: Recorded): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const read = parseEnsemble(value, asked(body));
  if (!read.ok) return errorCode(read.error);
  const { firstHour, members } = read.value;
  for (const { number, temperatureC } of members) {
    const ending =
      number === 0 ? /^temperature_2m(?!_member)/ : new RegExp(`^temperature_2m_member0*${number}(?!\\d)`);
    const names = Object.keys((value as Location).hourly!).filter((name) => ending.test(name));
    expect(names, 'one series for each member').toHaveLength(1);
    checkUnit(value as Location, names[0]!);
    checkSeries(temperatureC, { firstHour, truth: truthOf(value as Location, names[0]!) });
  }
  const last = members.map(({ temperatureC }) => temperatureC.findLastIndex((t) => !Number.isNaN(t)));
  expect(firstHour + Math.max(...last) * HOUR_S).toBeGreaterThanOrEqual(body.now + 3 * DAY_S);
  return 'ensemble';
}

function judgeMeta(text: string): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const state = parseMeta(value, NOW);
  if (state === null) return 'unknown';
  expect(state.availableAt).toBe(
    (value as { last_run_availability_time: unknown }).last_run_availability_time,
  );
  expect(state.availableAt).toBeLessThanOrEqual(NOW + HOUR_S);
  expect([1, 3, 6, null]).toContain(state.stepHours);
  return 'state';
}

const PREVIOUS = ['temperature_2m_previous_day1', 'temperature_2m_previous_day2'];

/** As recordings/open-meteo/previous-runs.json, for two whole days. */
function previous(): Recorded {
  const hours = Array.from({ length: 48 }, (_, i) => i);
  const units = Object.fromEntries(PREVIOUS.map((name) => [name, '°C']));
  const series = Object.fromEntries(
    PREVIOUS.map((name, n) => [name, hours.map((h) => -1.5 - n - (h % 7) / 10)]),
  );
  return bodyOf({
    latitude: 48.14,
    longitude: 11.58,
    elevation: 524,
    hourly_units: { time: 'unixtime', ...units },
    hourly: { time: hours.map((h) => START + h * HOUR_S), ...series },
  });
}

function judgePast(text: string, body: Recorded): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const days = { from: START, to: START + DAY_S };
  const read = parsePast(value, asked(body), { names: PREVIOUS, days, attribution: 'An archive' });
  if (!read.ok) return errorCode(read.error);
  const { firstHour, temperaturesC } = read.value;
  expect(firstHour).toBe(START);
  temperaturesC.forEach((temperatureC, i) => {
    checkUnitWhereKnown(value as Location, PREVIOUS[i]!, temperatureC);
    checkSeries(temperatureC, { firstHour, truth: truthOf(value as Location, PREVIOUS[i]!) });
  });
  return 'past';
}

function checkUnitWhereKnown(location: Location, name: string, temperatureC: readonly number[]): void {
  if (!temperatureC.every(Number.isNaN)) checkUnit(location, name);
}

itWithShared(
  'Open-Meteo: no mutated forecast crashes, hangs, or makes a value or a calm out of nothing',
  async () => {
    const bodies = [munich(), made([MUNICH]), made(POINTS)];
    const judge = (text: string, at: number): string => judgeForecast(text, bodies[at]!);
    const counts = await fuzz({ name: 'open-meteo forecast', share: 0.5, bodies, judge });
    expect(counts.get('forecast')).toBeGreaterThan(0);
    expect(counts.get('forecast-empty')).toBeGreaterThan(0);
  },
);

itWithShared('Open-Meteo: no mutated ensemble makes a member out of nothing', async () => {
  const body = ensemble();
  const counts = await fuzz({
    name: 'open-meteo ensemble',
    share: 0.3,
    bodies: [body],
    judge: (text) => judgeEnsemble(text, body),
  });
  expect(counts.get('ensemble')).toBeGreaterThan(0);
});

itWithShared('Open-Meteo: no mutated metadata make a run out of nothing', async () => {
  const value = {
    last_run_initialisation_time: NOW - 6 * HOUR_S,
    last_run_modification_time: NOW - 2 * HOUR_S,
    last_run_availability_time: NOW - HOUR_S,
    temporal_resolution_seconds: 10_800,
    update_interval_seconds: 21_600,
    data_end_time: NOW + 10 * DAY_S,
  };
  const counts = await fuzz({
    name: 'open-meteo metadata',
    share: 0.1,
    bodies: [bodyOf(value)],
    judge: judgeMeta,
  });
  expect(counts.get('state')).toBeGreaterThan(0);
  expect(counts.get('unknown')).toBeGreaterThan(0);
});

itWithShared('Open-Meteo: no mutated past makes a value out of nothing', async () => {
  const body = previous();
  const counts = await fuzz({
    name: 'open-meteo past',
    share: 0.1,
    bodies: [body],
    judge: (text) => judgePast(text, body),
  });
  expect(counts.get('past')).toBeGreaterThan(0);
});
