import { setTimeout as delay } from 'node:timers/promises';
import { SourceError } from '../../errors.ts';
import { HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { answerOf } from '../http/obtain.ts';
import type { ServicePolicy } from '../http/policy.ts';
import { openService, type Service, type ServiceOptions } from '../http/service.ts';
import type { ForecastSource, Point, SourceAnswer } from '../source.ts';
import { readForecast } from './parse.ts';
import { patient } from './patience.ts';
import { forecastUrl } from './request.ts';

export interface MetNorwayOptions extends Omit<ServiceOptions, 'policy' | 'secret' | 'headers'> {
  readonly baseUrl: string;
  /** A mail address or a web page of whoever runs this program: the service's terms ask for it. */
  readonly contact: string | null;
}

const POLICY: ServicePolicy = {
  leastFreshS: HOUR_S / 2,
  // The service says half an hour; a header that says a day would hide what is coming.
  mostFreshS: 6 * HOUR_S,
  followsRedirects: true,
  // Its terms allow 20 requests a second for all users of a program together.
  allowance: { minute: 300 },
  tries: 3,
  limitedWaitS: HOUR_S / 2,
  leastLimitedWaitS: HOUR_S / 2,
  // A new config is a new source, so this only bounds how long a mistake of the service's own is believed.
  refusedRestS: 6 * HOUR_S,
  refusedHint:
    'Check the contact that is sent to the service, which must be real, and the terms at https://api.met.no/doc/TermsOfService.',
  passing: (status) => status === 499,
};

/** Between two requests, so that many places do not come at once. */
const PAUSE_MS = 100;

/** MET Norway's Locationforecast 2.0, or a service that answers like it, at `baseUrl`. One request a place. */
export function metNorwaySource(options: MetNorwayOptions): ForecastSource {
  const contact = options.contact?.trim() ?? '';
  const userAgent = `${options.userAgent} ${contact}`;
  const service = openService({ ...options, userAgent, policy: POLICY });
  return {
    id: options.id,
    fetch: async (points, now, signal) => {
      signal.throwIfAborted();
      if (isContact(contact)) return fetchAll(points, { service, options, now, signal });
      const error = unnamed(options.id);
      return new Map(points.map((point) => [point.id, { ok: false, error }]));
    },
  };
}

/** What a header can carry, and nobody would take for a name. */
function isContact(text: string): boolean {
  return /^[\x21-\x7e]*[@.][\x21-\x7e]+$/.test(text);
}

function unnamed(source: string): SourceError {
  const text = `The source "${source}" is not asked: MET Norway serves nobody who does not say how to be reached.`;
  const hint = 'Set weather.contact in the config to your mail address or web page.';
  return new SourceError('source-refused', text, { hint });
}

interface Visit {
  readonly service: Service;
  readonly options: MetNorwayOptions;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

async function fetchAll(points: readonly Point[], visit: Visit): Promise<ReadonlyMap<string, SourceAnswer>> {
  const { options, now, signal } = visit;
  const answers = new Map<string, SourceAnswer>();
  const service = patient(visit.service, () => pause(visit));
  for (const point of points) {
    const url = forecastUrl(options.baseUrl, point);
    const read = (value: unknown, fetchedAt: EpochSeconds): SourceAnswer =>
      readForecast(value, { point, source: options.id, now, fetchedAt });
    answers.set(point.id, await answerOf(service, { url, now, signal }, read));
  }
  return answers;
}

async function pause({ options, signal }: Visit): Promise<void> {
  const sleep = options.sleep ?? ((ms, stop) => delay(ms, undefined, { signal: stop }));
  await sleep(PAUSE_MS * (0.5 + (options.random ?? Math.random)()), signal);
  signal.throwIfAborted();
}
