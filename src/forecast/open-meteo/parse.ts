import { HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast } from '../../weather/forecast.ts';
import { coverageProblem } from '../coverage.ts';
import type { Read } from '../http/obtain.ts';
import {
  ATTRIBUTION,
  heightM,
  lengthProblem,
  placeOnAxis,
  placeProblem,
  readAxis,
  refusal,
} from './answer-parse.ts';
import { TEMPERATURE_RANGE_C, unitProblem, type Asked, type Axis, type Range } from './answer-parse.ts';
import { VARIABLE_UNITS, VARIABLES, type Variable } from './request.ts';
import { firstIssue, locationWire, type LocationWire } from './wire.ts';

/** Bare ground in the sun is warmer than any air. */
const SOIL_RANGE_C: Range = [-90, 90];
const WIND_RANGE_MPS: Range = [0, 120];
const PERCENT_RANGE: Range = [0, 100];

/**
 * Most of the models that the service joins give every hour for five days and then every three; it fills the hours
 * between and does not say where. Engineering estimate from the models' own steps (NBM is sooner, ICON and IFS alike).
 */
const HOURLY_UNTIL_S = 120 * HOUR_S;
const LATE_STEP_HOURS = 3;

/** A best-match forecast with the steps that it is assumed to be computed at. */
export function withLateSteps(forecast: Forecast, now: EpochSeconds): Forecast {
  const stepAt = (i: number): number =>
    forecast.firstHour + i * HOUR_S > now + HOURLY_UNTIL_S ? LATE_STEP_HOURS : 1;
  const members = forecast.members.map((member) => ({
    ...member,
    stepHours: member.temperatureC.map((_, i) => stepAt(i)),
  }));
  return { ...forecast, members };
}

/** Turns the answer for one place into a forecast of one member, or into the reason why it cannot be used. */
export function parseLocation(value: unknown, asked: Asked): Read<Forecast> {
  const parsed = locationWire.safeParse(value);
  if (!parsed.success) {
    const what = `answered in an unexpected shape (${firstIssue(parsed.error)})`;
    return { ok: false, error: refusal('source-body', asked, what) };
  }
  const wire = parsed.data;
  const missing = wire.hourly.temperature_2m === undefined;
  const error =
    placeProblem(wire, asked) ??
    (missing ? refusal('source-body', asked, 'left out temperature_2m') : null) ??
    lengthProblem(wire.hourly, VARIABLES, asked) ??
    unitProblem(wire, VARIABLE_UNITS, asked);
  if (error !== null) return { ok: false, error };
  const axis = readAxis(wire.hourly.time, asked);
  if (axis instanceof Error) return { ok: false, error: axis };
  const forecast = buildForecast(wire, axis, asked);
  const unusable = coverageProblem(forecast, asked.now);
  return unusable === null ? { ok: true, value: forecast } : { ok: false, error: unusable };
}

function buildForecast(wire: LocationWire, axis: Axis, asked: Asked): Forecast {
  const read = (name: Variable, range: Range): readonly number[] =>
    placeOnAxis(wire.hourly[name] ?? [], axis, range);
  const orNull = (series: readonly number[]): readonly number[] | null =>
    series.every(Number.isNaN) ? null : series;
  const gridElevationM = heightM(wire.elevation);
  return {
    source: asked.source,
    attribution: ATTRIBUTION,
    issuedAt: null,
    fetchedAt: asked.fetchedAt,
    firstHour: axis.firstHour,
    whole: false,
    ...(gridElevationM !== null && { gridElevationM }),
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
