import { HOUR_S } from '../quantity/instant.ts';
import type { ErrorModel, OpenMeteoConfig, SourceConfig, WeatherConfig } from './config.ts';
import type { Origin } from './origin.ts';
import type { ParsedConfig } from './schema.ts';

type ParsedWeather = ParsedConfig['weather'];
type ParsedSource = ParsedWeather['sources'][number];

/** The public service's hosts, with and without a key. */
const PUBLIC_HOST = /^https:\/\/(?:customer-)?api\.open-meteo\.com$/u;

const PUBLIC = { nws: 'https://api.weather.gov', 'met-norway': 'https://api.met.no' } as const;

/**
 * Night minima come out about 1 to 2 K too warm (ECMWF Forecast User Guide). Whoever runs a server of their own is taken
 * to have corrected what it says.
 */
function nightBiasOf(isPublic: boolean): number {
  return isPublic ? 1 : 0;
}

/** Two of the longest and best kept: 51 members of the European centre's, 31 of the US service's. */
const USUAL_ENSEMBLES = ['ecmwf_ifs025_ensemble', 'ncep_gefs_seamless'];

export function deriveWeather(weather: ParsedWeather, origin: Origin): WeatherConfig {
  return {
    horizonHours: weather.horizon / HOUR_S,
    sources: weather.sources.map((source) => deriveSource(source, weather, origin)),
    contact: weather.contact ?? null,
    compare: weather.compare,
    learn: weather.learn,
    errorModel: deriveErrorModel(weather.errorModel),
  };
}

function deriveSource(source: ParsedSource, weather: ParsedWeather, origin: Origin): SourceConfig {
  if (source.kind === 'file') {
    const staleAfterHours = source.staleAfter === undefined ? null : source.staleAfter / HOUR_S;
    return { id: source.id, kind: 'file', path: origin.resolvePath(source.path), staleAfterHours };
  }
  if (source.kind === 'open-meteo') return deriveOpenMeteo(source, weather);
  const { id, kind, staleAfter } = source;
  const baseUrl = withoutSlash(source.baseUrl);
  const nightBiasK = weather.nightBias ?? nightBiasOf(PUBLIC[kind] === baseUrl);
  return { id, kind, baseUrl, nightBiasK, staleAfterHours: staleAfter / HOUR_S };
}

/** A server of one's own may know the forecast only: of anything else it is asked no more than the file says. */
function deriveOpenMeteo(
  source: Extract<ParsedSource, { kind: 'open-meteo' }>,
  weather: ParsedWeather,
): OpenMeteoConfig {
  const baseUrl = withoutSlash(source.baseUrl);
  const isPublic = PUBLIC_HOST.test(baseUrl);
  const sibling = (name: string): string | null =>
    isPublic ? baseUrl.replace('api.open-meteo.com', `${name}.open-meteo.com`) : null;
  return {
    id: source.id,
    kind: source.kind,
    baseUrl,
    isPublic,
    nightBiasK: weather.nightBias ?? nightBiasOf(isPublic),
    apiKeyEnv: source.apiKeyEnv ?? null,
    staleAfterHours: source.staleAfter / HOUR_S,
    ensembles: source.ensembles ?? (isPublic ? USUAL_ENSEMBLES : []),
    ensembleUrl: withoutSlash(source.ensembleUrl ?? sibling('ensemble-api') ?? baseUrl),
    archiveUrl: orNull(source.archiveUrl) ?? sibling('archive-api'),
    previousRunsUrl: orNull(source.previousRunsUrl) ?? sibling('previous-runs-api'),
    callsPerDay: source.callsPerDay ?? null,
  };
}

function orNull(url: string | undefined): string | null {
  return url === undefined ? null : withoutSlash(url);
}

function withoutSlash(url: string): string {
  return url.replace(/\/+$/u, '');
}

function deriveErrorModel(model: ParsedWeather['errorModel']): ErrorModel {
  if (model.kind === 'none') return { kind: 'none' };
  return { kind: 'growing', atStartK: model.atStart, perDayK: model.perDay, members: model.members };
}
