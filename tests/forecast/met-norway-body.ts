/** Bodies of Locationforecast 2.0 `complete`, made to the shape of recordings/met-norway/complete-percentiles-2022-08.json. */
import type { Point } from '../../src/forecast/source.ts';
import { isoSecond, parseInstant } from '../../src/quantity/instant.ts';

export const NOW = parseInstant('2026-01-10T08:30:00Z')!;
/** The hour of now, where the service begins its series. */
export const START = parseInstant('2026-01-10T08:00:00Z')!;
const UPDATED = '2026-01-10T07:41:37Z';

/** In Colorado, outside the service's own region. */
export const CREEK: Point = { id: 'creek', latitude: 39.61, longitude: -106.05, elevationM: 2760 };

export interface BodyStep {
  time: string;
  data: {
    instant: { details?: Record<string, unknown> };
    next_1_hours?: unknown;
    next_6_hours?: { summary: { symbol_code: string }; details?: Record<string, unknown> };
    next_12_hours?: unknown;
  };
}

export interface Body {
  type: string;
  geometry: { type: string; coordinates: unknown[] };
  properties: { meta: { updated_at: string; units: Record<string, unknown> }; timeseries: BodyStep[] };
}

export interface BodyOptions {
  readonly point?: Point;
  readonly startEpochS?: number;
  /** Entries an hour apart, then entries six hours apart. */
  readonly hourly?: number;
  readonly coarse?: number;
  /** By the hour from the start. */
  readonly temperatureC?: (hour: number) => number;
  readonly percentiles?: boolean;
  /** Last change before it is written. */
  readonly edit?: (body: Body) => void;
}

const PLAIN_UNITS = {
  air_pressure_at_sea_level: 'hPa',
  air_temperature: 'celsius',
  air_temperature_max: 'celsius',
  air_temperature_min: 'celsius',
  cloud_area_fraction: '%',
  dew_point_temperature: 'celsius',
  precipitation_amount: 'mm',
  relative_humidity: '%',
  wind_from_direction: 'degrees',
  wind_speed: 'm/s',
};

export function metNorwayBody(options: BodyOptions = {}): Body {
  const { point = CREEK, startEpochS = START, hourly = 65, coarse = 28, percentiles = false } = options;
  const hours = Array.from({ length: hourly + coarse }, (_, i) =>
    i < hourly ? i : hourly - 1 + 6 * (i - hourly + 1),
  );
  const unit = percentiles
    ? { air_temperature_percentile_10: 'celsius', air_temperature_percentile_90: 'celsius' }
    : {};
  const body: Body = {
    type: 'Feature',
    geometry: { type: 'Point', coordinates: [point.longitude, point.latitude, 2800] },
    properties: {
      meta: { updated_at: UPDATED, units: { ...PLAIN_UNITS, ...unit } },
      timeseries: hours.map((hour, i) =>
        step(hour, { ...options, startEpochS, after: hours.length - 1 - i, coarse }),
      ),
    },
  };
  options.edit?.(body);
  return body;
}

interface StepOptions extends BodyOptions {
  readonly startEpochS: number;
  /** Entries that follow. */
  readonly after: number;
  readonly coarse: number;
}

function step(hour: number, options: StepOptions): BodyStep {
  const course = options.temperatureC ?? (() => -5);
  const summary = { symbol_code: 'clearsky_night' };
  const lowest = Math.min(...[1, 2, 3, 4, 5, 6].map((k) => course(hour + k)));
  return {
    time: isoSecond(options.startEpochS + hour * 3600),
    data: {
      instant: {
        details: {
          air_pressure_at_sea_level: 1016.5,
          air_temperature: course(hour),
          ...(options.percentiles === true && {
            air_temperature_percentile_10: course(hour) - 2,
            air_temperature_percentile_90: course(hour) + 1,
          }),
          cloud_area_fraction: 12.5,
          dew_point_temperature: course(hour) - 2,
          relative_humidity: 66.5,
          wind_from_direction: 37,
          wind_speed: 2.5,
        },
      },
      ...(options.after > 1 && { next_12_hours: { summary, details: {} } }),
      ...(options.after > options.coarse && {
        next_1_hours: { summary, details: { precipitation_amount: 0 } },
      }),
      ...(options.after > 0 && {
        next_6_hours: {
          summary,
          // Where both kinds of steps meet, the service gives none.
          details: {
            ...((options.after <= options.coarse || options.after > options.coarse + 5) && {
              air_temperature_max: course(hour) + 3,
              air_temperature_min: lowest,
            }),
            precipitation_amount: 0,
          },
        },
      }),
    },
  };
}
