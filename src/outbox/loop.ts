import type { Channel, ChannelId } from '../delivery/channel.ts';
import { CHANNELS } from '../delivery/channel.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { ClaimedMessage, Store } from '../store/store.ts';
import { attempt } from './attempt.ts';
import type { AttemptContext } from './attempt.ts';
import type { Log } from './log.ts';
import { NOTHING_DONE, counted, logAttempt, logLapsed, logLost, logOvertaken, sum } from './report.ts';
import type { DeliveryReport } from './report.ts';

export interface DeliveryOptions {
  readonly store: Pick<Store, 'claimDue' | 'settle'>;
  readonly channels: ReadonlyMap<ChannelId, Channel>;
  readonly now: () => EpochSeconds;
  /** Names this process among those that share the database. */
  readonly owner: string;
  readonly leaseSeconds: number;
  /** Aborted: no further message is taken up; the ones in hand have `graceMs` to end. */
  readonly signal: AbortSignal;
  readonly log: Log;
  readonly graceMs?: number;
  /** In [0, 1), spreads the attempts; default: not spread. */
  readonly jitter?: () => number;
}

/** How many messages of a channel may be on their way at once. A channel waits for no other. */
const WORKERS: Readonly<Record<ChannelId, number>> = {
  text: 2,
  email: 4,
  webhook: 4,
  mqtt: 1,
  file: 1,
  console: 1,
};

const GRACE_MS = 5000;

/** The share of the lease that sending may take; the rest is for settling. */
const SENDING_SHARE = 0.8;

/**
 * Sends what is due, most urgent first, until nothing is due. Each message is claimed, sent and settled before
 * its worker takes the next; it is marked sent only after the channel took it over.
 *
 * @throws {StoreError} once all messages in hand have ended.
 */
export async function deliverDue(options: DeliveryOptions): Promise<DeliveryReport> {
  const grace = graceAfter(options.signal, options.graceMs ?? GRACE_MS);
  try {
    const lanes = CHANNELS.flatMap((id) => Array.from({ length: WORKERS[id] }, () => id));
    const ended = await Promise.allSettled(lanes.map((id) => work(id, options, grace.signal)));
    return ended.map(reportOrThrow).reduce(sum, NOTHING_DONE);
  } finally {
    grace.end();
  }
}

function reportOrThrow(ended: PromiseSettledResult<DeliveryReport>): DeliveryReport {
  if (ended.status === 'rejected') throw ended.reason;
  return ended.value;
}

async function work(id: ChannelId, options: DeliveryOptions, hardStop: AbortSignal): Promise<DeliveryReport> {
  const context = attemptContext(options, hardStop);
  let report = NOTHING_DONE;
  while (!options.signal.aborted) {
    const { claimed, expired, overtaken } = await claimOne(id, options);
    logOvertaken(options.log, overtaken);
    logLost(options.log, expired);
    report = sum(report, { ...NOTHING_DONE, expired: expired.length });
    const [message] = claimed;
    if (message === undefined) break;
    report = sum(report, await sendAndSettle(message, options, context));
  }
  return report;
}

function claimOne(id: ChannelId, { store, now, leaseSeconds, owner }: DeliveryOptions) {
  return store.claimDue({ now: now(), leaseSeconds, owner, limit: 1, channels: [id] });
}

async function sendAndSettle(
  claimed: ClaimedMessage,
  { store, owner, now, log }: DeliveryOptions,
  context: AttemptContext,
): Promise<DeliveryReport> {
  const result = await attempt(claimed, context);
  logAttempt(log, claimed, result);
  const { rowId, attempt: number } = claimed;
  const ours = await store.settle({
    rowId,
    owner,
    attempt: number,
    settlement: result.settlement,
    now: now(),
  });
  if (!ours) logLapsed(log, claimed);
  return counted(result.settlement.outcome);
}

function attemptContext(options: DeliveryOptions, hardStop: AbortSignal): AttemptContext {
  return {
    channels: options.channels,
    now: options.now,
    jitter: options.jitter ?? (() => 0.5),
    longestMs: Math.max(1, Math.floor(options.leaseSeconds * 1000 * SENDING_SHARE)),
    signal: hardStop,
  };
}

/** A signal that follows another one after a while. */
function graceAfter(signal: AbortSignal, graceMs: number): { readonly signal: AbortSignal; end(): void } {
  const hard = new AbortController();
  let timer: NodeJS.Timeout | undefined;
  const onAbort = (): void => {
    timer = setTimeout(() => {
      hard.abort();
    }, graceMs);
  };
  signal.addEventListener('abort', onAbort, { once: true });
  if (signal.aborted) onAbort();
  return {
    signal: hard.signal,
    end() {
      clearTimeout(timer);
      signal.removeEventListener('abort', onAbort);
    },
  };
}
