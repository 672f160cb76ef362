import { expect } from 'vitest';
import { parseJson } from '../../src/forecast/http/failure.ts';
import { readForecast } from '../../src/forecast/met-norway/parse.ts';
import type { Point } from '../../src/forecast/source.ts';
import type { EpochSeconds } from '../../src/quantity/instant.ts';
import { itWithShared } from '../shared-data.ts';
import { metNorwayBody, NOW, CREEK } from '../forecast/met-norway-body.ts';
import { fuzz, type Target } from './fuzz.ts';
import type { Body, Json, Path } from './mutate.ts';
import { recorded } from './recorded.ts';
import { addTruth, checkForecast, checkSeries, ensure, errorCode, type Truth } from './series-check.ts';

interface Recorded extends Body {
  readonly point: Point;
  readonly now: EpochSeconds;
}

interface Shape {
  readonly geometry?: { readonly coordinates?: readonly unknown[] };
  readonly properties?: {
    readonly meta?: { readonly units?: Readonly<Record<string, unknown>> };
    readonly timeseries?: readonly ({
      readonly time?: unknown;
      readonly data?: {
        readonly instant?: { readonly details?: { readonly air_temperature?: unknown } };
        readonly next_6_hours?: {
          readonly details?: { readonly air_temperature_min?: unknown } | null;
        } | null;
      };
    } | null)[];
  };
}

/** Without its first two days and its last week, so that more bodies can be tried. */
function body(value: Json): Recorded {
  const shape = value as unknown as { properties: { timeseries: { time: string }[] } };
  const series = shape.properties.timeseries;
  series.splice(0, 48);
  series.splice(24);
  const [longitude, latitude] = (value as Shape).geometry!.coordinates as [number, number];
  return {
    value,
    isTemperature,
    write: (changed) => JSON.stringify(changed),
    point: { ...CREEK, latitude, longitude },
    now: Date.parse(shape.properties.timeseries[0]!.time) / 1000 + 600,
  };
}

function isTemperature(path: Path): boolean {
  return String(path.at(-1)).startsWith('air_temperature') && path.includes('timeseries');
}

/** Read without the parser: entry by entry, whatever else is wrong. */
function truthOf(value: unknown): Truth {
  const truth = new Map<EpochSeconds, Set<number>>();
  for (const entry of (value as Shape | null)?.properties?.timeseries ?? []) {
    addTruth(truth, Date.parse(String(entry?.time)) / 1000, entry?.data?.instant?.details?.air_temperature);
  }
  return truth;
}

function lowsOf(value: unknown): ReadonlySet<unknown> {
  const steps = (value as Shape).properties?.timeseries ?? [];
  return new Set(steps.map((entry) => entry?.data?.next_6_hours?.details?.air_temperature_min));
}

function judge(text: string, { point, now }: Recorded): string {
  const value = parseJson(text);
  if (value === undefined) return 'not JSON';
  const answer = readForecast(value, { point, source: 'met', now, fetchedAt: now });
  if (!answer.ok) return errorCode(answer.error);
  const { geometry, properties } = value as Shape;
  expect(properties!.meta!.units!['air_temperature']).toBe('celsius');
  expect(geometry!.coordinates![0]).toBeCloseTo(point.longitude, 1);
  expect(geometry!.coordinates![1]).toBeCloseTo(point.latitude, 1);
  const times = properties!.timeseries!.map((entry) => Date.parse(String(entry?.time)));
  expect(
    times.every((time, i) => i === 0 || time > times[i - 1]!),
    'times that rise',
  ).toBe(true);
  const [single, ...courses] = answer.forecast.members;
  const lows = lowsOf(value);
  for (const low of single!.lows ?? []) ensure(lows.has(low.temperatureC), 'a low is one of the body');
  for (const course of courses) {
    const made = course.temperatureC.some(
      (t, i) => !Number.isNaN(t) && Number.isNaN(single!.temperatureC[i]),
    );
    ensure(!made, 'a course is unknown where the forecast is');
  }
  checkForecast(answer.forecast, now);
  const { firstHour } = answer.forecast;
  checkSeries(single!.temperatureC, { firstHour, truth: truthOf(value) });
  return 'forecast';
}

itWithShared(
  'MET Norway: no mutated body crashes, hangs, or makes a value or a calm out of nothing',
  async () => {
    const bodies = [
      body(recorded('met-norway/compact-oslo-2026-02.json')),
      body(recorded('met-norway/complete-percentiles-2022-08.json')),
      body(recorded('met-norway/complete-with-headers.json')['data']!),
      body(metNorwayBody({ percentiles: true, startEpochS: NOW - 1800 }) as unknown as Json),
    ];
    const target: Target = { name: 'met-norway', bodies, judge: (text, at) => judge(text, bodies[at]!) };
    const counts = await fuzz(target);
    expect(counts.get('forecast')).toBeGreaterThan(0);
    expect(counts.get('source-body')).toBeGreaterThan(0);
    expect(counts.get('source-units')).toBeGreaterThan(0);
    expect(counts.get('forecast-empty')).toBeGreaterThan(0);
  },
);
