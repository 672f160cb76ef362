import { SourceError } from '../../errors.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { printable } from '../printable.ts';
import type { Point } from '../source.ts';
import { TIME_UNIT } from './request.ts';

/** Asked for by the licence of the data: a credit with a link, shown wherever the data is shown. */
export const ATTRIBUTION = 'Weather data by Open-Meteo.com (https://open-meteo.com/), CC BY 4.0';

/** The coarsest grid served is 0.25° to 0.5°; an answer from farther off is about another place. */
const FARTHEST_GRID_POINT_DEG = 0.5;

/** Longest axis a forecast can have, with room to spare. */
const LONGEST_AXIS_S = 40 * DAY_S;

/** Some three hundred years from 1970, beyond which no text about an instant can be made either. */
const FARTHEST_INSTANT = 1e10;

/** Outside this the number is a fault, not weather: the coldest and warmest on record, with margin. */
export const TEMPERATURE_RANGE_C: Range = [-90, 60];

/** Shore of the Dead Sea to the top of Everest; the service's own word for an unknown height is 9999. */
const HEIGHT_RANGE_M: Range = [-430, 8849];

export type Range = readonly [least: number, most: number];

export interface Asked {
  readonly point: Point;
  readonly source: string;
  /** What the answer must reach; a forecast that ended before is none. */
  readonly now: EpochSeconds;
  /** When the service gave this answer. */
  readonly fetchedAt: EpochSeconds;
}

export type Values = readonly (number | null)[];

export function refusal(
  code: 'forecast-empty' | 'source-body' | 'source-units' | 'source-missing-place',
  { source, point }: Pick<Asked, 'source' | 'point'>,
  what: string,
): SourceError {
  const text = `The source "${source}" ${what} for the place "${point.id}".`;
  return new SourceError(code, text, { retryable: code === 'source-body' });
}

interface Place {
  readonly latitude: number | null;
  readonly longitude: number | null;
  readonly hourly: { readonly time: readonly unknown[] };
}

/** The service echoes its grid cell: swapped coordinates and answers in another order show here. */
export function placeProblem(wire: Place, asked: Asked): SourceError | null {
  if (wire.hourly.time.length === 0) return null;
  const { latitude, longitude } = asked.point;
  if (wire.latitude === null || wire.longitude === null) {
    return refusal('source-missing-place', asked, 'answered without coordinates');
  }
  const north = Math.abs(wire.latitude - latitude);
  const turn = Math.abs(wire.longitude - longitude) % 360;
  const east = Math.min(turn, 360 - turn) * Math.cos((latitude * Math.PI) / 180);
  if (Math.max(north, east) <= FARTHEST_GRID_POINT_DEG) return null;
  const what = `answered with the grid point ${wire.latitude}, ${wire.longitude}, which is another place,`;
  return refusal('source-missing-place', asked, what);
}

/**
 * Units can drift: a proxy or a changed default answers in °F or km/h, and nothing else would show it. A variable
 * without any value needs no unit. One that was not asked for means that another question was answered.
 *
 * @param expected the unit of each variable asked for
 */
export function unitProblem(
  wire: { readonly hourly_units: Readonly<Record<string, string>>; readonly hourly: object },
  expected: Readonly<Record<string, string>>,
  asked: Asked,
): SourceError | null {
  const units = wire.hourly_units;
  const series = wire.hourly as Readonly<Record<string, Values | undefined>>;
  const wanted: Readonly<Record<string, string>> = { ...expected, time: TIME_UNIT };
  const present = Object.keys(expected).filter((name) => hasValues(series[name]));
  const wrong = [...present, 'time'].find((name) => units[name] !== wanted[name]);
  if (wrong !== undefined) {
    const found = units[wrong] === undefined ? 'without a unit' : `in "${shown(units[wrong])}"`;
    return refusal('source-units', asked, `answered ${wrong} ${found} instead of "${wanted[wrong]}"`);
  }
  const extra = Object.keys(units).find((name) => name !== 'time' && !Object.hasOwn(expected, name));
  if (extra === undefined) return null;
  const what = `answered ${shown(extra)}, which was not asked for, in "${shown(units[extra])}"`;
  return refusal('source-units', asked, what);
}

/** Each variable must have a value, or null, for each hour. */
export function lengthProblem(
  hourly: { readonly time: readonly unknown[] },
  names: readonly string[],
  asked: Asked,
): SourceError | null {
  const series = hourly as unknown as Readonly<Record<string, Values | undefined>>;
  const hours = hourly.time.length;
  const odd = names.find((name) => (series[name]?.length ?? hours) !== hours);
  if (odd === undefined) return null;
  return refusal('source-body', asked, `answered ${odd} with another number of values than hours`);
}

function shown(text: string | undefined): string {
  return printable(text ?? '', 40);
}

function hasValues(series: Values | undefined): boolean {
  return series?.some((value) => value !== null) ?? false;
}

/** Where each value goes on an axis without gaps. */
export interface Axis {
  readonly firstHour: EpochSeconds;
  readonly hours: number;
  readonly indexes: readonly number[];
}

export function readAxis(
  times: readonly (number | string)[],
  asked: Asked,
  longestS = LONGEST_AXIS_S,
): Axis | SourceError {
  const first = times[0];
  if (first === undefined) return refusal('forecast-empty', asked, 'answered a series without hours');
  const indexes = times.map((time) => (Number(time) - Number(first)) / HOUR_S);
  const last = indexes.at(-1) ?? 0;
  const rising = indexes.every((index, i) => Number.isInteger(index) && index > (indexes[i - 1] ?? -1));
  const sane = typeof first === 'number' && first % HOUR_S === 0 && Math.abs(first) <= FARTHEST_INSTANT;
  if (!sane || !rising || last * HOUR_S > longestS) {
    return refusal('source-body', asked, 'answered times that are not whole hours in rising order');
  }
  return { firstHour: first, hours: last + 1, indexes };
}

/** NaN, never 0, for an hour that is missing, null or impossible: 0 °C would read as "just not freezing". */
export function placeOnAxis(values: Values, axis: Axis, [least, most]: Range): readonly number[] {
  const series = new Array<number>(axis.hours).fill(Number.NaN);
  values.forEach((value, position) => {
    const index = axis.indexes[position];
    if (index !== undefined && value !== null && value >= least && value <= most) series[index] = value;
  });
  return series;
}

/** A height that can be one [m], or null. */
export function heightM(value: number | null | undefined): number | null {
  const [least, most] = HEIGHT_RANGE_M;
  return value !== null && value !== undefined && value >= least && value <= most ? value : null;
}
