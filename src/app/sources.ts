/** From the config's sources to clients of the services. */
import { Agent } from 'undici';
import type { Config, OpenMeteoConfig, SourceConfig } from '../config/config.ts';
import { fileSource } from '../forecast/file/client.ts';
import type { OfferedSource } from '../forecast/gather.ts';
import type { Allowance } from '../forecast/http/policy.ts';
import type { ServiceOptions } from '../forecast/http/service.ts';
import type { Shelf } from '../forecast/http/shelf.ts';
import { metNorwaySource } from '../forecast/met-norway/client.ts';
import { nwsSource } from '../forecast/nws/client.ts';
import { openMeteoArchive, type AskPast } from '../forecast/open-meteo/archive.ts';
import { openMeteoSource } from '../forecast/open-meteo/client.ts';
import type { OpenMeteoOptions } from '../forecast/open-meteo/options.ts';
import { openMeteoPreviousRuns } from '../forecast/open-meteo/previous-runs.ts';
import type { ForecastSource } from '../forecast/source.ts';
import { userAgent } from './version.ts';

export interface Sources {
  readonly offered: readonly OfferedSource[];
  /** By source: what it knows of the past; those that know nothing are absent. */
  readonly past: ReadonlyMap<string, PastServices>;
  close(): Promise<void>;
}

export interface PastServices {
  /** What the weather was. */
  readonly archive: AskPast;
  /** What was forecast of it; null: it is not asked. */
  readonly previousRuns: AskPast | null;
}

export interface SourcesOf {
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly shelf: Shelf;
  readonly patience?: Patience | undefined;
}

/** How long services are waited for, and how much of an answer is taken; absent: what suits real ones. */
export type Patience = Pick<ServiceOptions, 'timeouts' | 'maxBodyBytes' | 'random' | 'sleep'>;

export function openSources(config: Config, of: SourcesOf): Sources {
  const dispatcher = new Agent({ connections: 1, pipelining: 1 });
  const wire = { dispatcher, userAgent: userAgent(), shelf: of.shelf, ...of.patience };
  const open = (source: SourceConfig): OfferedSource => ({
    source: client(source, config, { ...of, ...wire }),
    staleAfterHours: source.staleAfterHours,
    service: source.kind === 'file' ? null : source.kind,
  });
  const past = config.weather.sources.flatMap((source) => {
    const services = source.kind === 'open-meteo' ? pastServices(source, { ...of, ...wire }) : null;
    return services === null ? [] : [[source.id, services] as const];
  });
  return {
    offered: config.weather.sources.map(open),
    past: new Map(past),
    close: () => dispatcher.destroy(),
  };
}

type Wire = Pick<OpenMeteoOptions, 'dispatcher' | 'userAgent' | 'shelf'> & Patience & SourcesOf;

function client(source: SourceConfig, { weather }: Config, wire: Wire): ForecastSource {
  const { horizonHours, contact } = weather;
  switch (source.kind) {
    case 'file':
      return fileSource(source);
    case 'nws':
      return nwsSource({
        ...source,
        ...wire,
        userAgent: `${wire.userAgent} (${contact ?? 'no contact given'})`,
      });
    case 'met-norway':
      return metNorwaySource({ ...source, ...wire, contact });
    case 'open-meteo':
      return openMeteoSource({ ...openMeteoAccess(source, wire), horizonHours });
  }
}

/** Earlier forecasts are of no use without the weather that came. */
function pastServices(source: OpenMeteoConfig, wire: Wire): PastServices | null {
  const { archiveUrl, previousRunsUrl } = source;
  if (archiveUrl === null) return null;
  const access = openMeteoAccess(source, wire);
  return {
    archive: openMeteoArchive({ ...access, archiveBaseUrl: archiveUrl }),
    previousRuns:
      previousRunsUrl === null
        ? null
        : openMeteoPreviousRuns({ ...access, previousRunsBaseUrl: previousRunsUrl }),
  };
}

/** A server of one's own sets no terms: it is asked at every round, and as often as it takes. */
function openMeteoAccess(source: OpenMeteoConfig, wire: Wire): Omit<OpenMeteoOptions, 'horizonHours'> {
  const apiKey = keyOf(source, wire.env);
  const { id, baseUrl, ensembleUrl, ensembles, staleAfterHours, isPublic } = source;
  return {
    ...wire,
    id,
    baseUrl,
    ensembleBaseUrl: ensembleUrl,
    ensembles,
    staleAfterHours,
    apiKey,
    ...allowanceOf(source),
    ...(isPublic ? { steps: 'best-match' as const } : { leastFreshS: 0, heights: 'of-place' as const }),
  };
}

function keyOf({ apiKeyEnv }: OpenMeteoConfig, env: SourcesOf['env']): string | null {
  const key = apiKeyEnv === null ? undefined : env[apiKeyEnv]?.trim();
  return key === undefined || key === '' ? null : key;
}

/** Absent: that of the public service, which hangs on the key. */
function allowanceOf({ callsPerDay, isPublic }: OpenMeteoConfig): { allowance?: Allowance | null } {
  if (callsPerDay !== null) return { allowance: { day: callsPerDay } };
  return isPublic ? {} : { allowance: null };
}
