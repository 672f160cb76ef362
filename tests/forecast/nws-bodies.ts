import type { Point } from '../../src/forecast/source.ts';
import { iso, seconds } from '../support/instants.ts';

/**
 * Bodies in the shapes of the recordings in ../shared/recordings/nws: points and stations as weathergov_points.json and
 * weathergov_stations.json, the grid as gridpoint-raw-winter.json, hours as gridpoint-hourly-winter.json, alerts as
 * alerts/freeze-2025-12-15.json, an observation as weathergov_current.json.
 */

export const NOW = seconds('2026-01-15T18:20:00Z');
/** In the middle of the recorded cell OAX 59,58. */
export const FARM: Point = { id: 'farm', latitude: 41.211, longitude: -96.63, elevationM: null };

type Json = Record<string, unknown>;

/** Corners of the recorded cell, first and last the same. */
const CELL = [
  [-96.6442766, 41.2218657],
  [-96.6439239, 41.1999897],
  [-96.6148357, 41.2002527],
  [-96.6151821, 41.2221287],
  [-96.6442766, 41.2218657],
] as const;

/** The recorded cell, moved. */
export function cellAt(north: number, east: number): Json {
  const ring = CELL.map(([longitude, latitude]) => [longitude + east, latitude + north]);
  return { type: 'Polygon', coordinates: [ring] };
}

export function pointBody(change: Json = {}): Json {
  return {
    id: 'https://api.weather.gov/points/41.211,-96.63',
    type: 'Feature',
    geometry: { type: 'Point', coordinates: [-96.63, 41.211] },
    properties: {
      cwa: 'OAX',
      gridId: 'OAX',
      gridX: 59,
      gridY: 58,
      forecastGridData: 'https://api.weather.gov/gridpoints/OAX/59,58',
      timeZone: 'America/Chicago',
      ...change,
    },
  };
}

export type Values = readonly (readonly [validTime: string, value: number | null])[];

export function layer(values: Values, uom = 'wmoUnit:degC'): Json {
  return { uom, values: values.map(([validTime, value]) => ({ validTime, value })) };
}

/** One value an hour from `from` on. */
export function hourly(from: string, hours: number, value: (hour: number) => number | null): Values {
  return Array.from({ length: hours }, (_, i) => [`${offset(seconds(from) + i * 3600)}/PT1H`, value(i)]);
}

/** As the service writes UTC: `2026-01-15T11:00:00+00:00`. */
function offset(epochSeconds: number): string {
  return iso(epochSeconds).replace('Z', '+00:00');
}

/** Seven days from 11:00 UTC, seven hours before now: 6 K up and down each day, and 1 K colder every 30 hours. */
const COURSE: Values = hourly('2026-01-15T11:00:00Z', 172, (hour) =>
  Math.round(6 * Math.sin((2 * Math.PI * (hour - 3)) / 24) - hour / 30),
);

export function gridBody(change: Json = {}, geometry: unknown = cellAt(0, 0)): Json {
  return {
    id: 'https://api.weather.gov/gridpoints/OAX/59,58',
    type: 'Feature',
    geometry,
    properties: {
      updateTime: '2026-01-15T17:37:00+00:00',
      validTimes: '2026-01-15T11:00:00+00:00/P7DT4H',
      elevation: { unitCode: 'wmoUnit:m', value: 367.8936 },
      gridId: 'OAX',
      gridX: '59',
      gridY: '58',
      temperature: layer(COURSE),
      minTemperature: layer([['2026-01-15T15:00:00+00:00/PT14H', -9]]),
      skyCover: layer([['2026-01-15T11:00:00+00:00/P7DT4H', 40]], 'wmoUnit:percent'),
      windSpeed: layer([['2026-01-15T11:00:00+00:00/P7DT4H', 18]], 'wmoUnit:km_h-1'),
      snowLevel: { values: [] },
      ...change,
    },
  };
}

export function period(startTime: string, change: Json = {}): Json {
  return {
    number: 1,
    name: '',
    startTime,
    isDaytime: false,
    temperature: 20,
    temperatureUnit: 'F',
    temperatureTrend: '',
    windSpeed: '3 mph',
    ...change,
  };
}

/** The hourly forecast of `COURSE` from now on, in whole °C, each time written with the offset of Omaha. */
export function hourlyBody(shiftH = 0, offK = 0): Json {
  const periods = COURSE.slice(7, 163).map(([time, value]) => {
    const local = iso(seconds(time.slice(0, 25)) + (shiftH - 6) * 3600).replace('Z', '-06:00');
    return period(local, { temperature: Math.round((value ?? 0) + offK), temperatureUnit: 'C' });
  });
  return hourlyWith(periods);
}

export function hourlyWith(periods: readonly Json[]): Json {
  const properties = { units: 'us', updateTime: '2026-01-15T17:55:00+00:00', periods };
  return { type: 'Feature', geometry: cellAt(0, 0), properties };
}

export function alertFeature(change: Json = {}): Json {
  return {
    id: 'https://api.weather.gov/alerts/urn:oid:1',
    type: 'Feature',
    geometry: null,
    properties: {
      id: 'urn:oid:1',
      areaDesc: 'Saunders',
      geocode: { UGC: ['NEZ051'] },
      references: [],
      sent: '2026-01-15T09:00:00-06:00',
      effective: '2026-01-15T09:00:00-06:00',
      onset: '2026-01-15T18:00:00-06:00',
      expires: '2026-01-16T01:00:00-06:00',
      ends: '2026-01-16T09:00:00-06:00',
      status: 'Actual',
      messageType: 'Alert',
      severity: 'Moderate',
      certainty: 'Likely',
      urgency: 'Expected',
      event: 'Freeze Warning',
      senderName: 'NWS Omaha/Valley NE',
      headline: 'Freeze Warning issued January 15 at 9:00AM CST until January 16 at 9:00AM CST',
      parameters: { VTEC: ['/O.NEW.KOAX.FZ.W.0001.260116T0000Z-260116T1500Z/'] },
      ...change,
    },
  };
}

export function collection(...features: readonly unknown[]): Json {
  return { type: 'FeatureCollection', features, title: 'Current watches, warnings, and advisories' };
}

export function station(id: string, longitude: number, latitude = 41.211): Json {
  return {
    id: `https://api.weather.gov/stations/${id}`,
    type: 'Feature',
    geometry: { type: 'Point', coordinates: [longitude, latitude] },
    properties: { stationIdentifier: id, name: id, timeZone: 'America/Chicago' },
  };
}

export function observed(temperature: Json, timestamp = '2026-01-15T17:53:00+00:00'): Json {
  return {
    type: 'Feature',
    geometry: { type: 'Point', coordinates: [-96.6, 41.2] },
    properties: {
      timestamp,
      rawMessage: '',
      temperature: { unitCode: 'wmoUnit:degC', qualityControl: 'V', ...temperature },
    },
  };
}
