import { once } from 'node:events';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { Channel, ChannelId } from '../../src/delivery/channel.ts';
import { DeliveryError } from '../../src/errors.ts';
import { deliverDue } from '../../src/outbox/loop.ts';
import type { DeliveryOptions } from '../../src/outbox/loop.ts';
import type { Store } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { emailTo, recordingLog, storeWith, virtualClock } from '../support/outbox.ts';
import { startSmtp } from '../support/smtp.ts';
import type { SmtpOptions, SmtpServer } from '../support/smtp.ts';

async function server(smtpOptions: SmtpOptions = {}): Promise<SmtpServer> {
  const smtp = await startSmtp(smtpOptions);
  onTestFinished(() => smtp.close());
  return smtp;
}

function options(store: Store, over: Partial<DeliveryOptions>): DeliveryOptions {
  return {
    store,
    channels: new Map(),
    now: () => NOW,
    owner: 'this',
    leaseSeconds: 60,
    signal: new AbortController().signal,
    log: recordingLog(),
    ...over,
  };
}

function scripted(id: ChannelId, send: Channel['send']): ReadonlyMap<ChannelId, Channel> {
  return new Map([[id, { id, send, close: async () => undefined }]]);
}

describe('delivering what is due', () => {
  it('sends each message, marks it sent, and finds nothing to do the next time', async () => {
    const smtp = await server();
    const store = await storeWith([
      entry(),
      entry({ episode: 'blue-2', message: letter({ messageId: '<2@x.example>' }) }),
    ]);
    const log = recordingLog();
    const all = options(store, { channels: emailTo(smtp), log });
    expect(await deliverDue(all)).toEqual({ sent: 2, again: 0, failed: 0, expired: 0 });
    expect(smtp.messages.map(({ mail }) => mail.messageId ?? '').toSorted()).toEqual([
      '<2@x.example>',
      '<blue.act.ann@drainby.example.org>',
    ]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, sent: 2 });
    expect(await deliverDue(all)).toEqual({ sent: 0, again: 0, failed: 0, expired: 0 });
    expect(smtp.messages).toHaveLength(2);
    expect(log.lines.map(({ level }) => level)).toEqual(['info', 'info']);
  });

  it('takes the most urgent first', async () => {
    const urgency = [3600, 600, 86_400, 60];
    const store = await storeWith(
      urgency.map((seconds) =>
        entry({
          episode: `in-${seconds}`,
          channel: 'console',
          useBefore: NOW + seconds,
          message: letter({ subject: `${seconds}` }),
        }),
      ),
    );
    const sent: string[] = [];
    const channels = scripted('console', async ({ subject }) => {
      sent.push(subject);
    });
    await deliverDue(options(store, { channels }));
    expect(sent).toEqual(['60', '600', '3600', '86400']);
  });

  it('keeps a message until its time has come', async () => {
    const smtp = await server();
    const store = await storeWith([entry({ notBefore: NOW + 600 })]);
    const clock = virtualClock();
    const all = options(store, { channels: emailTo(smtp), now: clock.now });
    expect(await store.nextDueAt(NOW)).toBe(NOW + 600);
    expect(await deliverDue(all)).toMatchObject({ sent: 0 });
    clock.advance(600);
    expect(await deliverDue(all)).toMatchObject({ sent: 1 });
    expect(await store.nextDueAt(clock.now())).toBeNull();
  });

  it('tries again after 451, by the schedule, with the same Message-ID, and says so once', async () => {
    const later = { at: 'rcpt', code: 451, text: 'come back later' } as const;
    const smtp = await server({ script: [later, later] });
    const store = await storeWith([entry()]);
    const clock = virtualClock();
    const log = recordingLog();
    const all = options(store, { channels: emailTo(smtp), now: clock.now, log });
    expect(await deliverDue(all)).toEqual({ sent: 0, again: 1, failed: 0, expired: 0 });
    expect(await store.nextDueAt(NOW)).toBe(NOW + 10);
    expect(await deliverDue(all)).toMatchObject({ again: 0 });
    clock.advance(10);
    expect(await deliverDue(all)).toMatchObject({ again: 1 });
    expect(await store.nextDueAt(NOW)).toBe(NOW + 40);
    clock.advance(30);
    expect(await deliverDue(all)).toMatchObject({ sent: 1 });
    expect((await smtp.next()).mail.messageId).toBe('<blue.act.ann@drainby.example.org>');
    expect(smtp.connections()).toBe(3);
    expect(log.lines.map(({ level }) => level)).toEqual(['warn', 'info']);
    expect(log.lines[0]?.fields).toMatchObject({ unit: 'blue', person: 'ann', code: 'delivery-unreachable' });
  });

  it('reports a message that is refused for good, and never tries it again', async () => {
    const smtp = await server({ script: [{ at: 'rcpt', code: 550, text: 'no such mailbox' }] });
    const store = await storeWith([entry()]);
    const log = recordingLog();
    const all = options(store, { channels: emailTo(smtp), log });
    expect(await deliverDue(all)).toEqual({ sent: 0, again: 0, failed: 1, expired: 0 });
    expect(
      await deliverDue(options(store, { channels: emailTo(smtp), now: () => NOW + 3600 })),
    ).toMatchObject({ sent: 0 });
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, failed: 1 });
    expect(log.lines).toMatchObject([
      { level: 'error', fields: { person: 'ann', code: 'delivery-refused' } },
    ]);
  });

  it('does not send yesterday\u2019s deadline when the mail server is back after two days, and reports the loss', async () => {
    const smtp = await server({ script: [{ at: 'connect', code: 421, text: 'down' }] });
    const store = await storeWith([entry({ useBefore: NOW + 7200 })]);
    const clock = virtualClock();
    const log = recordingLog();
    const all = options(store, { channels: emailTo(smtp), now: clock.now, log });
    expect(await deliverDue(all)).toMatchObject({ again: 1 });
    clock.advance(2 * 86_400);
    expect(await deliverDue(all)).toEqual({ sent: 0, again: 0, failed: 0, expired: 1 });
    expect(smtp.messages).toEqual([]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, expired: 1 });
    expect(log.lines.at(-1)).toMatchObject({
      level: 'error',
      fields: { unit: 'blue', kind: 'act', person: 'ann', attempts: 1 },
    });
  });

  it('reports a loss when it happens, not at the next attempt', async () => {
    const store = await storeWith([entry({ notBefore: NOW + 7200, useBefore: NOW + 3600 })]);
    expect(await store.nextDueAt(NOW)).toBe(NOW + 3600);
    expect(await deliverDue(options(store, { now: () => NOW + 3600 }))).toMatchObject({ expired: 1 });
    expect(await store.nextDueAt(NOW + 3600)).toBeNull();
  });

  it('looks at the time once more just before sending', async () => {
    const smtp = await server();
    const store = await storeWith([entry({ useBefore: NOW + 1 })]);
    const clock = virtualClock();
    const slow: Store = {
      ...store,
      async claimDue(command) {
        const result = await store.claimDue(command);
        if (result.claimed.length > 0) clock.advance(2);
        return result;
      },
    };
    expect(await deliverDue(options(slow, { channels: emailTo(smtp), now: clock.now }))).toEqual({
      sent: 0,
      again: 0,
      failed: 0,
      expired: 1,
    });
    expect(smtp.connections()).toBe(0);
    expect(await store.outboxCounts()).toMatchObject({ expired: 1 });
  });

  it('keeps a message for a channel that the config no longer has, and says so', async () => {
    const store = await storeWith([entry({ channel: 'file' })]);
    const log = recordingLog();
    expect(await deliverDue(options(store, { log }))).toMatchObject({ again: 1 });
    expect(log.lines).toMatchObject([
      { level: 'warn', fields: { code: 'delivery-config', channel: 'file' } },
    ]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1 });
  });

  it('tries a message again whose channel throws what nobody foresaw', async () => {
    const store = await storeWith([entry({ channel: 'console' })]);
    const channels = scripted('console', () => Promise.reject(new TypeError('cannot read properties')));
    expect(await deliverDue(options(store, { channels }))).toMatchObject({ again: 1 });
  });
});

describe('a channel that hangs', () => {
  it('holds up no other channel, and its message only for the lease', async () => {
    const store = await storeWith([entry(), entry({ channel: 'console' })]);
    const order: string[] = [];
    const channels = new Map([
      ...scripted('email', async () => {
        order.push('email hangs');
        await once(new EventTarget(), 'never');
      }),
      ...scripted('console', async () => {
        order.push('console sent');
      }),
    ]);
    const report = await deliverDue(options(store, { channels, leaseSeconds: 0.5 }));
    expect(order.toSorted()).toEqual(['console sent', 'email hangs']);
    expect(report).toEqual({ sent: 1, again: 1, failed: 0, expired: 0 });
  });
});

describe('when the program is told to end', () => {
  it('takes up nothing more', async () => {
    const smtp = await server();
    const store = await storeWith([entry()]);
    const report = await deliverDue(options(store, { channels: emailTo(smtp), signal: AbortSignal.abort() }));
    expect(report).toEqual({ sent: 0, again: 0, failed: 0, expired: 0 });
    expect(smtp.connections()).toBe(0);
  });

  it('ends the message in hand, and leaves the rest', async () => {
    const store = await storeWith([
      entry({ channel: 'console' }),
      entry({ channel: 'console', episode: 'blue-2' }),
    ]);
    const stop = new AbortController();
    const channels = scripted('console', async () => {
      stop.abort();
      await new Promise(setImmediate);
    });
    expect(await deliverDue(options(store, { channels, signal: stop.signal }))).toMatchObject({ sent: 1 });
    expect(await store.outboxCounts()).toMatchObject({ sent: 1, waiting: 1 });
  });

  it('breaks off a message that takes too long, and frees it for the next start at once', async () => {
    const smtp = await server({ script: ['stall-data'] });
    const store = await storeWith([entry()]);
    const stop = new AbortController();
    const all = options(store, { channels: emailTo(smtp), signal: stop.signal, graceMs: 50 });
    const delivering = deliverDue(all);
    await smtp.stalled();
    stop.abort();
    expect(await delivering).toMatchObject({ sent: 0, again: 1 });
    expect(await deliverDue(options(store, { channels: emailTo(smtp), owner: 'next' }))).toMatchObject({
      sent: 1,
    });
    expect((await smtp.next()).mail.messageId).toBe('<blue.act.ann@drainby.example.org>');
  });
});

describe('a claim', () => {
  it('lasts as long as its lease, and a late end of it changes nothing', async () => {
    const store = await storeWith([entry()]);
    const claim = { leaseSeconds: 60, limit: 5 };
    const [first] = (await store.claimDue({ ...claim, owner: 'first', now: NOW })).claimed;
    expect(first).toMatchObject({ attempt: 1, channel: 'email', lastError: null, message: letter() });
    expect((await store.claimDue({ ...claim, owner: 'second', now: NOW + 59 })).claimed).toEqual([]);
    const [second] = (await store.claimDue({ ...claim, owner: 'second', now: NOW + 60 })).claimed;
    expect(second).toMatchObject({ rowId: first!.rowId, attempt: 2 });
    const sent = { rowId: first!.rowId, settlement: { outcome: 'sent' }, now: NOW + 61 } as const;
    expect(await store.settle({ ...sent, owner: 'first', attempt: 1 })).toBe(false);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1, sent: 0 });
    expect(await store.settle({ ...sent, owner: 'second', attempt: 2 })).toBe(true);
    expect(await store.settle({ ...sent, owner: 'second', attempt: 2 })).toBe(false);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, sent: 1 });
  });

  it('of one process that it let lapse and took anew is ended by the newer attempt alone', async () => {
    const store = await storeWith([entry()]);
    const claim = { leaseSeconds: 60, limit: 5, owner: 'this' };
    const [first] = (await store.claimDue({ ...claim, now: NOW })).claimed;
    const [again] = (await store.claimDue({ ...claim, now: NOW + 60 })).claimed;
    expect([first?.attempt, again?.attempt, again?.rowId]).toEqual([1, 2, first?.rowId]);
    const end = { rowId: first!.rowId, owner: 'this', now: NOW + 61 };
    const failed = { outcome: 'failed', error: 'no such mailbox' } as const;
    expect(await store.settle({ ...end, attempt: 1, settlement: failed })).toBe(false);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1, failed: 0 });
    expect(await store.settle({ ...end, attempt: 2, settlement: { outcome: 'sent' } })).toBe(true);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, sent: 1, failed: 0 });
  });

  it('that lapsed during the sending is said in the log', async () => {
    const store = await storeWith([entry({ channel: 'console' })]);
    const log = recordingLog();
    const channels = scripted('console', async () => {
      await store.claimDue({ now: NOW + 60, leaseSeconds: 60, owner: 'other', limit: 1 });
    });
    await deliverDue(options(store, { channels, log }));
    expect(log.lines.map(({ level }) => level)).toEqual(['info', 'warn']);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1, sent: 0 });
  });

  it('protects a message from expiry while it is being sent', async () => {
    const store = await storeWith([entry({ useBefore: NOW + 30 })]);
    const claim = { leaseSeconds: 60, owner: 'this', limit: 5 };
    await store.claimDue({ ...claim, now: NOW });
    expect((await store.claimDue({ ...claim, now: NOW + 40 })).expired).toEqual([]);
    expect((await store.claimDue({ ...claim, now: NOW + 60 })).expired).toHaveLength(1);
  });
});

it('ends the messages in hand before it reports that the database failed', async () => {
  const store = await storeWith([entry(), entry({ channel: 'console' })]);
  const gate = new EventTarget();
  let emailEnded = false;
  const channels = new Map([
    ...scripted('email', async () => {
      await once(gate, 'open');
      emailEnded = true;
    }),
    ...scripted('console', async () => undefined),
  ]);
  const failing: Store = {
    ...store,
    async settle(command) {
      if (!emailEnded) {
        gate.dispatchEvent(new Event('open'));
        throw new DeliveryError('delivery-config', 'the database is away');
      }
      return await store.settle(command);
    },
  };
  await expect(deliverDue(options(failing, { channels }))).rejects.toThrow('the database is away');
  expect(emailEnded).toBe(true);
  expect(await store.outboxCounts()).toMatchObject({ sent: 1, waiting: 1 });
});
