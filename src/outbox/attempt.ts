import type { Channel, ChannelId } from '../delivery/channel.ts';
import { DeliveryError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { Settlement } from '../store/store.ts';
import { messageOf, type Gather, type Parcel } from './parcel.ts';
import { retryDelay, unsureDelay } from './schedule.ts';

export interface AttemptContext {
  readonly channels: ReadonlyMap<ChannelId, Channel>;
  readonly gather?: Gather | undefined;
  readonly now: () => EpochSeconds;
  /** In [0, 1). */
  readonly jitter: () => number;
  /** No attempt goes on longer: its claim would lapse, and another process would send the same message. */
  readonly longestMs: number;
  /** Aborted when the program cannot wait any longer. */
  readonly signal: AbortSignal;
}

export interface AttemptResult {
  /** Of all members that were not late. */
  readonly settlement: Settlement;
  /** What went wrong; null: it was sent, or too late. */
  readonly error: DeliveryError | null;
}

/** Sends what was claimed as one message and says how it ended. Never rejects for what a channel does. */
export async function attempt(parcel: Parcel, context: AttemptContext): Promise<AttemptResult> {
  try {
    const message = messageOf(parcel, context.gather);
    if (message === null) return { settlement: { outcome: 'expired' }, error: null };
    await send(parcel.channel, message, context);
    return { settlement: { outcome: 'sent' }, error: null };
  } catch (error) {
    const failure = asDeliveryError(error, parcel.channel);
    return { settlement: afterFailure(failure, parcel, context), error: failure };
  }
}

async function send(id: ChannelId, message: OutgoingMessage, context: AttemptContext): Promise<void> {
  const channel = context.channels.get(id);
  if (channel === undefined) throw notConfigured(id);
  const stop = stopAfter(context.signal, context.longestMs);
  try {
    await Promise.race([channel.send(message, stop.signal), stop.reached]);
  } finally {
    stop.end();
  }
}

/** A channel that heeds the signal says within this time how far it had come. */
const LAST_WORD_MS = 200;

interface Stop {
  readonly signal: AbortSignal;
  /** Rejects soon after the signal aborts: a channel that does not heed it is left behind. */
  readonly reached: Promise<never>;
  end(): void;
}

function stopAfter(outer: AbortSignal, longestMs: number): Stop {
  const controller = new AbortController();
  const { promise: reached, reject } = withReject();
  let lastWord: NodeJS.Timeout | undefined;
  const stop = (): void => {
    controller.abort();
    lastWord ??= setTimeout(() => reject(unanswered()), LAST_WORD_MS);
  };
  const timer = setTimeout(stop, longestMs);
  outer.addEventListener('abort', stop, { once: true });
  if (outer.aborted) stop();
  return {
    signal: controller.signal,
    reached,
    end() {
      clearTimeout(timer);
      clearTimeout(lastWord);
      outer.removeEventListener('abort', stop);
    },
  };
}

function withReject(): { readonly promise: Promise<never>; readonly reject: (error: Error) => void } {
  let reject: (error: Error) => void = () => undefined;
  const promise = new Promise<never>((_resolve, fail) => {
    reject = fail;
  });
  return { promise, reject };
}

/** An attempt that we broke off ourselves is nobody's fault: the next process may try at once, though not for ever. */
function afterFailure(
  failure: DeliveryError,
  parcel: Parcel,
  { now, jitter, signal }: AttemptContext,
): Settlement {
  const error = describe(failure);
  if (failure.code === 'delivery-unsure') {
    const wait = unsureDelay(parcel.unsureAttempts + 1, jitter());
    if (wait === null) return { outcome: 'failed', error, unsure: true };
    return { outcome: 'again', nextTryAt: now() + (signal.aborted ? 0 : wait), error, unsure: true };
  }
  if (signal.aborted) return { outcome: 'again', nextTryAt: now(), error };
  if (!failure.retryable) return { outcome: 'failed', error };
  const wait = Math.max(retryDelay(parcel.attempt, jitter()), failure.retryAfterS ?? 0);
  return { outcome: 'again', nextTryAt: now() + wait, error };
}

function describe(error: DeliveryError): string {
  return `${error.code}: ${error.message}`;
}

function notConfigured(id: ChannelId): DeliveryError {
  return new DeliveryError('delivery-config', `There is no ${id} channel in the configuration any more.`, {
    retryable: true,
    hint: `Put delivery.${id} back, or let the message run out of time.`,
  });
}

function unanswered(): DeliveryError {
  return new DeliveryError('delivery-unreachable', 'The message was not taken over in time.', {
    retryable: true,
  });
}

/** What a channel did not foresee may pass, so it is tried again and shows in the log. */
function asDeliveryError(error: unknown, id: ChannelId): DeliveryError {
  if (error instanceof DeliveryError) return error;
  const reason = error instanceof Error ? error.message : String(error);
  return new DeliveryError('delivery-unreachable', `The ${id} channel failed: ${reason}`, {
    retryable: true,
    cause: error,
  });
}
