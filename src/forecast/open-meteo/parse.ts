import { SourceError } from '../../errors.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast } from '../../weather/forecast.ts';
import { coverageProblem } from '../coverage.ts';
import type { Point, SourceAnswer } from '../source.ts';
import { TIME_UNIT, VARIABLE_UNITS, VARIABLES, type Variable } from './request.ts';
import type { LocationWire } from './wire.ts';

/** Asked for by the licence of the data: a credit with a link, shown wherever the data is shown. */
const ATTRIBUTION = 'Weather data by Open-Meteo.com (https://open-meteo.com/), CC BY 4.0';

/** The coarsest grid served is 0.25° to 0.5°; an answer from farther off is about another place. */
const FARTHEST_GRID_POINT_DEG = 0.5;

/** Longest axis the service can be asked for, with room to spare. */
const LONGEST_AXIS_S = 40 * DAY_S;

/** Outside these the number is a fault, not weather: the coldest and warmest on record, with margin. */
const TEMPERATURE_RANGE_C: Range = [-90, 60];
/** Bare ground in the sun is warmer than any air. */
const SOIL_RANGE_C: Range = [-90, 90];
const WIND_RANGE_MPS: Range = [0, 120];
const PERCENT_RANGE: Range = [0, 100];

type Range = readonly [least: number, most: number];

export interface Asked {
  readonly point: Point;
  readonly source: string;
  readonly now: EpochSeconds;
}

/** Turns the answer for one location into a forecast, or into the reason why it cannot be used. */
export function parseLocation(wire: LocationWire, asked: Asked): SourceAnswer {
  const error = placeProblem(wire, asked) ?? shapeProblem(wire, asked) ?? unitProblem(wire, asked);
  if (error !== null) return { ok: false, error };
  const axis = readAxis(wire);
  if (axis === 'empty') return refuse('forecast-empty', asked, 'answered a series without hours');
  if (axis === 'broken') {
    return refuse('source-body', asked, 'answered times that are not whole hours in rising order');
  }
  const forecast = buildForecast(wire, axis, asked);
  const unusable = coverageProblem(forecast, asked.now);
  return unusable === null ? { ok: true, forecast } : { ok: false, error: unusable };
}

function refuse(
  code: 'forecast-empty' | 'source-body' | 'source-units' | 'source-missing-place',
  asked: Asked,
  what: string,
): { readonly ok: false; readonly error: SourceError } {
  const text = `The source "${asked.source}" ${what} for the place "${asked.point.id}".`;
  return { ok: false, error: new SourceError(code, text, { retryable: code === 'source-body' }) };
}

/** The service echoes its grid cell: swapped coordinates and answers in another order show here. */
function placeProblem(wire: LocationWire, asked: Asked): SourceError | null {
  if (wire.hourly.time.length === 0) return null;
  const { latitude, longitude } = asked.point;
  if (wire.latitude === null || wire.longitude === null) {
    return refuse('source-missing-place', asked, 'answered without coordinates').error;
  }
  const north = Math.abs(wire.latitude - latitude);
  const turn = Math.abs(wire.longitude - longitude) % 360;
  const east = Math.min(turn, 360 - turn) * Math.cos((latitude * Math.PI) / 180);
  if (Math.max(north, east) <= FARTHEST_GRID_POINT_DEG) return null;
  const what = `answered with the grid point ${wire.latitude}, ${wire.longitude}, which is another place,`;
  return refuse('source-missing-place', asked, what).error;
}

function shapeProblem(wire: LocationWire, asked: Asked): SourceError | null {
  if (wire.hourly.temperature_2m === undefined) {
    return refuse('source-body', asked, 'left out temperature_2m').error;
  }
  const hours = wire.hourly.time.length;
  const odd = VARIABLES.find((name) => (wire.hourly[name]?.length ?? hours) !== hours);
  if (odd === undefined) return null;
  return refuse('source-body', asked, `answered ${odd} with another number of values than hours`).error;
}

/**
 * Units can drift: a proxy or a changed default answers in °F or km/h, and nothing else would show it. A variable
 * without any value needs no unit. One that was not asked for means that another question was answered.
 */
function unitProblem(wire: LocationWire, asked: Asked): SourceError | null {
  const units = wire.hourly_units;
  const expected: Readonly<Record<string, string>> = { ...VARIABLE_UNITS, time: TIME_UNIT };
  const present = VARIABLES.filter((name) => hasValues(wire.hourly[name]));
  const wrong = [...present, 'time'].find((name) => units[name] !== expected[name]);
  if (wrong !== undefined) {
    const found = units[wrong] === undefined ? 'without a unit' : `in "${printable(units[wrong])}"`;
    return refuse('source-units', asked, `answered ${wrong} ${found} instead of "${expected[wrong]}"`).error;
  }
  const extra = Object.keys(units).find((name) => name !== 'time' && !isVariable(name));
  if (extra === undefined) return null;
  const what = `answered ${printable(extra)}, which was not asked for, in "${printable(units[extra])}"`;
  return refuse('source-units', asked, what).error;
}

function isVariable(name: string): name is Variable {
  return Object.hasOwn(VARIABLE_UNITS, name);
}

function printable(text: string | undefined): string {
  return (text ?? '').replace(/\p{Cc}/gu, ' ').slice(0, 40);
}

function hasValues(series: readonly (number | null)[] | undefined): boolean {
  return series?.some((value) => value !== null) ?? false;
}

/** Where each value goes on an axis without gaps. */
interface Axis {
  readonly firstHour: EpochSeconds;
  readonly hours: number;
  readonly indexes: readonly number[];
}

function readAxis(wire: LocationWire): Axis | 'empty' | 'broken' {
  const first = wire.hourly.time[0];
  if (first === undefined) return 'empty';
  if (typeof first !== 'number') return 'broken';
  const indexes: number[] = [];
  let before = -1;
  for (const time of wire.hourly.time) {
    const index = (Number(time) - first) / HOUR_S;
    if (!Number.isInteger(index) || index <= before) return 'broken';
    indexes.push(index);
    before = index;
  }
  if (first % HOUR_S !== 0 || before * HOUR_S > LONGEST_AXIS_S) return 'broken';
  return { firstHour: first, hours: before + 1, indexes };
}

function buildForecast(wire: LocationWire, axis: Axis, asked: Asked): Forecast {
  const read = (name: Variable, range: Range): readonly number[] =>
    placeOnAxis(wire.hourly[name] ?? [], axis, range);
  const orNull = (series: readonly number[]): readonly number[] | null =>
    series.every(Number.isNaN) ? null : series;
  return {
    source: asked.source,
    attribution: ATTRIBUTION,
    issuedAt: null,
    fetchedAt: asked.now,
    firstHour: axis.firstHour,
    whole: false,
    members: [
      {
        weight: 1,
        temperatureC: read('temperature_2m', TEMPERATURE_RANGE_C),
        windSpeedMps: orNull(read('wind_speed_10m', WIND_RANGE_MPS)),
        cloudPercent: orNull(read('cloud_cover', PERCENT_RANGE)),
        soilTemperatureC: orNull(read('soil_temperature_0cm', SOIL_RANGE_C)),
      },
    ],
  };
}

/** NaN, never 0, for an hour that is missing, null or impossible: 0 °C would read as "just not freezing". */
function placeOnAxis(
  values: readonly (number | null)[],
  axis: Axis,
  [least, most]: Range,
): readonly number[] {
  const series = new Array<number>(axis.hours).fill(Number.NaN);
  values.forEach((value, position) => {
    const index = axis.indexes[position];
    if (index !== undefined && value !== null && value >= least && value <= most) series[index] = value;
  });
  return series;
}
