import { expect, it } from 'vitest';
import { coverageProblem } from '../../src/forecast/coverage.ts';
import { parseSeriesFile } from '../../src/forecast/file/parse.ts';
import { parseJson } from '../../src/forecast/http/failure.ts';
import { isoSecond, parseInstant, type EpochSeconds } from '../../src/quantity/instant.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { fuzz } from './fuzz.ts';
import type { Body, Json } from './mutate.ts';
import { addTruth, checkForecast, ensure, errorCode, type Truth } from './series-check.ts';

const START = parseInstant('2026-11-30T00:00:00Z')!;
const HOURS = Array.from({ length: 48 }, (_, i) => isoSecond(START + i * 3600));

/** Never 0, so that a 0 in the forecast must come from a change. */
const course = (hour: number, member: number): number =>
  Math.round(10 * Math.cos(hour / 4) - 45 - 7 * member) / 10 || 0.1;

function csvBody(members: number): Body {
  const header = ['time', 'temperatureC', 'windSpeedMps', 'cloudPercent', ...(members > 1 ? ['member'] : [])];
  const rows = HOURS.flatMap((time, hour) =>
    Array.from({ length: members }, (_, m) => [
      time,
      String(course(hour, m)),
      hour % 5 === 0 ? '' : '2.5',
      '40',
      ...(members > 1 ? [`m${m}`] : []),
    ]),
  );
  return {
    value: [header, ...rows],
    isTemperature: (path) => Number(path[0]) > 0 && Number(path[1]) === 1,
    write: (value) =>
      (Array.isArray(value) ? value : [value]).map((row) => [row].flat().map(cellText).join(',')).join('\n'),
  };
}

function cellText(cell: Json): string {
  return cell === null ? '' : typeof cell === 'object' ? JSON.stringify(cell).slice(0, 200) : String(cell);
}

function jsonBody(members: number): Body {
  return {
    value: {
      schema: 'drainby.series/1',
      issuedAt: members > 1 ? null : '2026-11-29T23:10:00Z',
      time: HOURS,
      members: Array.from({ length: members }, (_, m) => ({
        weight: m + 1,
        temperatureC: HOURS.map((_time, hour) => (hour % 11 === 10 ? null : course(hour, m))),
        windSpeedMps: HOURS.map(() => 2.5),
        cloudPercent: HOURS.map(() => null),
      })),
    },
    isTemperature: (path) => path.includes('temperatureC'),
    write: (value) => JSON.stringify(value),
  };
}

/** Line by line, without the parser. */
function csvTruth(text: string): Truth {
  const truth = new Map<EpochSeconds, Set<number>>();
  const [header = '', ...lines] = text.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  const cells = (line: string): string[] => line.split(',').map((cell) => cell.replaceAll('"', '').trim());
  const [time, temperature] = ['time', 'temperatureC'].map((name) => cells(header).indexOf(name));
  for (const line of lines) {
    const cell = cells(line)[temperature!];
    if (cell !== undefined && cell !== '')
      addTruth(truth, Date.parse(cells(line)[time!] ?? '') / 1000, Number(cell));
  }
  return truth;
}

function jsonTruth(text: string): Truth {
  const truth = new Map<EpochSeconds, Set<number>>();
  const file = parseJson(text.replace(/^\uFEFF/, '')) as {
    time: string[];
    members: { temperatureC: unknown[] }[];
  };
  for (const { temperatureC } of file.members) {
    temperatureC.forEach((t, i) => addTruth(truth, Date.parse(file.time[i]!) / 1000, t));
  }
  return truth;
}

/** Everything in the file is in the forecast, and nothing else; without any temperature from now on it is refused. */
function check(forecast: Forecast, truth: Truth): string {
  const found = new Map<EpochSeconds, Set<number>>();
  for (const { temperatureC, weight } of forecast.members) {
    ensure(weight > 0 && weight <= 1e9, 'weights are sound');
    temperatureC.forEach((t, i) => addTruth(found, forecast.firstHour + i * 3600, t));
  }
  const [made, stands] = [found, truth].map((one) => JSON.stringify(sorted(one)));
  ensure(made === stands, `it holds ${made} where the file has ${stands}`);
  const unusable = coverageProblem(forecast, START);
  if (unusable !== null) return errorCode(unusable);
  checkForecast(forecast, START);
  return 'forecast';
}

function sorted(truth: Truth): readonly (readonly [EpochSeconds, readonly number[]])[] {
  const hours = [...truth].map(([hour, values]) => [hour, [...values].toSorted((a, b) => a - b)] as const);
  return hours.toSorted(([a], [b]) => a - b);
}

function judge(file: string, text: string, truthOf: (text: string) => Truth): string {
  let forecast: Forecast;
  try {
    forecast = parseSeriesFile({ file, text }, { source: 'series', fetchedAt: START });
  } catch (error) {
    return errorCode(error);
  }
  return check(forecast, truthOf(text));
}

it('CSV series: no mutated file crashes, hangs, or makes a value out of nothing', async () => {
  const counts = await fuzz({
    name: 'file (CSV)',
    share: 0.5,
    bodies: [csvBody(1), csvBody(3)],
    judge: (text) => judge('series.csv', text, csvTruth),
  });
  expect(counts.get('forecast')).toBeGreaterThan(0);
  expect(counts.get('source-file')).toBeGreaterThan(0);
});

it('JSON series: no mutated file crashes, hangs, or makes a value out of nothing', async () => {
  const counts = await fuzz({
    name: 'file (JSON)',
    share: 0.5,
    bodies: [jsonBody(1), jsonBody(4)],
    judge: (text) => judge('series.json', text, jsonTruth),
  });
  expect(counts.get('forecast')).toBeGreaterThan(0);
  expect(counts.get('source-file')).toBeGreaterThan(0);
});
