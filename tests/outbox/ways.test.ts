/** Several ways to one reader of which one is enough, with a real mail server in front and a file behind it. */
import { describe, expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY as MEMORY } from '../../src/decision/memory.ts';
import type { Channel, ChannelId } from '../../src/delivery/channel.ts';
import { DeliveryError } from '../../src/errors.ts';
import { deliverDue } from '../../src/outbox/loop.ts';
import { patienceEnds } from '../../src/outbox/schedule.ts';
import type { OutboxEntry } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { emailTo, recordingLog, storeWith, virtualClock } from '../support/outbox.ts';
import { startSmtp, type SmtpStep } from '../support/smtp.ts';

const HOUR = 3600;
const LATER = { at: 'rcpt', code: 451, text: 'come back later' } as const;
const REFUSED = { at: 'rcpt', code: 550, text: 'no such mailbox' } as const;

/** First by mail, then to the console, then to a file. */
function ordered(over: Partial<OutboxEntry> = {}): OutboxEntry {
  const urgent = over.urgent ?? true;
  const useBefore = over.useBefore ?? NOW + 86_400;
  const patience = patienceEnds({ urgent, useBefore }, NOW);
  return entry({ ways: ['console', 'file'], urgent, patienceEnds: patience, ...over });
}

async function scene(script: readonly SmtpStep[], entries: readonly OutboxEntry[] = [ordered()]) {
  const smtp = await startSmtp({ script });
  onTestFinished(() => smtp.close());
  const store = await storeWith(entries);
  const clock = virtualClock();
  const log = recordingLog();
  const shown: string[] = [];
  const written: string[] = [];
  const into = (id: ChannelId, list: string[]): Channel => ({
    id,
    send: async ({ messageId }) => void list.push(messageId),
    close: async () => undefined,
  });
  const channels = new Map([
    ...emailTo(smtp),
    ['console' as const, into('console', shown)],
    ['file' as const, into('file', written)],
  ]);
  const signal = new AbortController().signal;
  const options = { store, channels, now: clock.now, owner: 'this', leaseSeconds: 60, signal, log };
  return { smtp, store, clock, log, shown, written, options };
}

describe('the next way', () => {
  it('is taken at once where the first refuses for good, with the same Message-ID, and no third', async () => {
    const { options, shown, written, store, log } = await scene([REFUSED]);
    expect(await deliverDue(options)).toEqual({ sent: 1, again: 1, failed: 0, expired: 0 });
    expect(shown).toEqual(['<blue.act.ann@drainby.example.org>']);
    expect(written).toEqual([]);
    expect(await store.outboxCounts()).toMatchObject({ sent: 1, failed: 1, waiting: 0 });
    expect(log.lines.map(({ level }) => level)).toEqual(['warn', 'info']);
    expect(await store.undelivered(NOW)).toEqual({ lost: [], unreached: [] });
  });

  it('is taken after half an hour where the first puts off for ever, which goes on trying until one has it', async () => {
    const { options, clock, smtp, shown, store, log } = await scene(Array.from({ length: 20 }, () => LATER));
    options.channels.set('console', failing('console'));
    await deliverDue(options);
    while (clock.now() < NOW + 1799) {
      const next = (await store.nextDueAt(clock.now())) ?? Number.NaN;
      clock.advance(Math.min(NOW + 1799, next) - clock.now());
      await deliverDue(options);
    }
    const before = smtp.connections();
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1, sent: 0 });
    expect(await store.nextDueAt(clock.now())).toBeLessThanOrEqual(NOW + 1800);
    clock.advance(NOW + 1800 - clock.now());
    await deliverDue(options);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 2, sent: 0 });
    expect(log.lines.filter(({ fields }) => fields['next'] === 'console')).toHaveLength(1);

    clock.advance(900);
    await deliverDue(options);
    const after = smtp.connections();
    expect(after).toBeGreaterThan(before);

    options.channels.set('console', recording('console', shown));
    clock.advance(300);
    await deliverDue(options);
    expect(shown).toHaveLength(1);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, sent: 1, superseded: 1 });
    clock.advance(6 * HOUR);
    await deliverDue(options);
    expect(smtp.connections()).toBe(after);
  });

  it('is let go of where the first delivers after all', async () => {
    const { options, clock, smtp, shown, store } = await scene([LATER]);
    options.channels.set('console', failing('console'));
    await deliverDue(options);
    clock.advance(1800);
    expect(await deliverDue(options)).toMatchObject({ sent: 1 });
    expect(smtp.messages).toHaveLength(1);
    clock.advance(HOUR);
    options.channels.set('console', recording('console', shown));
    await deliverDue(options);
    expect(shown).toEqual([]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, sent: 1, superseded: 1 });
  });

  it('is taken where nothing listens for the first, once a third of the time left is gone', async () => {
    const { options, clock, smtp, shown } = await scene([], [ordered({ useBefore: NOW + 1200 })]);
    await smtp.close();
    expect(await deliverDue(options)).toMatchObject({ again: 1 });
    clock.advance(399);
    await deliverDue(options);
    expect(shown).toEqual([]);
    clock.advance(1);
    expect(await deliverDue(options)).toMatchObject({ sent: 1 });
    expect(shown).toHaveLength(1);
  });

  it('is not taken before the first was tried, as when the machine was off', async () => {
    const { options, clock, smtp, shown } = await scene([]);
    clock.advance(2 * HOUR);
    expect(await deliverDue(options)).toMatchObject({ sent: 1 });
    expect([smtp.messages.length, shown.length]).toEqual([1, 0]);
  });

  it('is not taken once the message has become useless', async () => {
    const { options, clock, shown, written } = await scene([LATER], [ordered({ useBefore: NOW + 60 })]);
    await deliverDue(options);
    clock.advance(60);
    expect(await deliverDue(options)).toMatchObject({ expired: 1, sent: 0 });
    expect([...shown, ...written]).toEqual([]);
  });

  it('is not taken for what a newer message has made pointless', async () => {
    const { options, store, shown } = await scene([REFUSED]);
    const claim = { now: NOW, leaseSeconds: 60, owner: 'other', limit: 1 };
    const [held] = (await store.claimDue(claim)).claimed;
    const newer = ordered({
      episode: 'blue-2',
      message: letter({ kind: 'worse', messageId: '<worse@x.example>' }),
    });
    await store.commitRound(
      { id: 'two', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 },
      [{ unit: 'red', expectedVersion: 0, memory: MEMORY, outbox: [newer] }],
    );
    const failed = { outcome: 'failed', error: 'no such mailbox' } as const;
    await store.settle({ rowId: held!.rowId, owner: 'other', attempt: 1, settlement: failed, now: NOW });
    await deliverDue(options);
    expect(shown).toEqual(['<worse@x.example>']);
  });
});

it('once all ways have refused it, it has reached nobody; a mended address starts again from the first', async () => {
  const { options, store, log, smtp } = await scene([REFUSED]);
  options.channels.set('console', refusing('console'));
  options.channels.set('file', refusing('file'));
  expect(await deliverDue(options)).toEqual({ sent: 0, again: 2, failed: 1, expired: 0 });
  expect(log.lines.map(({ level }) => level)).toEqual(['warn', 'warn', 'error']);
  expect(await store.undelivered(NOW + 60)).toEqual({
    lost: [{ unit: 'blue', count: 1 }],
    unreached: [
      {
        unit: 'blue',
        person: 'ann',
        kind: 'act',
        action: 'drain',
        episode: 'blue-1',
        at: NOW,
        error: 'delivery-refused: file says no',
        trying: false,
        manager: false,
      },
    ],
  });
  const mended = letter({ to: { id: 'ann', name: 'Ann Example', email: 'ann.example@example.org' } });
  const units = await store.readUnits();
  const commit = { unit: 'blue', expectedVersion: units.get('blue')?.version ?? 0, memory: MEMORY };
  const round = { startedAt: NOW + 60, finishedAt: NOW + 60, placesWithForecast: 1, placesWithout: 0 };
  await store.commitRound({ id: 'two', ...round }, [{ ...commit, outbox: [ordered({ message: mended })] }]);
  expect(await deliverDue({ ...options, now: () => NOW + 60 })).toMatchObject({ sent: 1 });
  expect(smtp.messages.map(({ to }) => to.join())).toEqual(['ann.example@example.org']);
  expect(await store.undelivered(NOW + 60)).toEqual({ lost: [], unreached: [] });
});

it('a round that would begin with another way now tells nobody twice', async () => {
  const { options, store, shown } = await scene([]);
  await deliverDue(options);
  const again = ordered({ channel: 'console', ways: ['email'] });
  const round = { id: 'two', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 };
  const { version } = (await store.readUnits()).get('blue') ?? { version: 0 };
  const commit = { unit: 'blue', expectedVersion: version, memory: MEMORY, outbox: [again] };
  expect((await store.commitRound(round, [commit])).enqueued).toBe(0);
  await deliverDue(options);
  expect(shown).toEqual([]);
});

function recording(id: ChannelId, list: string[]): Channel {
  return { id, send: async ({ messageId }) => void list.push(messageId), close: async () => undefined };
}

function failing(id: ChannelId): Channel {
  return failsWith(id, new DeliveryError('delivery-unreachable', `${id} is away`, { retryable: true }));
}

function refusing(id: ChannelId): Channel {
  return failsWith(id, new DeliveryError('delivery-refused', `${id} says no`, {}));
}

function failsWith(id: ChannelId, error: DeliveryError): Channel {
  return { id, send: () => Promise.reject(error), close: async () => undefined };
}
