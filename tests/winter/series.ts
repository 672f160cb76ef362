/**
 * Winters from open hourly series, autumn to spring. Neither file holds a whole one in a row, so each is put together
 * from its own year at one seam: what came before is followed by what really followed a year earlier. A hole is
 * bridged by a straight line.
 */
import { readFileSync } from 'node:fs';
import { sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';

const HOUR = 3600;

export interface Winter {
  readonly name: string;
  readonly timeZone: string;
  readonly latitude: number;
  readonly longitude: number;
  readonly firstHour: number;
  readonly temperatureC: readonly number[];
  readonly windSpeedMps: readonly number[];
}

/** Behind the last hour nothing is known. */
export function endOf({ firstHour, temperatureC }: Winter): number {
  return firstHour + (temperatureC.length - 1) * HOUR;
}

interface Row {
  readonly at: number;
  readonly temperatureC: number;
  readonly windSpeedMps: number;
}

/** La Guardia, October to December 2013 and after that January to April of the same year. CC0. */
export function newYork(): Winter {
  const rows = readFileSync(sharedPath('data/hourly/nyc-2013-utc.csv'), 'utf8')
    .split('\n')
    .map((line) => line.split(','))
    .filter(([station, , value]) => station === 'LGA' && value !== undefined && value !== '')
    .map(([, time, value, wind]) => rowOf(time!, value!, wind ?? ''));
  const place = { name: 'New York', timeZone: 'America/New_York', latitude: 40.78, longitude: -73.88 };
  return { ...place, ...joined(rows, { from: '2013-10-01T00:00:00Z', seam: '2014-01-01T00:00:00Z' }) };
}

/** Seoul, September to November 2018 and after that December 2017 to April 2018. CC BY 4.0. */
export function seoul(): Winter {
  const rows = readFileSync(sharedPath('data/hourly/seoul-2017-12-to-2018-11-utc.csv'), 'utf8')
    .split('\n')
    .slice(1)
    .map((line) => line.split(','))
    .filter(([, value]) => value !== undefined && value !== '')
    .map(([time, value, wind]) => rowOf(time!.replace('Z', ':00Z'), value!, wind ?? ''));
  const place = { name: 'Seoul', timeZone: 'Asia/Seoul', latitude: 37.57, longitude: 126.98 };
  return { ...place, ...joined(rows, { from: '2018-10-01T00:00:00Z', seam: '2018-11-30T15:00:00Z' }) };
}

function rowOf(time: string, temperature: string, wind: string): Row {
  const at = Math.round(seconds(time) / HOUR) * HOUR;
  return { at, temperatureC: Number(temperature), windSpeedMps: wind === '' ? Number.NaN : Number(wind) };
}

const YEAR_S = 365 * 24 * HOUR;
const DAYS = 205;

/** What lies behind the seam is taken from a year before, so that the hours of the day and the season fit. */
function joined(
  rows: readonly Row[],
  { from, seam }: { readonly from: string; readonly seam: string },
): Pick<Winter, 'firstHour' | 'temperatureC' | 'windSpeedMps'> {
  const byHour = new Map(rows.map((row) => [row.at, row]));
  const firstHour = seconds(from);
  const hours = Array.from({ length: DAYS * 24 }, (_, i) => firstHour + i * HOUR);
  const row = (hour: number): Row | undefined => byHour.get(hour < seconds(seam) ? hour : hour - YEAR_S);
  const all = (value: (one: Row) => number): number[] =>
    bridged(
      hours.map((hour) => {
        const one = row(hour);
        return one === undefined ? Number.NaN : value(one);
      }),
    );
  return {
    firstHour,
    temperatureC: all((one) => one.temperatureC),
    windSpeedMps: all((one) => one.windSpeedMps),
  };
}

function bridged(values: readonly number[]): number[] {
  return values.map((value, i) => {
    if (!Number.isNaN(value)) return value;
    const before = values.findLastIndex((v, k) => k < i && !Number.isNaN(v));
    const after = values.findIndex((v, k) => k > i && !Number.isNaN(v));
    if (before < 0 || after < 0) return values[Math.max(before, after)] ?? Number.NaN;
    const share = (i - before) / (after - before);
    return values[before]! + share * (values[after]! - values[before]!);
  });
}
