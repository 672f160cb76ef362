import { z } from 'zod';
import { broken, environmentName, httpUrl, id, path, quantity } from './field.ts';

const OpenMeteoSchema = z.strictObject({
  id: id().describe('Name by which places refer to this source.'),
  kind: z
    .literal('open-meteo')
    .describe('The forecast service Open-Meteo, or a server that answers like it.'),
  baseUrl: httpUrl()
    .default('https://api.open-meteo.com')
    .describe('Address of the service, without a path, unless you run your own.'),
  apiKeyEnv: environmentName()
    .optional()
    .describe('Name of the environment variable that may hold your key for the service.'),
  staleAfter: quantity('duration', { from: '1 h', to: '7 d' })
    .prefault('12 h')
    .describe('Age of the last good answer after which it is no longer used.'),
});

const FileSchema = z.strictObject({
  id: id().describe('Name by which places refer to this source.'),
  kind: z.literal('file').describe('Your own series of hourly weather, CSV or JSON.'),
  path: path().describe('The series file, relative to this file.'),
  staleAfter: quantity('duration', { from: '1 h' })
    .optional()
    .describe('Age after which the series is no longer used; without it, no limit.'),
});

const SourceSchema = z.discriminatedUnion('kind', [OpenMeteoSchema, FileSchema]);

const odd = broken('must be an odd whole number from 11 to 401');

const GrowingErrorSchema = z.strictObject({
  kind: z.literal('growing').describe('The forecast is off by more the further ahead it looks.'),
  atStart: quantity('temperatureDifference', { from: '0 K', to: '10 K' })
    .prefault('1 K')
    .describe('Standard deviation of the error for the present hour.'),
  perDay: quantity('temperatureDifference', { from: '0 K', to: '5 K' })
    .prefault('0.3 K')
    .describe('What each day ahead adds to it.'),
  members: z
    .number({ error: odd })
    .multipleOf(1, { error: odd })
    .min(11, { error: odd })
    .max(401, { error: odd })
    .refine((count) => count % 2 === 1, { error: odd })
    .default(51)
    .describe('How many courses of the weather are tried; an odd number.'),
});

const ErrorModelSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('none').describe('The forecast is taken as it is.') }),
  GrowingErrorSchema,
]);

export const DEFAULT_HORIZON = '16 d';

export const WeatherSchema = z
  .strictObject({
    horizon: quantity('duration', { from: '1 d', to: '16 d' })
      .prefault(DEFAULT_HORIZON)
      .describe('How far ahead forecasts are asked for and used.'),
    sources: z
      .array(SourceSchema)
      .min(1, { error: 'must name at least one source, found an empty list' })
      .prefault([{ id: 'open-meteo', kind: 'open-meteo', apiKeyEnv: 'OPEN_METEO_KEY' }])
      .describe('Where forecasts come from; the first usable one wins.'),
    errorModel: ErrorModelSchema.prefault({ kind: 'growing' }).describe(
      'How far a single forecast may be off.',
    ),
  })
  .prefault({})
  .describe('Where forecasts come from and how far they are trusted.');
