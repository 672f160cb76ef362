import type { Point } from '../source.ts';

/** Variables asked for, with the unit each must come in. The answer is refused when a unit differs. */
export const VARIABLE_UNITS = {
  temperature_2m: '°C',
  dew_point_2m: '°C',
  wind_speed_10m: 'm/s',
  wind_gusts_10m: 'm/s',
  cloud_cover: '%',
  precipitation: 'mm',
  snow_depth: 'm',
  soil_temperature_0cm: '°C',
} as const;

export type Variable = keyof typeof VARIABLE_UNITS;

export const VARIABLES = Object.keys(VARIABLE_UNITS) as readonly Variable[];

export const TIME_UNIT = 'unixtime';

const MAX_POINTS_PER_REQUEST = 100;

/** The service serves at most this many days, today included. */
const MAX_FORECAST_DAYS = 16;

/** The past days that every computation starts from. */
const PAST_DAYS = 3;

/**
 * Cuts the points into requests, in their order. The list of elevations must be as long as that of the
 * coordinates and has no word for "not known", so points with and without a height never share a request.
 */
export function requestBatches(points: readonly Point[]): readonly (readonly Point[])[] {
  const known = points.filter((point) => point.elevationM !== null);
  const unknown = points.filter((point) => point.elevationM === null);
  return [known, unknown].flatMap(chunks);
}

function chunks(points: readonly Point[]): (readonly Point[])[] {
  const result: (readonly Point[])[] = [];
  for (let at = 0; at < points.length; at += MAX_POINTS_PER_REQUEST) {
    result.push(points.slice(at, at + MAX_POINTS_PER_REQUEST));
  }
  return result;
}

/**
 * The query of one request. Times are asked for in GMT as epoch seconds: the service applies one offset to a
 * whole local series, which is an hour off after a change to or from daylight saving time.
 */
export function forecastQuery(
  points: readonly Point[],
  horizonHours: number,
): Readonly<Record<string, string>> {
  const elevations = points.map((point) => point.elevationM).filter((height) => height !== null);
  return {
    latitude: points.map((point) => point.latitude.toFixed(4)).join(','),
    longitude: points.map((point) => point.longitude.toFixed(4)).join(','),
    ...(elevations.length > 0 && { elevation: elevations.map((height) => height.toFixed(1)).join(',') }),
    hourly: VARIABLES.join(','),
    timezone: 'GMT',
    timeformat: TIME_UNIT,
    wind_speed_unit: 'ms',
    past_days: String(PAST_DAYS),
    forecast_days: String(forecastDays(horizonHours)),
  };
}

/** The series starts at 00:00 UTC of today, so a horizon needs one day more than its length. */
function forecastDays(horizonHours: number): number {
  return Math.min(MAX_FORECAST_DAYS, Math.ceil(horizonHours / 24) + 1);
}

/** The address of one request. Every value is made of characters that stand for themselves in a query. */
export function forecastUrl(baseUrl: string, query: Readonly<Record<string, string>>): URL {
  const url = new URL(baseUrl);
  url.pathname = `${url.pathname.replace(/\/+$/, '')}/v1/forecast`;
  const own = Object.entries(query).map(([name, value]) => `${name}=${value}`);
  url.search = [url.search.slice(1), ...own].filter((part) => part !== '').join('&');
  return url;
}
