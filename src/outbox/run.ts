import type { EpochSeconds } from '../quantity/instant.ts';
import type { Store } from '../store/store.ts';
import { deliverDue } from './loop.ts';
import type { DeliveryOptions } from './loop.ts';
import { NOTHING_DONE, sum } from './report.ts';
import type { DeliveryReport } from './report.ts';

export interface OutboxOptions extends DeliveryOptions {
  readonly store: Pick<Store, 'claimDue' | 'settle' | 'renew' | 'nextDueAt'>;
}

export interface RunningOutbox {
  /** Looks for messages now: a round has put some in. */
  wake(): void;
  /** Resolves after `signal` was aborted and the messages in hand have ended. Never rejects. */
  readonly finished: Promise<DeliveryReport>;
}

/** Looks at least this often: another process may have put messages in, and a computer may have slept. */
const LONGEST_WAIT_S = 60;

/** Not sooner: a message of a channel that this program does not know is always due. */
const SHORTEST_WAIT_S = 1;

/** After a failure of the database: soon enough for a message, too slow for a hot loop. */
const AFTER_FAILURE_S = 10;

/** Delivers for as long as the program runs: when woken, when a message falls due, and when one runs out of time. */
export function runOutbox(options: OutboxOptions): RunningOutbox {
  const bell = createBell();
  options.signal.addEventListener('abort', bell.ring, { once: true });
  return { wake: bell.ring, finished: deliverUntilAborted(options, bell) };
}

async function deliverUntilAborted(options: OutboxOptions, bell: Bell): Promise<DeliveryReport> {
  let report = NOTHING_DONE;
  let lastFailure: string | null = null;
  while (!options.signal.aborted) {
    bell.hush();
    const pass = await deliverOnce(options);
    report = sum(report, pass.report);
    if (pass.failure !== null && pass.failure !== lastFailure) {
      options.log.error({ error: pass.failure }, 'The outbox cannot be worked on; it is tried again.');
    }
    lastFailure = pass.failure;
    await bell.heard(pass.waitS * 1000);
  }
  return report;
}

interface Pass {
  readonly report: DeliveryReport;
  readonly failure: string | null;
  readonly waitS: number;
}

async function deliverOnce(options: OutboxOptions): Promise<Pass> {
  try {
    const report = await deliverDue(options);
    const now = options.now();
    return { report, failure: null, waitS: waitSeconds(await options.store.nextDueAt(now), now) };
  } catch (error) {
    const failure = error instanceof Error ? error.message : String(error);
    return { report: NOTHING_DONE, failure, waitS: AFTER_FAILURE_S };
  }
}

function waitSeconds(dueAt: EpochSeconds | null, now: EpochSeconds): number {
  return dueAt === null ? LONGEST_WAIT_S : Math.min(LONGEST_WAIT_S, Math.max(SHORTEST_WAIT_S, dueAt - now));
}

interface Bell {
  readonly ring: () => void;
  /** Forgets earlier rings. */
  readonly hush: () => void;
  /** Resolves at once when it rang since the last hush, else at the next ring or after the wait. */
  readonly heard: (waitMs: number) => Promise<void>;
}

function createBell(): Bell {
  let rung = false;
  let onRing: (() => void) | null = null;
  return {
    ring: () => {
      rung = true;
      onRing?.();
    },
    hush: () => {
      rung = false;
    },
    heard: (waitMs) =>
      new Promise((resolve) => {
        const done = (): void => {
          clearTimeout(timer);
          onRing = null;
          resolve();
        };
        const timer = setTimeout(done, rung ? 0 : waitMs);
        onRing = done;
      }),
  };
}
