/** A server that has the message and does not say so: most likely it was taken, so copies are to be few. */
import { expect, it, onTestFinished } from 'vitest';
import type { Channel, ChannelId } from '../../src/delivery/channel.ts';
import { openEmail } from '../../src/delivery/email.ts';
import { deliverDue } from '../../src/outbox/loop.ts';
import { NOW, entry } from '../support/letter.ts';
import { recordingLog, storeWith, virtualClock } from '../support/outbox.ts';
import { startSmtp, type SmtpStep } from '../support/smtp.ts';

async function silent(script: readonly SmtpStep[], silence: number) {
  const smtp = await startSmtp({ script });
  onTestFinished(() => smtp.close());
  const config = {
    host: '127.0.0.1',
    port: smtp.port,
    security: 'none',
    user: null,
    password: null,
  } as const;
  const from = 'drainby@example.org';
  const email = openEmail({ ...config, from }, { env: {}, timeouts: { silence } });
  const channels: ReadonlyMap<ChannelId, Channel> = new Map([['email', email]]);
  const store = await storeWith([entry({ useBefore: NOW + 10 * 86_400 })]);
  const clock = virtualClock();
  const log = recordingLog();
  const signal = new AbortController().signal;
  const options = { store, channels, now: clock.now, owner: 'this', leaseSeconds: 60, signal, log };
  return { smtp, store, clock, log, options };
}

it('is asked again half an hour and two hours later, and then no more', async () => {
  const stall = 'stall-data' as const;
  const { smtp, store, clock, log, options } = await silent([stall, stall, stall, stall], 2000);
  expect(await deliverDue(options)).toMatchObject({ again: 1 });
  expect(await store.nextDueAt(NOW)).toBe(NOW + 1800);
  clock.advance(1800);
  expect(await deliverDue(options)).toMatchObject({ again: 1 });
  expect(await store.nextDueAt(NOW)).toBe(NOW + 1800 + 7200);
  clock.advance(7200);
  expect(await deliverDue(options)).toEqual({ sent: 0, again: 0, failed: 1, expired: 0 });
  clock.advance(86_400);
  expect(await deliverDue(options)).toMatchObject({ sent: 0, again: 0 });
  expect(smtp.connections()).toBe(3);
  expect(log.lines.map(({ level, fields }) => [level, fields['code']])).toEqual([
    ['warn', 'delivery-unsure'],
    ['error', 'delivery-unsure'],
  ]);
  expect(log.lines.at(-1)?.message).toContain('whether it arrived');
});

it('does not use up its tries by refusals before the message', async () => {
  const later = { at: 'rcpt', code: 451, text: 'come back later' } as const;
  const { store, clock, options } = await silent([later, later, later, 'stall-data'], 1500);
  for (const wait of [10, 30, 60]) {
    expect(await deliverDue(options)).toMatchObject({ again: 1 });
    clock.advance(wait);
  }
  expect(await deliverDue(options)).toMatchObject({ again: 1, failed: 0 });
  expect(await store.nextDueAt(NOW)).toBe(clock.now() + 1800);
  clock.advance(1800);
  expect(await deliverDue(options)).toMatchObject({ sent: 1 });
});

it('counts as unsure, too, when the attempt ends because its lease does', async () => {
  const { store, options } = await silent(['stall-data'], 60_000);
  expect(await deliverDue({ ...options, leaseSeconds: 1 })).toMatchObject({ again: 1 });
  expect(await store.nextDueAt(NOW)).toBe(NOW + 1800);
});
