import type { Channel, ChannelId } from '../delivery/channel.ts';
import { CHANNELS } from '../delivery/channel.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { ClaimedMessage, Settlement, Store } from '../store/store.ts';
import { attempt } from './attempt.ts';
import type { AttemptContext } from './attempt.ts';
import type { Log } from './log.ts';
import { parcelOf, type Gather, type Parcel } from './parcel.ts';
import {
  NOTHING_DONE,
  counted,
  logAttempt,
  logLapsed,
  logLost,
  logOvertaken,
  logPassedOn,
  logUnreadable,
  logUnrenewed,
  sum,
} from './report.ts';
import type { DeliveryReport } from './report.ts';
import { claimTimes, patienceEnds } from './schedule.ts';

export interface DeliveryOptions {
  readonly store: Pick<Store, 'claimDue' | 'settle' | 'renew'>;
  readonly channels: ReadonlyMap<ChannelId, Channel>;
  readonly now: () => EpochSeconds;
  /** Names this process among those that share the database. */
  readonly owner: string;
  /** The longest that an attempt may take. */
  readonly leaseSeconds: number;
  /** Aborted: no further message is taken up; the ones in hand have `graceMs` to end. */
  readonly signal: AbortSignal;
  readonly log: Log;
  /** Makes one message of those that may go together; absent: each goes by itself. */
  readonly gather?: Gather;
  /** Called when messages were lost. */
  readonly onLost?: () => void;
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
    let report = NOTHING_DONE;
    // What one channel hands on to another may come when that one's workers have gone home.
    for (let handedOn = true; handedOn;) {
      const pass = await everyChannel(options, grace.signal);
      report = sum(report, pass.report);
      handedOn = pass.handedOn && !options.signal.aborted;
    }
    if (report.failed + report.expired > 0) options.onLost?.();
    return report;
  } finally {
    grace.end();
  }
}

interface Work {
  readonly report: DeliveryReport;
  /** Something was put in the outbox for another channel. */
  readonly handedOn: boolean;
}

async function everyChannel(options: DeliveryOptions, hardStop: AbortSignal): Promise<Work> {
  const lanes = CHANNELS.flatMap((id) => Array.from({ length: WORKERS[id] }, () => id));
  const ended = await Promise.allSettled(lanes.map((id) => work(id, options, hardStop)));
  const done = ended.map(workOrThrow);
  return {
    report: done.map(({ report }) => report).reduce(sum, NOTHING_DONE),
    handedOn: done.some(({ handedOn }) => handedOn),
  };
}

function workOrThrow(ended: PromiseSettledResult<Work>): Work {
  if (ended.status === 'rejected') throw ended.reason;
  return ended.value;
}

async function work(id: ChannelId, options: DeliveryOptions, hardStop: AbortSignal): Promise<Work> {
  const context = attemptContext(options, hardStop);
  let done: Work = { report: NOTHING_DONE, handedOn: false };
  while (!options.signal.aborted) {
    const { claimed, expired, overtaken, passedOn, unreadable } = await claimOne(id, options);
    logOvertaken(options.log, overtaken);
    logLost(options.log, expired);
    logPassedOn(options.log, passedOn);
    logUnreadable(options.log, unreadable);
    done = plus(done, {
      report: { ...NOTHING_DONE, expired: expired.length, failed: unreadable.length },
      handedOn: passedOn.length > 0,
    });
    const parcel = parcelOf(claimed, options.now());
    if (parcel === null) break;
    done = plus(done, await sendAndSettle(parcel, options, context));
  }
  return done;
}

function plus(a: Work, b: Work): Work {
  return { report: sum(a.report, b.report), handedOn: a.handedOn || b.handedOn };
}

function claimOne(id: ChannelId, { store, now, leaseSeconds, owner, gather }: DeliveryOptions) {
  return store.claimDue({
    now: now(),
    leaseSeconds: claimTimes(leaseSeconds).holds,
    owner,
    limit: 1,
    channels: [id],
    together: gather !== undefined,
    patienceOf: patienceEnds,
  });
}

async function sendAndSettle(
  parcel: Parcel,
  options: DeliveryOptions,
  context: AttemptContext,
): Promise<Work> {
  const { log, store, owner } = options;
  const holding = hold(parcel, options);
  const result = await attempt(parcel, context);
  await holding.end();
  logAttempt(log, parcel, result);
  const settled = (members: readonly ClaimedMessage[], settlement: Settlement) =>
    members.map(({ rowId, attempt: number }) => {
      const now = options.now();
      return { rowId, attempt: number, settlement, owner, now, patienceOf: patienceEnds };
    });
  const { late, members } = parcel;
  const ours = await store.settle(
    ...settled(late, { outcome: 'expired' }),
    ...settled(members, result.settlement),
  );
  if (!ours) logLapsed(log, parcel);
  const { outcome } = result.settlement;
  const handedOn = outcome === 'failed' && members.some(({ ways }) => ways.length > 0);
  const isLost = members.some(({ ways }) => ways.length === 0);
  const report = members.length === 0 ? NOTHING_DONE : counted(handedOn && !isLost ? 'again' : outcome);
  return { report: sum(report, { ...NOTHING_DONE, expired: late.length }), handedOn };
}

/** Keeps the claims for as long as the message is on its way: they hold for a minute only, in case this process dies. */
function hold({ members, late }: Parcel, { store, owner, now, leaseSeconds, log }: DeliveryOptions) {
  const { holds, renewEvery } = claimTimes(leaseSeconds);
  const rowIds = [...members, ...late].map(({ rowId }) => rowId);
  let renewing: Promise<void> = Promise.resolve();
  const renew = async (): Promise<void> => {
    try {
      await store.renew({ rowIds, owner, leaseSeconds: holds, now: now() });
    } catch (error) {
      logUnrenewed(log, error);
    }
  };
  const timer = setInterval(() => {
    renewing = renewing.then(renew);
  }, renewEvery * 1000);
  return {
    async end(): Promise<void> {
      clearInterval(timer);
      await renewing;
    },
  };
}

function attemptContext(options: DeliveryOptions, hardStop: AbortSignal): AttemptContext {
  return {
    channels: options.channels,
    gather: options.gather,
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
