import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import type { Allowance } from './policy.ts';
import type { Spent } from './shelf.ts';

const PERIODS = [
  ['day', DAY_S],
  ['hour', HOUR_S],
  ['minute', 60],
] as const;

export interface Spending {
  readonly allowance: Allowance | null;
  readonly spent: Spent;
  readonly weight: number;
  /** Of the day's and the hour's calls, that this kind of question may bring the count to; absent: all. */
  readonly share?: number;
}

/** The longest period in which `weight` more calls would be too many, and the seconds until the next; null: none. */
export function overspent(
  { allowance, spent, weight, share = 1 }: Spending,
  now: EpochSeconds,
): { readonly period: 'day' | 'hour' | 'minute'; readonly waitS: number } | null {
  for (const [period, seconds] of PERIODS) {
    const part = period === 'minute' ? 1 : share;
    const allowed = part * (allowance?.[period] ?? Number.POSITIVE_INFINITY);
    if (spent[period] + weight > allowed) return { period, waitS: untilNext(seconds, now) };
  }
  return null;
}

/** Seconds until the next full `period` of UTC: services start their counts anew there. */
export function untilNext(period: number, now: EpochSeconds): number {
  return Math.ceil((Math.floor(now / period) + 1) * period - now);
}
