import { HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { single, type RawAnswer } from './failure.ts';
import type { Shelved } from './shelf.ts';

type Headers = RawAnswer['headers'];

/**
 * Until when an answer need not be asked for again [epoch s]. What the headers say counts between two bounds: `Expires`
 * is measured against the service's own `Date`, so that a clock that is off does not matter.
 */
export function freshUntil(
  headers: Headers,
  now: EpochSeconds,
  bounds: { readonly leastFreshS: number; readonly mostFreshS: number },
): EpochSeconds {
  const told = Math.min(bounds.mostFreshS, lifetimeS(headers, now) ?? 0);
  return now + Math.max(bounds.leastFreshS, told);
}

/** RFC 9111, section 4.2.1: `max-age` goes before `Expires`; less the `Age` it has on arrival. */
function lifetimeS(headers: Headers, now: EpochSeconds): number | null {
  const control = single(headers['cache-control']) ?? '';
  if (/\bno-(cache|store)\b/i.test(control)) return null;
  const maxAge = /(?:^|[\s,])max-age="?(\d+)/i.exec(control)?.[1];
  const age = Number(single(headers['age']) ?? 0) || 0;
  if (maxAge !== undefined) return Number(maxAge) - age;
  const expires = httpDate(headers['expires']);
  return expires === null ? null : expires - (httpDate(headers['date']) ?? now);
}

function httpDate(value: string | string[] | undefined): EpochSeconds | null {
  const ms = Date.parse(single(value) ?? '');
  return Number.isNaN(ms) ? null : ms / 1000;
}

/** An answer from after now was kept before the clock was set back, and may be of any age. */
export function isFresh({ fetchedAt, expiresAt }: Shelved, now: EpochSeconds): boolean {
  return expiresAt !== null && fetchedAt <= now && now < expiresAt;
}

/** Clocks differ, and services round the time of issue up. */
const MOST_AHEAD_S = HOUR_S;

/** Whether an instant that ought to lie behind us is yet to come: then a clock is or was wrong, and nobody knows an age. */
export function isAhead(instant: EpochSeconds, now: EpochSeconds): boolean {
  return instant - now > MOST_AHEAD_S;
}
