import { z } from 'zod';
import { isCronExpression } from './cron.ts';
import { DeliverySchema } from './delivery.ts';
import { DisplaySchema } from './display.ts';
import { broken, httpUrl, path } from './field.ts';
import { HeartbeatSchema } from './heartbeat.ts';
import { PeopleSchema } from './people.ts';
import { PlacesSchema } from './places.ts';
import { PolicySchema } from './policy.ts';
import { ReadingsSchema } from './readings.ts';
import { UnitsSchema } from './units.ts';
import { WeatherSchema } from './weather.ts';

const cronRule = broken('must be a cron expression of five fields such as "17 * * * *"');
const listenRule = broken('must be an address and a port such as "127.0.0.1:8787"');

/** `host:port`, with the port within its range. */
function isListenAddress(text: string): boolean {
  const match = /^(?:[A-Za-z0-9._-]+|\[[0-9A-Fa-f:]+\]):(\d{1,5})$/u.exec(text);
  const port = Number(match?.[1] ?? 0);
  return port >= 1 && port <= 65_535;
}

const WebSchema = z.strictObject({
  listen: z
    .string({ error: listenRule })
    .refine(isListenAddress, { error: listenRule })
    .describe('Address and port that POST /readings and GET /health are served on.'),
  publicUrl: httpUrl()
    .regex(/^[^?#]*$/u, { error: 'must end with its host, port or path: "/a/" and a token follow it' })
    .optional()
    .describe(
      'Address under which people reach the pages; without it and with a `listen` that only this machine reaches, messages offer no links.',
    ),
});

/** The whole file. Quantities come out in base units (`field.ts`); `derive.ts` makes the `Config` of it. */
export const ConfigSchema = z.strictObject({
  display: DisplaySchema,
  weather: WeatherSchema,
  places: PlacesSchema,
  units: UnitsSchema,
  people: PeopleSchema,
  delivery: DeliverySchema,
  policy: PolicySchema,
  schedule: z
    .string({ error: cronRule })
    .refine(isCronExpression, { error: cronRule })
    .default('17 * * * *')
    .describe('When a round starts: a cron expression of five fields, in UTC.'),
  store: z
    .strictObject({
      path: path().default('./drainby.db').describe('The database file, relative to this file.'),
    })
    .prefault({})
    .describe('Where drainby remembers what it said and heard.'),
  readings: ReadingsSchema,
  heartbeat: HeartbeatSchema.optional(),
  web: WebSchema.optional().describe(
    'Where readings are taken in over HTTP, and where the links in messages lead.',
  ),
});

export type ParsedConfig = z.output<typeof ConfigSchema>;
export type ParsedUnit = ParsedConfig['units'][number];
