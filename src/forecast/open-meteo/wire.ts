import { z } from 'zod';

/** One value per hour; the service writes `null` for what it does not know. */
const seriesWire = z.array(z.number().nullable());

const timesWire = z.union([z.array(z.number()), z.array(z.string())]);

/** What every answer about one place has in common, as far as it is read. */
const placeShape = {
  /** Of the grid cell, not of the point asked for. */
  latitude: z.number().nullable(),
  longitude: z.number().nullable(),
  /** What the temperatures are for [m]; left out or odd where the service does not know. */
  elevation: z.number().nullish().catch(null),
  hourly_units: z.record(z.string(), z.string()),
};

export const locationWire = z.looseObject({
  ...placeShape,
  hourly: z.looseObject({
    time: timesWire,
    temperature_2m: seriesWire.optional(),
    dew_point_2m: seriesWire.optional(),
    wind_speed_10m: seriesWire.optional(),
    wind_gusts_10m: seriesWire.optional(),
    cloud_cover: seriesWire.optional(),
    precipitation: seriesWire.optional(),
    snow_depth: seriesWire.optional(),
    soil_temperature_0cm: seriesWire.optional(),
  }),
});

export type LocationWire = z.infer<typeof locationWire>;

/** An answer whose series are found by the pattern of their names: members, lead days. */
export const namedSeriesWire = z.looseObject({
  ...placeShape,
  hourly: z.object({ time: timesWire }).catchall(seriesWire),
});

/** Left out for the first location of several. */
export const orderWire = z.looseObject({ location_id: z.int().optional() });

/** Heights in the order of the points asked for [m]. */
export const elevationWire = z.looseObject({ elevation: z.array(z.number().nullable()) });

/** How new a model is: instants in epoch seconds. */
export const metaWire = z.looseObject({
  last_run_initialisation_time: z.number(),
  last_run_availability_time: z.number(),
  temporal_resolution_seconds: z.number().optional(),
});

/** The service's error object. */
export const errorWire = z.looseObject({ error: z.literal(true), reason: z.string() });

/** The first mistake zod found, as `hourly.temperature_2m.3: rule`. */
export function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0];
  if (issue === undefined) return 'it does not have the expected shape';
  return `${issue.path.map(String).join('.') || 'answer'}: ${issue.message}`;
}
