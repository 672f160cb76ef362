import { z } from 'zod';

/** One value per hour; the service writes `null` for what it does not know. */
const seriesWire = z.array(z.number().nullable());

/** The service's answer for one location, as far as it is read. */
export const locationWire = z.looseObject({
  /** Of the grid cell, not of the point asked for. */
  latitude: z.number().nullable(),
  longitude: z.number().nullable(),
  /** Left out for the first location. */
  location_id: z.int().optional(),
  hourly_units: z.record(z.string(), z.string()),
  hourly: z.looseObject({
    time: z.union([z.array(z.number()), z.array(z.string())]),
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

/** The service's error object; it comes with an error status, and by way of a proxy with any. */
export const errorWire = z.looseObject({ error: z.literal(true), reason: z.string() });

/** The first mistake zod found, as `hourly.temperature_2m.3: rule`. */
export function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0];
  if (issue === undefined) return 'it does not have the expected shape';
  return `${issue.path.map(String).join('.') || 'answer'}: ${issue.message}`;
}
