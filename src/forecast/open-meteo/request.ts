import { DAY_S, isoSecond, type EpochSeconds } from '../../quantity/instant.ts';
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

export const TEMPERATURE: Variable = 'temperature_2m';

export const TIME_UNIT = 'unixtime';

/** The service serves at most this many days, today included. */
const MAX_FORECAST_DAYS = 16;

/** The past days that every computation starts from. */
export const PAST_DAYS = 3;

/** Lead days that previous runs are kept for. */
export const LEAD_DAYS = [1, 2, 3, 4, 5, 6, 7] as const;

export type Query = Readonly<Record<string, string>>;

/**
 * For which height temperatures are asked. `of-cell`: that of the grid cell, which the answer then names (`nan`, once
 * for each place), so that it is for us to say what the place's own height changes. `of-place`: the place's, to which
 * the server brings them by itself; where no place has one, that of the ground as the server knows it.
 */
export type Heights = 'of-cell' | 'of-place';

/**
 * Times are asked for in GMT as epoch seconds: the service applies one offset to a whole local series, which is an hour
 * off after a change to or from daylight saving time.
 */
function seriesQuery(points: readonly Point[], hourly: readonly string[], heights: Heights): Query {
  return {
    ...whereQuery(points),
    ...elevationsQuery(points, heights),
    hourly: hourly.join(','),
    timezone: 'GMT',
    timeformat: TIME_UNIT,
  };
}

function elevationsQuery(points: readonly Point[], heights: Heights): Query {
  const asked = points.map(({ elevationM }) => (heights === 'of-cell' ? Number.NaN : elevationM));
  const known = asked.filter((height) => height !== null);
  return known.length === 0 ? {} : { elevation: asked.map(heightText).join(',') };
}

function heightText(height: number | null): string {
  return height === null || Number.isNaN(height) ? 'nan' : height.toFixed(1);
}

function whereQuery(points: readonly Point[]): Query {
  return {
    latitude: points.map((point) => point.latitude.toFixed(4)).join(','),
    longitude: points.map((point) => point.longitude.toFixed(4)).join(','),
  };
}

export function forecastQuery(
  points: readonly Point[],
  { horizonHours, heights = 'of-cell' }: { readonly horizonHours: number; readonly heights?: Heights },
): Query {
  return {
    ...seriesQuery(points, VARIABLES, heights),
    wind_speed_unit: 'ms',
    past_days: String(PAST_DAYS),
    forecast_days: String(forecastDays(horizonHours)),
  };
}

/** One model to a request: the names of the members then need no name of a model. */
export function ensembleQuery(
  points: readonly Point[],
  asked: { readonly model: string; readonly horizonHours: number; readonly heights?: Heights },
): Query {
  const { model, horizonHours, heights = 'of-cell' } = asked;
  return {
    ...seriesQuery(points, [TEMPERATURE], heights),
    models: model,
    forecast_days: String(forecastDays(horizonHours)),
  };
}

/** At whole southern latitudes the service reads its terrain one degree off: a step of 11 m aside avoids it. */
export function elevationQuery(points: readonly Point[]): Query {
  const aside = (latitude: number): number =>
    latitude < 0 && Number.isInteger(latitude) ? latitude + 1e-4 : latitude;
  return whereQuery(points.map((point) => ({ ...point, latitude: aside(point.latitude) })));
}

/** Days of UTC, the last one included. */
export interface Days {
  readonly from: EpochSeconds;
  readonly to: EpochSeconds;
}

export function archiveQuery(point: Point, days: Days): Query {
  return { ...seriesQuery([point], [TEMPERATURE], 'of-cell'), ...daysQuery(days) };
}

export function previousRunsQuery(point: Point, days: Days): Query {
  return { ...seriesQuery([point], LEAD_DAYS.map(leadVariable), 'of-cell'), ...daysQuery(days) };
}

export function leadVariable(lead: number): string {
  return `${TEMPERATURE}_previous_day${lead}`;
}

function daysQuery({ from, to }: Days): Query {
  return { start_date: isoSecond(from).slice(0, 10), end_date: isoSecond(to).slice(0, 10) };
}

export function dayCount({ from, to }: Days): number {
  return Math.floor(to / DAY_S) - Math.floor(from / DAY_S) + 1;
}

/** The series starts at 00:00 UTC of today, so a horizon needs one day more than its length. */
export function forecastDays(horizonHours: number): number {
  return Math.min(MAX_FORECAST_DAYS, Math.ceil(horizonHours / 24) + 1);
}

/** The address of one request. Every value is made of characters that stand for themselves in a query. */
export function serviceUrl(baseUrl: string, path: string, query: Query = {}): URL {
  const url = new URL(baseUrl);
  url.pathname = `${url.pathname.replace(/\/+$/, '')}${path}`;
  const own = Object.entries(query).map(([name, value]) => `${name}=${value}`);
  url.search = [url.search.slice(1), ...own].filter((part) => part !== '').join('&');
  return url;
}
