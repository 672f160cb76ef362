import { z } from 'zod';

/** The service leaves out what it does not know; a proxy may write null for it. */
const value = z.number().nullish();

/** The variables that are read, with the unit each must come in. */
export const UNITS = {
  air_temperature: 'celsius',
  air_temperature_percentile_10: 'celsius',
  air_temperature_percentile_90: 'celsius',
  air_temperature_min: 'celsius',
  wind_speed: 'm/s',
  cloud_area_fraction: '%',
} as const;

export type Variable = keyof typeof UNITS;

const unit = z.string().optional();

const instantWire = z.object({
  air_temperature: value,
  air_temperature_percentile_10: value,
  air_temperature_percentile_90: value,
  wind_speed: value,
  cloud_area_fraction: value,
});

const stepWire = z.object({
  time: z.string(),
  data: z.object({
    instant: z.object({ details: instantWire.optional() }),
    next_6_hours: z.object({ details: z.object({ air_temperature_min: value }).optional() }).nullish(),
  }),
});

/** Locationforecast 2.0, `complete` or `compact`, as far as it is read. */
export const forecastWire = z.object({
  type: z.literal('Feature'),
  /** Longitude, latitude, and the height [m] of the ground that the temperatures are for. */
  geometry: z.object({
    type: z.literal('Point'),
    coordinates: z.tuple([z.number(), z.number()]).rest(z.number().nullable()),
  }),
  properties: z.object({
    meta: z.object({
      updated_at: z.string(),
      units: z.object({
        air_temperature: unit,
        air_temperature_percentile_10: unit,
        air_temperature_percentile_90: unit,
        air_temperature_min: unit,
        wind_speed: unit,
        cloud_area_fraction: unit,
      }),
    }),
    timeseries: z.array(stepWire),
  }),
});

export type ForecastWire = z.infer<typeof forecastWire>;
export type StepWire = z.infer<typeof stepWire>;
