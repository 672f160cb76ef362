/** One weather as Open-Meteo, the US service and MET Norway tell it, in bodies to the shapes of the recordings. */
import { metNorwayBody } from '../forecast/met-norway-body.ts';
import {
  collection,
  FARM,
  gridBody,
  hourly,
  hourlyWith,
  layer,
  period,
  pointBody,
} from '../forecast/nws-bodies.ts';
import { iso } from './instants.ts';
import { openMeteoBody } from './open-meteo-body.ts';
import type { WeatherHandler, WeatherReply } from './weather-server.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;

/** Of the recorded cell. */
const HEIGHT_M = 368;

/** In the United States, so that all three know it. */
export const FARM_PLACE = {
  id: 'farm',
  label: 'Farm lot',
  latitude: FARM.latitude,
  longitude: FARM.longitude,
  elevation: `${HEIGHT_M} m`,
  timeZone: 'America/Chicago',
  lie: 'bench',
} as const;

/** Air at an instant [°C]. */
export type AirAt = (at: number) => number;

/** What a service says at `now`, and when it says that it was made. */
export interface Told {
  readonly airC: AirAt;
  readonly now: number;
  readonly issuedAt: number;
}

const floorHour = (at: number): number => Math.floor(at / HOUR) * HOUR;

export function openMeteoReply({ points }: Parameters<WeatherHandler>[0], { airC, now }: Told): WeatherReply {
  const startEpochS = Math.floor(now / DAY) * DAY - 3 * DAY;
  const temperatureC = (hour: number): number => airC(startEpochS + hour * HOUR);
  return { body: openMeteoBody(points, { startEpochS, temperatureC }) };
}

/** Everything that the US service is asked for at one place; no warnings, and no station. */
export function nwsReply({ path }: Parameters<WeatherHandler>[0], told: Told): WeatherReply {
  if (path.startsWith('/points/')) return geoJson(pointBody());
  if (path.endsWith('/forecast/hourly')) return geoJson(hoursOf(told));
  if (path.startsWith('/alerts/') || path.endsWith('/stations')) return geoJson(collection());
  return geoJson(gridOf(told));
}

/** Six hours of the past, as recorded, and seven days ahead. */
const GRID_HOURS = 6 + 7 * 24;

function gridOf({ airC, now, issuedAt }: Told): object {
  const from = floorHour(now) - 6 * HOUR;
  const span = `${iso(from).replace('Z', '+00:00')}/P7DT6H`;
  return gridBody({
    updateTime: iso(issuedAt).replace('Z', '+00:00'),
    validTimes: span,
    temperature: layer(hourly(iso(from), GRID_HOURS, (hour) => airC(from + hour * HOUR))),
    minTemperature: { values: [] },
    skyCover: layer([[span, 50]], 'wmoUnit:percent'),
    windSpeed: layer([[span, 7.2]], 'wmoUnit:km_h-1'),
  });
}

function hoursOf({ airC, now }: Told): object {
  const from = floorHour(now);
  return hourlyWith(
    Array.from({ length: 156 }, (_, hour) => {
      const at = from + hour * HOUR;
      return period(iso(at), { temperature: Math.round(airC(at)), temperatureUnit: 'C' });
    }),
  );
}

export function geoJson(body: unknown): WeatherReply {
  return { headers: { 'content-type': 'application/geo+json' }, body: JSON.stringify(body) };
}

export function metNorwayReply(
  { query }: Parameters<WeatherHandler>[0],
  { airC, now, issuedAt }: Told,
): WeatherReply {
  const startEpochS = floorHour(now);
  const body = metNorwayBody({
    point: { ...FARM, latitude: Number(query.get('lat')), longitude: Number(query.get('lon')) },
    startEpochS,
    temperatureC: (hour) => airC(startEpochS + hour * HOUR),
    edit: ({ geometry, properties }) => {
      geometry.coordinates[2] = HEIGHT_M;
      properties.meta.updated_at = iso(issuedAt);
    },
  });
  const httpDate = (at: number): string => new Date(at * 1000).toUTCString();
  // As recorded: half an hour and a little more.
  const headers = {
    date: httpDate(now),
    expires: httpDate(now + 1912),
    'last-modified': httpDate(issuedAt),
  };
  return { headers, body: JSON.stringify(body) };
}
