import { describe, expect, it, onTestFinished } from 'vitest';
import type { Channel, ChannelId } from '../../src/delivery/channel.ts';
import { StoreError } from '../../src/errors.ts';
import { runOutbox } from '../../src/outbox/run.ts';
import type { OutboxOptions, RunningOutbox } from '../../src/outbox/run.ts';
import { entry, letter } from '../support/letter.ts';
import { addMessages, recordingLog, storeWith } from '../support/outbox.ts';

const now = (): number => Date.now() / 1000;

/** A channel that remembers, and tells of each message when it comes. */
function inbox(): { channels: ReadonlyMap<ChannelId, Channel>; next: () => Promise<string> } {
  const stream = new TransformStream<string, string>(undefined, undefined, { highWaterMark: 100 });
  const writer = stream.writable.getWriter();
  const reader = stream.readable.getReader();
  const send: Channel['send'] = ({ subject }) => writer.write(subject);
  return {
    channels: new Map([['console', { id: 'console', send, close: async () => undefined }]]),
    next: async () => (await reader.read()).value ?? '',
  };
}

function start(options: Pick<OutboxOptions, 'store' | 'channels'> & Partial<OutboxOptions>): {
  outbox: RunningOutbox;
  stop: AbortController;
} {
  const stop = new AbortController();
  const outbox = runOutbox({
    now,
    owner: 'this',
    leaseSeconds: 60,
    log: recordingLog(),
    signal: stop.signal,
    ...options,
  });
  onTestFinished(async () => {
    stop.abort();
    await outbox.finished;
  });
  return { outbox, stop };
}

function told(subject: string, inSeconds = 0) {
  const dueAt = now() + inSeconds;
  return entry({
    episode: subject,
    channel: 'console',
    notBefore: dueAt,
    useBefore: dueAt + 3600,
    message: letter({ subject }),
  });
}

describe('the running outbox', () => {
  it('sends what waits when it starts, what a round adds when it is woken, and reports at its end', async () => {
    const store = await storeWith([told('first')]);
    const { channels, next } = inbox();
    const { outbox, stop } = start({ store, channels });
    expect(await next()).toBe('first');
    await addMessages(store, [told('second')]);
    outbox.wake();
    expect(await next()).toBe('second');
    stop.abort();
    expect(await outbox.finished).toEqual({ sent: 2, again: 0, failed: 0, expired: 0 });
    expect(await store.outboxCounts()).toMatchObject({ sent: 2, waiting: 0 });
  });

  it('sends a message at its time without being woken', async () => {
    const message = told('later', 1);
    const store = await storeWith([message]);
    const { channels, next } = inbox();
    start({ store, channels });
    expect(await next()).toBe('later');
    expect(now()).toBeGreaterThanOrEqual(message.notBefore);
  });

  it('says that the database failed once, does not try in a hot loop, and goes on when it is back', async () => {
    const store = await storeWith([told('waiting')]);
    const { channels, next } = inbox();
    const log = recordingLog();
    let away = true;
    let calls = 0;
    const flaky: OutboxOptions['store'] = {
      ...store,
      async claimDue(command) {
        calls += 1;
        if (away) throw new StoreError('store-locked', 'The database is locked.');
        return await store.claimDue(command);
      },
    };
    const { outbox } = start({ store: flaky, channels, log });
    const callsPerPass = await quiet(() => calls);
    outbox.wake();
    expect(await quiet(() => calls)).toBe(2 * callsPerPass);
    expect(log.lines).toMatchObject([{ level: 'error', fields: { error: 'The database is locked.' } }]);
    away = false;
    outbox.wake();
    expect(await next()).toBe('waiting');
  });

  it('ends at once when there is nothing in hand', async () => {
    const store = await storeWith([]);
    const { outbox, stop } = start({ store, channels: new Map() });
    stop.abort();
    expect(await outbox.finished).toEqual({ sent: 0, again: 0, failed: 0, expired: 0 });
  });
});

/** The count once it has stayed the same for fifty turns of the event loop. */
async function quiet(count: () => number): Promise<number> {
  let last = -1;
  for (let same = 0; same < 50 || last === 0; same += 1) {
    if (count() !== last) same = 0;
    last = count();
    await new Promise(setImmediate);
  }
  return last;
}
