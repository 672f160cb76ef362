/** How instants and numbers stand in an answer. */
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';

export function instant(at: EpochSeconds | null): string | null {
  return at === null ? null : isoSecond(at);
}

/** Six decimals: beyond that digits depend on the order of sums. */
export function rounded(value: number | null): number | null {
  return value === null ? null : Math.round(value * 1e6) / 1e6 + 0;
}
