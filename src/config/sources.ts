import { z } from 'zod';
import { broken, environmentName, httpUrl, id, path, quantity, wholeNumberFrom } from './field.ts';

const sourceId = () => id().describe('Name by which places refer to this source.');

const staleAfter = (usual = '12 h') =>
  quantity('duration', { from: '1 h', to: '7 d' })
    .prefault(usual)
    .describe('Age of the last good answer after which it is no longer used.');

const modelRule = broken('must be the name of an ensemble model such as "ecmwf_ifs025_ensemble"');

const OpenMeteoSchema = z.strictObject({
  id: sourceId(),
  kind: z
    .literal('open-meteo')
    .describe('The forecast service Open-Meteo, or a server that answers like it.'),
  baseUrl: httpUrl()
    .default('https://api.open-meteo.com')
    .describe('Address of the service, without a path, unless you run your own.'),
  apiKeyEnv: environmentName()
    .optional()
    .describe('Name of the environment variable that may hold your key for the service.'),
  staleAfter: staleAfter(),
  ensembles: z
    .array(z.string({ error: modelRule }).regex(/^[a-z][a-z0-9_]{2,60}$/, { error: modelRule }))
    .max(6, { error: 'must name at most six models' })
    .optional()
    .describe(
      'Ensemble models whose members are pooled with the forecast; without it, two at the public service and none at one of your own.',
    ),
  ensembleUrl: httpUrl().optional().describe('Address of its ensembles; without it, the public one.'),
  archiveUrl: httpUrl().optional().describe('Address of its archive, for scores.'),
  previousRunsUrl: httpUrl().optional().describe('Address of its earlier forecasts, for scores.'),
  callsPerDay: wholeNumberFrom(1, 100_000_000)
    .optional()
    .describe(
      'Weighted calls a day that may be spent on it; without it, 10000 at the public service without a key, else no limit.',
    ),
});

const NwsSchema = z.strictObject({
  id: sourceId(),
  kind: z
    .literal('nws')
    .describe('The US National Weather Service; places in the United States and its territories.'),
  baseUrl: httpUrl().default('https://api.weather.gov').describe('Address of the service, without a path.'),
  staleAfter: staleAfter(),
});

const MetNorwaySchema = z.strictObject({
  id: sourceId(),
  kind: z.literal('met-norway').describe('Locationforecast of MET Norway, for places anywhere.'),
  baseUrl: httpUrl().default('https://api.met.no').describe('Address of the service, without a path.'),
  // Outside the Nordic countries it is renewed four times a day, and was seen ten hours old when served.
  staleAfter: staleAfter('18 h'),
});

const FileSchema = z.strictObject({
  id: sourceId(),
  kind: z.literal('file').describe('Your own series of hourly weather, CSV or JSON.'),
  path: path().describe('The series file, relative to this file.'),
  staleAfter: quantity('duration', { from: '1 h' })
    .optional()
    .describe('Age after which the series is no longer used; without it, no limit.'),
});

export const SourceSchema = z.discriminatedUnion('kind', [
  OpenMeteoSchema,
  NwsSchema,
  MetNorwaySchema,
  FileSchema,
]);
