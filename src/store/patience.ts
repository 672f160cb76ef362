import { setTimeout as sleep } from 'node:timers/promises';
import { isBusy } from './failure.ts';

export interface Patience {
  /** How long to go on trying for a lock that another process holds; asked before each pause. */
  readonly waitMs: () => number;
  /** In [0, 1): spreads the attempts of processes that wait for the same lock. */
  readonly random: () => number;
}

const FIRST_PAUSE_MS = 10;
const LONGEST_PAUSE_MS = 250;

/**
 * Tries again while the database is locked, with growing pauses that leave the event loop free; SQLite's own
 * busy timeout would stop the whole program. `operation` must leave nothing behind when it fails.
 */
export async function whileBusy<T>(operation: () => Promise<T>, patience: Patience): Promise<T> {
  const started = performance.now();
  for (let attempt = 0; ; attempt += 1) {
    try {
      return await operation();
    } catch (error) {
      if (!isBusy(error) || performance.now() - started >= patience.waitMs()) throw error;
      await sleep(pauseMs(attempt, patience.random()));
    }
  }
}

/** Doubles up to a quarter of a second; between half and the whole of it. */
function pauseMs(attempt: number, random: number): number {
  const full = Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** Math.min(attempt, 10));
  return full * (0.5 + 0.5 * random);
}
