import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Allowance } from './policy.ts';
import type { Spent } from './shelf.ts';

const PERIODS = [
  ['day', DAY_S],
  ['hour', HOUR_S],
  ['minute', 60],
] as const;

/** The longest period in which `weight` more calls would be too many, and the seconds until the next; null: none. */
export function overspent(
  { allowance, spent, weight }: { allowance: Allowance | null; spent: Spent; weight: number },
  now: EpochSeconds,
): { readonly period: 'day' | 'hour' | 'minute'; readonly waitS: number } | null {
  for (const [period, seconds] of PERIODS) {
    const allowed = allowance?.[period] ?? Number.POSITIVE_INFINITY;
    if (spent[period] + weight > allowed) return { period, waitS: untilNext(seconds, now) };
  }
  return null;
}

/** Seconds until the next full `period` of UTC: services start their counts anew there. */
export function untilNext(period: number, now: EpochSeconds): number {
  return Math.ceil((Math.floor(now / period) + 1) * period - now);
}
