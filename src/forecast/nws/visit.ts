import type { EpochSeconds } from '../../quantity/instant.ts';
import type { Failure } from '../http/failure.ts';
import { lastGood, obtain, type Obtained, type Read } from '../http/obtain.ts';
import type { Service, ServiceOptions } from '../http/service.ts';

type Wire = Pick<
  ServiceOptions,
  'id' | 'dispatcher' | 'userAgent' | 'shelf' | 'timeouts' | 'maxBodyBytes' | 'random' | 'sleep'
>;

/** Its user agent names the program and a contact; without one the service answers 403. */
export interface NwsOptions extends Wire {
  readonly baseUrl: string;
  /**
   * A forecast issued longer ago is asked for anew, unconditionally, and not used; null: no limit. Caches of the service
   * were seen to answer with forecasts that were days old.
   */
  readonly staleAfterHours: number | null;
}

/** One fetch, over all its places. */
export interface Visit {
  readonly options: NwsOptions;
  readonly service: Service;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
  readonly health: Health;
}

export interface Health {
  /** Requests in a row to which nobody answered. */
  unanswered: number;
  /** Why the service is asked nothing more in this fetch. */
  outage: Failure | null;
}

/** So many requests in a row without an answer, each with its tries, and the next are spared. */
const UNANSWERED_BEFORE_OUTAGE = 3;

export interface Wish<T> {
  /** Below the base address, with its query. */
  readonly path: string;
  readonly leastFreshS: number;
  readonly tries?: number;
  readonly anew?: boolean;
  readonly read: (value: unknown, fetchedAt: EpochSeconds) => Read<T>;
}

export function addressOf(path: string, { options }: Visit): URL {
  return new URL(`${options.baseUrl.replace(/\/+$/, '')}/${path}`);
}

/**
 * Asks, reads and keeps, as `obtain`. Once the service is out or refuses us, the last good answers stand in for the
 * places that remain, and nothing is asked.
 */
export async function wish<T>({ path, read, ...how }: Wish<T>, visit: Visit): Promise<Obtained<T>> {
  const { service, now, signal, health } = visit;
  const url = addressOf(path, visit);
  const ask = { url, now, signal, ...how };
  const { outage } = health;
  if (outage !== null && (await service.shelved(url, now))?.fresh !== true) {
    return lastGood(service, { ask, read, failure: outage }, outage.error);
  }
  const found = await obtain(service, ask, read);
  if (found.failure) note(found.failure, health);
  // What was still fresh on the shelf says nothing about the service.
  else if (!found.ok || found.keptSince !== null || found.fetchedAt === now) health.unanswered = 0;
  return found;
}

function note(failure: Failure, health: Health): void {
  const { scope, status } = failure;
  const unanswered = status === null || status === 502 || status === 504;
  health.unanswered = unanswered ? health.unanswered + 1 : 0;
  if (scope === 'service' || health.unanswered >= UNANSWERED_BEFORE_OUTAGE) health.outage = failure;
}
