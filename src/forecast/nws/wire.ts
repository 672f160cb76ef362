import { z } from 'zod';

/** The service's answers as far as they are read; each layer, alert and station by itself. */

const quantityWire = z.looseObject({ value: z.number().nullable(), unitCode: z.string() });

export const pointWire = z.looseObject({
  properties: z.looseObject({
    gridId: z.string().regex(/^[A-Z0-9]{3}$/),
    gridX: z.int().nonnegative(),
    gridY: z.int().nonnegative(),
  }),
});

export const layerWire = z.looseObject({
  uom: z.string().optional(),
  values: z.array(z.looseObject({ validTime: z.string(), value: z.number().nullable() })),
});

export type LayerWire = z.infer<typeof layerWire>;

export const gridWire = z.looseObject({
  geometry: z.unknown(),
  properties: z.looseObject({
    updateTime: z.string(),
    elevation: z.unknown(),
    temperature: layerWire,
    minTemperature: z.unknown(),
    windSpeed: z.unknown(),
    skyCover: z.unknown(),
  }),
});

export type GridWire = z.infer<typeof gridWire>;

export const elevationWire = quantityWire;

export const polygonWire = z.looseObject({
  type: z.literal('Polygon'),
  coordinates: z.tuple([z.array(z.tuple([z.number(), z.number()], z.number())).min(4)], z.unknown()),
});

export const hourlyWire = z.looseObject({
  properties: z.looseObject({ periods: z.array(z.unknown()) }),
});

export const periodWire = z.looseObject({
  startTime: z.string(),
  temperature: z.union([z.number(), quantityWire]),
  temperatureUnit: z.string().optional(),
});

export const collectionWire = z.looseObject({ features: z.array(z.unknown()) });

export const alertWire = z.looseObject({
  properties: z.looseObject({
    id: z.string(),
    event: z.string(),
    status: z.string(),
    messageType: z.string(),
    urgency: z.string().optional(),
    sent: z.string(),
    onset: z.string().nullish(),
    expires: z.string(),
    ends: z.string().nullish(),
    senderName: z.string().optional(),
    headline: z.string().nullish(),
    references: z.array(z.looseObject({ identifier: z.string() })).optional(),
    parameters: z.looseObject({ VTEC: z.array(z.string()).optional() }).optional(),
  }),
});

export type AlertWire = z.infer<typeof alertWire>['properties'];

export const stationWire = z.looseObject({
  geometry: z.looseObject({ coordinates: z.tuple([z.number(), z.number()], z.number()) }),
  properties: z.looseObject({ stationIdentifier: z.string().regex(/^\w{1,20}$/) }),
});

export const observationWire = z.looseObject({
  properties: z.looseObject({
    timestamp: z.string(),
    temperature: z.looseObject({
      value: z.number().nullable(),
      unitCode: z.string(),
      qualityControl: z.string().optional(),
    }),
  }),
});

/** The error body of every failure that the service itself reports (RFC 7807). */
export const problemWire = z.looseObject({ type: z.string(), title: z.string(), detail: z.string() });

/** The first mistake zod found, as `properties.temperature.values.3: rule`. */
export function firstIssue(error: z.ZodError): string {
  const issue = error.issues[0];
  if (issue === undefined) return 'it does not have the expected shape';
  return `${issue.path.map(String).join('.') || 'answer'}: ${issue.message}`;
}
