import type { SourceError } from '../../errors.ts';
import type { EpochSeconds } from '../../quantity/instant.ts';
import type { SourceAnswer } from '../source.ts';
import type { Failure } from './failure.ts';
import type { Ask, Service } from './service.ts';

/** A body that was read, or why it cannot be used. */
export type Read<T> =
  { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: SourceError };

export type Obtained<T> =
  | {
      readonly ok: true;
      readonly value: T;
      /** When the service last said that this is its answer. */
      readonly fetchedAt: EpochSeconds;
      /** Why this is the last good answer and not a new one; null: it is new. */
      readonly keptSince: SourceError | null;
      /** What the service did instead of answering; none: it answered, also where that could not be used. */
      readonly failure?: Failure | null;
      readonly remarks: readonly string[];
    }
  | {
      readonly ok: false;
      readonly error: SourceError;
      /** Null: an answer came, and could not be used. */
      readonly failure: Failure | null;
    };

type Reader<T> = (value: unknown, fetchedAt: EpochSeconds) => Read<T>;

/**
 * Asks, reads and keeps. Where the service fails, or what it answers cannot be used, the last good answer stands in,
 * and says so.
 */
export async function obtain<T>(service: Service, ask: Ask, read: Reader<T>): Promise<Obtained<T>> {
  const fetched = await service.ask(ask);
  if (!fetched.ok) return lastGood(service, { ask, read, failure: fetched.failure }, fetched.failure.error);
  const answer = read(fetched.value, fetched.fetchedAt);
  if (answer.ok) {
    await fetched.keep();
    const { fetchedAt, remarks } = fetched;
    return { ok: true, value: answer.value, fetchedAt, keptSince: null, remarks };
  }
  // What lay on the shelf may have been good when it was put there, and has run out since.
  if (!fetched.fresh && ask.anew !== true) return obtain(service, { ...ask, anew: true }, read);
  return lastGood(service, { ask, read, failure: null }, answer.error);
}

/** The last good answer in place of what went wrong, or that. */
export async function lastGood<T>(
  service: Service,
  { ask, read, failure }: { readonly ask: Ask; readonly read: Reader<T>; readonly failure: Failure | null },
  error: SourceError,
): Promise<Obtained<T>> {
  const held = await service.shelved(ask.url, ask.now);
  const kept = held === null ? null : read(held.value, held.fetchedAt);
  if (held === null || kept === null || !kept.ok) return { ok: false, error, failure };
  return { ok: true, value: kept.value, fetchedAt: held.fetchedAt, keptSince: error, failure, remarks: [] };
}

/** As `obtain`, for a service that answers a point in one body. */
export async function answerOf(
  service: Service,
  ask: Ask,
  read: (value: unknown, fetchedAt: EpochSeconds) => SourceAnswer,
): Promise<SourceAnswer> {
  const found = await obtain(service, ask, (value, fetchedAt) => {
    const answer = read(value, fetchedAt);
    return answer.ok ? { ok: true, value: answer } : answer;
  });
  if (!found.ok) return { ok: false, error: found.error };
  const remarks = [...(found.value.remarks ?? []), ...found.remarks];
  return {
    ...found.value,
    ...(found.keptSince !== null && { keptSince: found.keptSince }),
    ...(remarks.length > 0 && { remarks }),
  };
}
