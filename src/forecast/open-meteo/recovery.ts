import type { Failure } from './failure.ts';

/** What one fetch may still spend on recovering. Every try counts against the service's quota. */
export interface Allowance {
  readonly retries: number;
  readonly splits: number;
}

/** Two tries more, and enough halvings to find two bad points among a hundred. */
export const FULL_ALLOWANCE: Allowance = { retries: 2, splits: 14 };

/** `stop`: ask nothing more. `split`: ask for each half. `again`: the same once more. `give-up`: next batch. */
export type Recovery = 'stop' | 'split' | 'again' | 'give-up';

/** What to do after a failed request for `points` points. */
export function recovery(failure: Failure, points: number, left: Allowance): Recovery {
  if (failure.scope === 'service') return 'stop';
  const divisible = failure.scope === 'content' && points > 1 && left.splits > 0;
  // A body that is no JSON stays so when asked for again: one point without data spoils the whole text.
  if (divisible && failure.error.code === 'source-body') return 'split';
  const mayRepeat = failure.error.retryable && failure.error.retryAfterS === null && left.retries > 0;
  if (mayRepeat) return 'again';
  return divisible ? 'split' : 'give-up';
}

/** Milliseconds to wait before a further try: 1 s, then 2 s, each spread by half so that clients do not march in step. */
export function backoffMs(retriesLeft: number, random: () => number): number {
  const attempt = FULL_ALLOWANCE.retries - retriesLeft;
  return 1000 * 2 ** attempt * (0.5 + random());
}
