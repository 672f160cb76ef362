import type { EpochSeconds } from '../quantity/instant.ts';

export interface RateOptions {
  readonly perMinute: number;
  readonly now: () => EpochSeconds;
}

/** So many addresses in a minute are no household any more; those beyond wait for the next one. */
const MOST_ADDRESSES = 10_000;

/** Whether an address may ask once more in this minute of the clock. */
export function rateLimit({ perMinute, now }: RateOptions): (address: string) => boolean {
  let minute = Number.NaN;
  let asked = new Map<string, number>();
  return (address) => {
    const current = Math.floor(now() / 60);
    if (current !== minute) {
      minute = current;
      asked = new Map();
    }
    const before = asked.get(address) ?? 0;
    if (before >= perMinute || (before === 0 && asked.size >= MOST_ADDRESSES)) return false;
    asked.set(address, before + 1);
    return true;
  };
}
