import { SourceError } from '../../errors.ts';
import { DAY_S, HOUR_S, parseInstant, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast, ForecastMember, Low } from '../../weather/forecast.ts';
import { coverageProblem } from '../coverage.ts';
import { printable } from '../printable.ts';
import type { Point, SourceAnswer } from '../source.ts';
import { COARSE_STEP_HOURS, onAxis, readAxis, within, type Axis, type Range } from './axis.ts';
import { percentileMembers, type Percentiles } from './percentiles.ts';
import { forecastWire, UNITS, type ForecastWire, type StepWire, type Variable } from './wire.ts';

/** Asked for by the licence of the data: a credit with a link and a note of changes, wherever the data is shown. */
export const ATTRIBUTION = 'Data from MET Norway (https://api.met.no/), NLOD 2.0 / CC BY 4.0; changed';

/** The service repeats the point asked for, with four decimals; a proxy may cut one or two of them. */
const FARTHEST_ECHO_DEG = 0.01;

/** Percentiles that end sooner are of no use for the days that decide. */
const LEAST_PERCENTILES_S = 3 * DAY_S;

/** Outside these the number is a fault, not weather: the coldest and warmest on record, with margin. */
const TEMPERATURE_RANGE_C: Range = [-90, 60];
const WIND_RANGE_MPS: Range = [0, 120];
const PERCENT_RANGE: Range = [0, 100];
/** The lowest shore and the highest summit of the earth. */
const HEIGHT_RANGE_M: Range = [-430, 8849];

/** A difference of height that changes the temperature by 2 K (0.0065 K/m, ICAO standard atmosphere). */
const NOTABLE_HEIGHT_M = 300;

export interface Asked {
  readonly point: Point;
  readonly source: string;
  readonly now: EpochSeconds;
  /** When the service last said that this is its answer. */
  readonly fetchedAt: EpochSeconds;
}

/** Turns the service's answer, any JSON value, into a forecast, or into the reason why it cannot be used. */
export function readForecast(value: unknown, asked: Asked): SourceAnswer {
  const read = forecastWire.safeParse(value);
  if (!read.success) {
    const issue = read.error.issues[0];
    const rule = `${issue?.path.map(String).join('.') ?? 'answer'}: ${issue?.message ?? 'unexpected'}`;
    return refuse('source-body', asked, `answered in an unexpected shape (${rule})`);
  }
  const wire = read.data;
  const error = placeProblem(wire, asked) ?? unitProblem(wire, asked);
  if (error !== null) return { ok: false, error };
  const issuedAt = parseInstant(wire.properties.meta.updated_at);
  if (issuedAt === null) return refuse('source-body', asked, 'does not say when its forecast was made');
  const axis = readAxis(wire.properties.timeseries);
  if (axis === 'empty') return refuse('forecast-empty', asked, 'answered a series without hours');
  if (axis === 'broken') {
    return refuse('source-body', asked, 'answered times that are not whole hours in rising order');
  }
  return judged(buildForecast(wire, axis, { ...asked, issuedAt }), asked);
}

type Built = Pick<Extract<SourceAnswer, { ok: true }>, 'forecast'> & { readonly remarks: readonly string[] };

function judged({ forecast, remarks }: Built, asked: Asked): SourceAnswer {
  const unusable = coverageProblem(forecast, asked.now);
  if (unusable !== null) return { ok: false, error: unusable };
  const all = [...heightRemarks(forecast, asked), ...remarks];
  return { ok: true, forecast, ...(all.length > 0 && { remarks: all }) };
}

function refuse(
  code: 'forecast-empty' | 'source-body' | 'source-units' | 'source-missing-place',
  asked: Asked,
  what: string,
): { readonly ok: false; readonly error: SourceError } {
  const text = `The source "${asked.source}" ${what} for the place "${asked.point.id}".`;
  return { ok: false, error: new SourceError(code, text, { retryable: code === 'source-body' }) };
}

/** The service repeats the point, longitude first: swapped coordinates show here. */
function placeProblem(wire: ForecastWire, asked: Asked): SourceError | null {
  const [longitude, latitude] = wire.geometry.coordinates;
  const north = Math.abs(latitude - asked.point.latitude);
  const turn = Math.abs(longitude - asked.point.longitude) % 360;
  const east = Math.min(turn, 360 - turn);
  if (Math.max(north, east) <= FARTHEST_ECHO_DEG) return null;
  const what = `answered for latitude ${latitude}, longitude ${longitude}, which is another place,`;
  return refuse('source-missing-place', asked, what).error;
}

/** Units can drift: a changed default answers in °F or K, and nothing else would show it. */
function unitProblem({ properties: { meta, timeseries } }: ForecastWire, asked: Asked): SourceError | null {
  const wrong = VARIABLES.find(
    (name) =>
      meta.units[name] !== UNITS[name] && timeseries.some((step) => typeof valueOf(step, name) === 'number'),
  );
  if (wrong === undefined) return null;
  const found =
    meta.units[wrong] === undefined ? 'without a unit' : `in "${printable(meta.units[wrong], 40)}"`;
  return refuse('source-units', asked, `answered ${wrong} ${found} instead of "${UNITS[wrong]}"`).error;
}

const VARIABLES = Object.keys(UNITS) as readonly Variable[];

function valueOf({ data }: StepWire, name: Variable): number | null | undefined {
  return name === 'air_temperature_min'
    ? data.next_6_hours?.details?.air_temperature_min
    : data.instant.details?.[name];
}

function buildForecast(
  { geometry, properties: { timeseries } }: ForecastWire,
  axis: Axis,
  asked: Asked & { readonly issuedAt: EpochSeconds },
): Built {
  const read = (name: Variable, range: Range): readonly number[] =>
    onAxis(
      timeseries.map((step) => valueOf(step, name)),
      axis,
      range,
    );
  const temperatureC = read('air_temperature', TEMPERATURE_RANGE_C);
  const lows = readLows(read('air_temperature_min', TEMPERATURE_RANGE_C), temperatureC);
  const single: ForecastMember = {
    weight: 1,
    temperatureC,
    windSpeedMps: orNull(read('wind_speed', WIND_RANGE_MPS)),
    cloudPercent: orNull(read('cloud_area_fraction', PERCENT_RANGE)),
    soilTemperatureC: null,
    stepHours: axis.stepHours,
    ...(lows.length > 0 && { lows }),
  };
  const spread = {
    p10C: read('air_temperature_percentile_10', TEMPERATURE_RANGE_C),
    p90C: read('air_temperature_percentile_90', TEMPERATURE_RANGE_C),
  };
  const usable = percentilesUse(
    spread,
    temperatureC,
    (asked.now + LEAST_PERCENTILES_S - axis.firstHour) / HOUR_S,
  );
  const heightM = within(geometry.coordinates[2], HEIGHT_RANGE_M);
  const forecast: Forecast = {
    source: asked.source,
    attribution: ATTRIBUTION,
    issuedAt: asked.issuedAt,
    fetchedAt: asked.fetchedAt,
    firstHour: axis.firstHour,
    whole: false,
    members: [single, ...(usable === 'all' ? percentileMembers(single, spread, TEMPERATURE_RANGE_C) : [])],
    ...(!Number.isNaN(heightM) && { gridElevationM: heightM }),
  };
  return { forecast, remarks: usable === 'some' ? [brokenPercentiles(asked)] : [] };
}

function orNull(series: readonly number[]): readonly number[] | null {
  return series.every(Number.isNaN) ? null : series;
}

/**
 * The lowest of the six hours after an entry, the entry's own left out: in 101 stretches of two recorded answers it
 * is that of the six hourly values that follow. Only where one of these is not known does it say anything new.
 */
function readLows(lowestC: readonly number[], temperatureC: readonly number[]): readonly Low[] {
  return lowestC.flatMap((low, index) => {
    const [from, to] = [index + 1, index + COARSE_STEP_HOURS];
    const hours = temperatureC.slice(from, to + 1);
    const useful = hours.length === COARSE_STEP_HOURS && hours.some(Number.isNaN);
    return useful && !Number.isNaN(low) ? [{ from, to, temperatureC: low }] : [];
  });
}

/** `all`: for every known hour up to their last, and far enough. `none`: the service gives none here. */
function percentilesUse(
  { p10C, p90C }: Percentiles,
  temperatureC: readonly number[],
  leastHours: number,
): 'all' | 'some' | 'none' {
  const given = temperatureC.map((_, hour) => (p10C[hour] ?? Number.NaN) <= (p90C[hour] ?? Number.NaN));
  const last = given.lastIndexOf(true);
  if (last < 0) return orNull(p10C) === null && orNull(p90C) === null ? 'none' : 'some';
  const holes = temperatureC.some((t, hour) => hour <= last && !Number.isNaN(t) && given[hour] === false);
  const end = temperatureC.findLastIndex((t) => !Number.isNaN(t));
  return holes || last < Math.min(leastHours, end) ? 'some' : 'all';
}

function brokenPercentiles({ source, point }: Asked): string {
  return `The source "${source}" gives its percentiles for the place "${point.id}" for some hours only, so they are left out.`;
}

/** The service would adjust to any height that it is told; it is not told one, because the correction is ours. */
function heightRemarks({ source, gridElevationM }: Forecast, { point }: Asked): readonly string[] {
  if (gridElevationM === undefined) {
    return [`The source "${source}" does not say for which height its temperatures for "${point.id}" are.`];
  }
  if (point.elevationM === null || Math.abs(gridElevationM - point.elevationM) < NOTABLE_HEIGHT_M) return [];
  return [
    `The temperatures of the source "${source}" are for ground at ${Math.round(gridElevationM)} m, ` +
      `and the place "${point.id}" is given as ${Math.round(point.elevationM)} m: check its coordinates and height.`,
  ];
}
