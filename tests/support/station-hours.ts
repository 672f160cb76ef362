/** Open hourly data of stations, as read from the shared folder. */
import { readFileSync } from 'node:fs';
import { sharedPath } from '../shared-data.ts';
import { seconds } from './instants.ts';

export interface StationHour {
  readonly at: number;
  readonly temperatureC: number;
}

/** One of the three New York airports of 2013: EWR, JFK or LGA. Missing hours are not there. */
export function airportHours(station: string): StationHour[] {
  return readFileSync(sharedPath('data/hourly/nyc-2013-utc.csv'), 'utf8')
    .split('\n')
    .map((line) => line.split(','))
    .filter(([name, , value]) => name === station && value !== undefined && value !== '')
    .map(([, time, value]) => ({ at: seconds(time!), temperatureC: Number(value) }));
}

/** Hourly from the first to the last, NaN where an hour is missing. */
export function seriesOf(hours: readonly StationHour[]): { firstHour: number; temperatureC: number[] } {
  const firstHour = hours[0]!.at;
  const temperatureC = Array.from({ length: (hours.at(-1)!.at - firstHour) / 3600 + 1 }, () => NaN);
  for (const { at, temperatureC: t } of hours) temperatureC[(at - firstHour) / 3600] = t;
  return { firstHour, temperatureC };
}
