import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { deliverDue } from '../../src/outbox/loop.ts';
import type { DeliveryOptions } from '../../src/outbox/loop.ts';
import { compileSources, startChild } from '../support/child.ts';
import type { Compiled } from '../support/child.ts';
import { listMessage } from '../../src/message/list.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { emailTo, recordingLog, storeWith } from '../support/outbox.ts';
import { startSmtp } from '../support/smtp.ts';

/** Sends what is due, as a daemon does. */
const DELIVER = `
  const [directory, path, port, now] = process.argv.slice(1);
  const { openStore } = await import(directory + '/store/open.js');
  const { deliverDue } = await import(directory + '/outbox/loop.js');
  const { openEmail } = await import(directory + '/delivery/email.js');
  const { listMessage } = await import(directory + '/message/list.js');
  const quiet = () => undefined;
  const config = { host: '127.0.0.1', port: Number(port), security: 'none', from: 'drainby@example.org', user: null, password: null };
  await deliverDue({
    store: await openStore(path),
    channels: new Map([['email', openEmail(config, { env: {} })]]),
    now: () => Number(now),
    owner: 'killed',
    leaseSeconds: 900,
    signal: new AbortController().signal,
    log: { info: quiet, warn: quiet, error: quiet },
    gather: listMessage,
  });
`;

let compiled: Compiled;
beforeAll(() => {
  compiled = compileSources(['store/open.ts', 'outbox/loop.ts', 'delivery/email.ts', 'message/list.ts']);
});
afterAll(() => {
  compiled.remove();
});

it.each([
  ['before the server greeted it', 'stall-greeting', 1],
  ['after the server had the whole message, before it was settled', 'stall-data', 2],
] as const)('a message whose process is killed %s goes out after the lease', async (_when, step, times) => {
  const smtp = await startSmtp({ script: [step] });
  onTestFinished(() => smtp.close());
  const store = await storeWith([entry()]);
  const child = startChild(DELIVER, [compiled.directory, store.path, String(smtp.port), String(NOW)]);
  onTestFinished(() => child.kill('SIGKILL'));
  const inFlight = await smtp.stalled();
  await child.kill('SIGKILL');

  const next: DeliveryOptions = {
    store,
    channels: emailTo(smtp),
    now: () => NOW + 59,
    owner: 'next',
    leaseSeconds: 60,
    signal: new AbortController().signal,
    log: recordingLog(),
  };
  expect(await deliverDue(next)).toMatchObject({ sent: 0 });
  expect(await store.nextDueAt(NOW + 59)).toBe(NOW + 60);
  expect(await deliverDue({ ...next, now: () => NOW + 60 })).toMatchObject({ sent: 1 });
  const arrived = [inFlight, await smtp.next()].filter((received) => received !== null);
  expect(arrived).toHaveLength(times);
  expect(new Set(arrived.map(({ mail }) => mail.messageId))).toEqual(
    new Set(['<blue.act.ann@drainby.example.org>']),
  );
  expect(await store.outboxCounts()).toMatchObject({ sent: 1, waiting: 0 });
});

it('a list whose process is killed between claim and settlement goes out again as the same list', async () => {
  const smtp = await startSmtp({ script: ['stall-data'] });
  onTestFinished(() => smtp.close());
  const of = (unit: string) =>
    entry({
      episode: `${unit}-1`,
      message: letter({ unit, subject: `Drain ${unit}`, messageId: `<${unit}.act.ann@drainby.example.org>` }),
      gathers: true,
    });
  const late = { ...of('green'), notBefore: NOW + 60 };
  const store = await storeWith([of('red'), of('blue'), late]);
  const child = startChild(DELIVER, [compiled.directory, store.path, String(smtp.port), String(NOW)]);
  onTestFinished(() => child.kill('SIGKILL'));
  const first = await smtp.stalled();
  await child.kill('SIGKILL');

  const next: DeliveryOptions = {
    store,
    channels: emailTo(smtp),
    now: () => NOW + 60,
    owner: 'next',
    leaseSeconds: 900,
    signal: new AbortController().signal,
    log: recordingLog(),
    gather: listMessage,
  };
  expect(await deliverDue(next)).toMatchObject({ sent: 2 });
  const list = smtp.messages.find(({ mail }) => mail.messageId === first?.mail.messageId);
  expect(first?.mail.messageId).toMatch(/^<list\./);
  expect(list?.mail.text).toBe(first?.mail.text);
  expect(list?.mail.text).not.toContain('green');
  expect(await store.outboxCounts()).toMatchObject({ sent: 3, waiting: 0 });
});
