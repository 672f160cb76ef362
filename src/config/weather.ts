import { z } from 'zod';
import { broken, quantity } from './field.ts';
import { SourceSchema } from './sources.ts';

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

/** It goes into a header, which holds nothing but ASCII. */
const contactRule = broken(
  'must be an e-mail address or a web address at which the services can reach you, such as "ann@example.org"',
);

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
    contact: z
      .string({ error: contactRule })
      .max(200, { error: contactRule })
      .regex(/^[\x21-\x7e]+$/, { error: contactRule })
      .regex(/^([^@<>()]+@[^@<>()]+\.[^@<>()]+|https?:\/\/[^<>()@]+\.[^<>()@]+)$/, { error: contactRule })
      .optional()
      .describe('How the services can reach you; nws and met-norway require it of everyone who asks.'),
    nightBias: quantity('temperatureDifference', { from: '0 K', to: '5 K' })
      .optional()
      .describe(
        'How much too warm the forecasts of services are on clear calm nights, until readings tell; without it, 1 K for public services and 0 K for a server of your own.',
      ),
    compare: z
      .boolean()
      .default(true)
      .describe(
        'Whether the other services that a place names are asked, too, and said where they disagree.',
      ),
    learn: z.boolean().default(true).describe('Whether readings correct the forecasts of their place.'),
    errorModel: ErrorModelSchema.prefault({ kind: 'growing' }).describe(
      'How far a single forecast may be off.',
    ),
  })
  .prefault({})
  .describe('Where forecasts come from and how far they are trusted.');
