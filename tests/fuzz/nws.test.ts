import { expect } from 'vitest';
import { parseJson } from '../../src/forecast/http/failure.ts';
import { parseAlerts } from '../../src/forecast/nws/alerts-parse.ts';
import { parseGrid } from '../../src/forecast/nws/grid-parse.ts';
import { parseHourly } from '../../src/forecast/nws/hourly-parse.ts';
import { parseObservations, parseStations } from '../../src/forecast/nws/observation-parse.ts';
import { pointWire } from '../../src/forecast/nws/wire.ts';
import { HOUR_S, type EpochSeconds } from '../../src/quantity/instant.ts';
import {
  alertFeature,
  collection,
  FARM,
  gridBody,
  hourlyBody,
  NOW,
  observed,
} from '../forecast/nws-bodies.ts';
import { itWithShared } from '../shared-data.ts';
import { fuzz } from './fuzz.ts';
import type { Body, Json, Path } from './mutate.ts';
import { recorded } from './recorded.ts';
import { addTruth, checkForecast, checkSeries, ensure, errorCode, type Truth } from './series-check.ts';

interface Dictionary {
  readonly [key: string]: unknown;
}

function bodyOf(value: unknown, isTemperature: (path: Path) => boolean = () => false): Body {
  return { value: value as Json, isTemperature, write: (changed) => JSON.stringify(changed) };
}

/** Something below, whatever is in between. */
function below(value: unknown, ...path: readonly string[]): unknown {
  return path.reduce((at, key) => (at as Dictionary | null | undefined)?.[key], value);
}

/** Degrees Celsius by a unit with or without its prefix; undefined for what is no temperature. */
function celsius(value: unknown, unit: unknown): number | undefined {
  const name = String(unit).replace(/^\w+:/, '');
  if (typeof value !== 'number') return undefined;
  if (name === 'degC' || name === 'C') return value;
  if (name === 'degF' || name === 'F') return ((value - 32) * 5) / 9;
  return name === 'K' ? value - 273.15 : undefined;
}

const PLAIN = /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00)\/P(?:(\d+)D)?(?:T(\d+)H)?$/;

/** Interval by interval, without the parser; null where one is not of the plain kind that the service writes. */
function gridTruth(value: unknown): Truth | null {
  const truth = new Map<EpochSeconds, Set<number>>();
  const layer = below(value, 'properties', 'temperature') as Dictionary;
  for (const entry of layer['values'] as readonly Dictionary[]) {
    const [, start = '', days = '0', hours = '0'] = PLAIN.exec(String(entry['validTime'])) ?? [];
    if (start === '') return null;
    const from = Date.parse(start) / 1000;
    for (let h = 0; h < 24 * Number(days) + Number(hours); h += 1) {
      addTruth(truth, from + h * HOUR_S, celsius(entry['value'], layer['uom']));
    }
  }
  return truth;
}

/** The layers that are read; the recorded body has fifty-five more. */
function recordedGrid(): Body {
  const { geometry, properties } = recorded('nws/gridpoint-raw-winter.json');
  const names = ['updateTime', 'elevation', 'temperature', 'minTemperature', 'windSpeed', 'skyCover'];
  const kept = Object.fromEntries(names.map((name) => [name, below(properties, name)]));
  for (const name of ['temperature', 'windSpeed', 'skyCover'])
    (below(kept, name, 'values') as Json[]).splice(40);
  return bodyOf({ geometry, properties: kept }, isGridTemperature);
}

function isGridTemperature(path: Path): boolean {
  return path.includes('temperature') && path.at(-1) === 'value';
}

function judgeGrid(text: string): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const answer = parseGrid(value, { source: 'nws', point: FARM, now: NOW, fetchedAt: NOW });
  if (!answer.ok) return errorCode(answer.error);
  checkForecast(answer.forecast, NOW);
  const { firstHour, members } = answer.forecast;
  const lows = below(value, 'properties', 'minTemperature', 'values') as readonly Dictionary[];
  const uom = below(value, 'properties', 'minTemperature', 'uom');
  for (const low of members[0]!.lows ?? []) {
    ensure(
      lows.some((entry) => celsius(entry['value'], uom) === low.temperatureC),
      'a low is one of the body',
    );
  }
  const truth = gridTruth(value);
  if (truth !== null) checkSeries(members[0]!.temperatureC, { firstHour, truth });
  return truth === null ? 'forecast (times of another form)' : 'forecast';
}

function recordedHours(): Body {
  const value = recorded('nws/gridpoint-hourly-winter.json');
  (below(value, 'properties', 'periods') as Json[]).splice(30);
  return bodyOf(value, (path) => path.at(-1) === 'temperature');
}

function judgeHourly(text: string): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const hours = parseHourly(value);
  if (hours === null) return 'unknown shape';
  const periods = below(value, 'properties', 'periods') as readonly (Dictionary | null)[];
  for (const [hour, temperatureC] of hours) {
    const found = periods
      .filter((period) => Date.parse(String(period?.['startTime'])) / 1000 === hour)
      .map((period) => {
        const shown = period!['temperature'];
        return typeof shown === 'number'
          ? celsius(shown, period!['temperatureUnit'])
          : celsius(below(shown, 'value'), below(shown, 'unitCode'));
      });
    ensure(found.includes(temperatureC), 'a period has that temperature');
  }
  return hours.size === 0 ? 'no hours' : 'hours';
}

/** Of the recorded warnings those of cold, without their long texts, and one that is made. */
function warnings(): Body {
  const { features } = recorded('nws/alerts/freeze-2025-12-15.json');
  const cold = (features as { properties: { [key: string]: Json } }[]).filter(({ properties }) =>
    /freeze|frost|cold/i.test(JSON.stringify(properties['event'])),
  );
  for (const { properties } of cold) {
    for (const name of ['description', 'instruction', 'geocode', 'affectedZones'])
      Reflect.deleteProperty(properties, name);
  }
  return bodyOf(collection(...cold, alertFeature({ id: 'urn:oid:made', ends: '2026-03-01T00:00:00Z' })));
}

const ALERTS_NOW = Date.parse('2025-12-15T20:00:00Z') / 1000;

/** A warning that nobody touched, and nothing else speaks of, must still be there. */
function judgeAlerts(text: string, untouched: ReadonlyMap<string, string>): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const read = parseAlerts(value, ALERTS_NOW);
  if (read === null) return 'unknown shape';
  const features = (value as { features: readonly unknown[] }).features.map((feature) =>
    JSON.stringify(feature),
  );
  for (const { event, title, endsAt, onsetAt, sentAt } of read.alerts) {
    expect(title.length).toBeLessThanOrEqual(300);
    expect(endsAt === null || endsAt > ALERTS_NOW).toBe(true);
    expect(Number.isFinite(sentAt) && (onsetAt === null || Number.isFinite(onsetAt))).toBe(true);
    expect(
      features.some((feature) => feature.includes(event.slice(0, 12))),
      'an event of the body',
    ).toBe(true);
  }
  for (const [event, feature] of untouched) {
    const spoken = features.filter((other) => other.includes(event) || other.includes(idOf(feature)));
    if (spoken.length !== 1 || spoken[0] !== feature) continue;
    expect(
      read.alerts.map((alert) => alert.event),
      'a warning that nobody touched',
    ).toContain(event);
  }
  if (read.alerts.length > 0) return 'warnings';
  return read.unread > 0 ? 'none, some unread' : 'none';
}

function idOf(feature: string): string {
  return (JSON.parse(feature) as { properties: { id: string } }).properties.id;
}

/** The warnings in force among the unchanged ones, by event. */
function inForce(body: Body): ReadonlyMap<string, string> {
  const { features } = body.value as unknown as { features: unknown[] };
  const texts = features.map((feature) => JSON.stringify(feature));
  const found = parseAlerts(body.value, ALERTS_NOW)!.alerts.map(({ event }) => {
    const [office, kind, level, number] = event.split('.');
    const code = `.${office}.${kind}.${level}.${number}.`;
    return [event, texts.find((text) => text.includes(code) && !/\.(CAN|UPG|EXP)\./.test(text))] as const;
  });
  return new Map(found.filter((pair): pair is readonly [string, string] => pair[1] !== undefined));
}

const STATION = { id: 'KOAX', distanceKm: 12 };

function observations(): Body {
  const current = recorded('nws/weathergov_current.json');
  const others = recorded('nws/stations_observations_multiple_unsorted.json')['features'] as Json[];
  const made = [observed({ value: -7.5 }), observed({ value: null }, '2026-01-15T18:15:00+00:00')];
  const value = collection(current, ...others, ...made);
  return bodyOf(value, (path) => path.at(-2) === 'temperature' && path.at(-1) === 'value');
}

function judgeObservation(text: string): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const found = parseObservations(value, STATION, NOW);
  if (found === null) return 'none';
  const features = below(value, 'features') as readonly unknown[];
  const same = features.filter((feature) => {
    const temperature = below(feature, 'properties', 'temperature');
    const at = Date.parse(String(below(feature, 'properties', 'timestamp'))) / 1000;
    return (
      at === found.at &&
      celsius(below(temperature, 'value'), below(temperature, 'unitCode')) === found.temperatureC
    );
  });
  expect(same.length).toBeGreaterThan(0);
  expect(found.at).toBeGreaterThanOrEqual(NOW - 90 * 60);
  expect(found.at).toBeLessThanOrEqual(NOW + 10 * 60);
  return 'observation';
}

function stations(): Body {
  const value = recorded('nws/weathergov_stations.json');
  (value['features'] as Json[]).splice(10);
  return bodyOf(value);
}

function judgeStations(text: string): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const found = parseStations(value, FARM);
  if (found === null) return 'unknown shape';
  for (const { id, distanceKm } of found) {
    expect(id).toMatch(/^\w{1,20}$/);
    expect(distanceKm).toBeGreaterThanOrEqual(0);
    expect(distanceKm).toBeLessThanOrEqual(20_100);
  }
  return found.length === 0 ? 'none' : 'stations';
}

function judgePoint(text: string): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const read = pointWire.safeParse(value);
  if (!read.success) return 'unknown shape';
  const { gridId, gridX, gridY } = read.data.properties;
  expect(`${gridId}/${gridX},${gridY}`).toMatch(/^[A-Z0-9]{3}\/\d+,\d+$/);
  return 'cell';
}

itWithShared(
  'US service: no mutated grid crashes, hangs, or makes a value or a calm out of nothing',
  async () => {
    const bodies = [recordedGrid(), bodyOf(gridBody(), isGridTemperature)];
    const counts = await fuzz({ name: 'nws grid', share: 0.4, bodies, judge: judgeGrid });
    expect(counts.get('forecast')).toBeGreaterThan(0);
    expect(counts.get('source-units')).toBeGreaterThan(0);
  },
);

itWithShared('US service: no mutated hourly forecast makes a value out of nothing', async () => {
  const bodies = [recordedHours(), bodyOf(hourlyBody(), (path) => path.at(-1) === 'temperature')];
  const counts = await fuzz({ name: 'nws hourly', share: 0.15, bodies, judge: judgeHourly });
  expect(counts.get('hours')).toBeGreaterThan(0);
});

itWithShared('US service: no mutated list of warnings loses one that nobody touched', async () => {
  const body = warnings();
  const untouched = inForce(body);
  // Read in the file by eye, with the one that is made: the freeze watch of KTAE was upgraded and cancelled.
  expect([...untouched.keys()].toSorted()).toEqual([
    'KCHS.CW.Y.0007',
    'KJAX.FZ.W.0026',
    'KOAX.FZ.W.0001',
    'KTAE.FZ.W.0013',
    'PAJK.CW.Y.0008',
  ]);
  const counts = await fuzz({
    name: 'nws warnings',
    share: 0.2,
    bodies: [body],
    judge: (text) => judgeAlerts(text, untouched),
  });
  expect(counts.get('warnings')).toBeGreaterThan(0);
});

itWithShared('US service: no mutated observation makes a temperature out of nothing', async () => {
  const counts = await fuzz({
    name: 'nws observation',
    share: 0.15,
    bodies: [observations()],
    judge: judgeObservation,
  });
  expect(counts.get('observation')).toBeGreaterThan(0);
  expect(counts.get('none')).toBeGreaterThan(0);
});

itWithShared('US service: no mutated list of stations makes one out of nothing', async () => {
  const counts = await fuzz({
    name: 'nws stations',
    share: 0.05,
    bodies: [stations()],
    judge: judgeStations,
  });
  expect(counts.get('stations')).toBeGreaterThan(0);
});

itWithShared('US service: no mutated point leads to an address of another form', async () => {
  const counts = await fuzz({
    name: 'nws point',
    share: 0.05,
    bodies: [bodyOf(recorded('nws/weathergov_points.json'))],
    judge: judgePoint,
  });
  expect(counts.get('cell')).toBeGreaterThan(0);
});
