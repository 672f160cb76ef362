/** What a manager gets in one message, with a real mail server and a real database. */
import { expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import { listMessage } from '../../src/message/list.ts';
import { deliverDue, type DeliveryOptions } from '../../src/outbox/loop.ts';
import type { OutboxEntry, Store } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { emailTo, recordingLog, storeWith, virtualClock } from '../support/outbox.ts';
import { startSmtp, type SmtpStep } from '../support/smtp.ts';

const LIST_ID = /^<list\.[0-9a-f]{32}@drainby\.example\.org>$/;
const FAR = NOW + 10 * 86_400;

/** Of a unit that is to be started so many hours from now. */
function of(unit: string, hours: number, over: Partial<OutboxEntry> = {}): OutboxEntry {
  const messageId = `<${unit}.act.ann@drainby.example.org>`;
  const message = letter({ unit, messageId, subject: `Drain ${unit}`, startBy: NOW + hours * 3600 });
  return entry({ episode: `${unit}-1`, message, gathers: true, useBefore: FAR, ...over });
}

async function scene(entries: readonly OutboxEntry[], script: readonly SmtpStep[] = []) {
  const smtp = await startSmtp({ script });
  onTestFinished(() => smtp.close());
  const store = await storeWith(entries);
  const clock = virtualClock();
  const log = recordingLog();
  const signal = new AbortController().signal;
  const options: DeliveryOptions = {
    store,
    channels: emailTo(smtp),
    now: clock.now,
    owner: 'this',
    leaseSeconds: 60,
    signal,
    log,
    gather: listMessage,
  };
  return { smtp, store, clock, log, options };
}

const states = (store: Store) => store.outboxCounts();

it('three hundred units make one mail, sorted by the time to start', async () => {
  const units = Array.from({ length: 300 }, (_, i) => of(`unit-${i}`, 300 - i));
  const { smtp, store, log, options } = await scene(units);
  expect(await deliverDue(options)).toEqual({ sent: 1, again: 0, failed: 0, expired: 0 });
  expect(smtp.messages).toHaveLength(1);
  const [{ mail }] = smtp.messages as [(typeof smtp.messages)[number]];
  expect(mail.messageId).toMatch(LIST_ID);
  const named = [...(mail.text ?? '').matchAll(/^- \S+ unit-(\d+), drain/gm)].map(([, id]) => Number(id));
  expect(named).toEqual(Array.from({ length: 300 }, (_, i) => 299 - i));
  expect(await states(store)).toMatchObject({ sent: 300, waiting: 0 });
  expect(log.lines).toHaveLength(1);
});

it('one unit goes out as it is; another reader, channel, or time to send is not gathered with it', async () => {
  const bob = { id: 'bob', name: 'Bob Example', email: 'bob@example.org' };
  const { smtp, options, clock } = await scene([
    of('red', 5),
    of('red', 5, {
      message: letter({ unit: 'red', to: bob, messageId: '<red.act.bob@drainby.example.org>' }),
    }),
    of('blue', 5, { gathers: false }),
    of('green', 9, { notBefore: NOW + 3600 }),
  ]);
  expect(await deliverDue(options)).toMatchObject({ sent: 3 });
  clock.advance(3600);
  expect(await deliverDue(options)).toMatchObject({ sent: 1 });
  expect(smtp.messages.map(({ mail }) => mail.messageId ?? '').toSorted()).toEqual(
    ['red.act.ann', 'red.act.bob', 'blue.act.ann', 'green.act.ann']
      .map((local) => `<${local}@drainby.example.org>`)
      .toSorted(),
  );
});

it('a list that may have arrived is sent again as the same list, without what came since', async () => {
  const { smtp, store, clock, options } = await scene([of('red', 5), of('blue', 6)], ['stall-data']);
  expect(await deliverDue({ ...options, leaseSeconds: 2 })).toMatchObject({ again: 1 });
  const first = await smtp.stalled();
  const round = { id: 'two', startedAt: NOW, finishedAt: NOW, placesWithForecast: 1, placesWithout: 0 };
  await store.commitRound(round, [
    {
      unit: 'green',
      expectedVersion: 0,
      memory: EMPTY_MEMORY,
      outbox: [of('green', 7, { notBefore: NOW + 1800 })],
    },
  ]);
  clock.advance(1800);
  expect(await deliverDue(options)).toMatchObject({ sent: 2 });
  const list = smtp.messages.find(({ mail }) => LIST_ID.test(mail.messageId ?? ''));
  expect(list?.mail.messageId).toBe(first?.mail.messageId);
  expect(list?.mail.text).toBe(first?.mail.text);
  expect(smtp.messages.map(({ mail }) => mail.messageId)).toContain('<green.act.ann@drainby.example.org>');
});

it('a list that was put off is made anew of all that is due then', async () => {
  const later = { at: 'rcpt', code: 451, text: 'come back later' } as const;
  const { smtp, clock, options } = await scene(
    [of('red', 5), of('blue', 6), of('green', 7, { notBefore: NOW + 10 })],
    [later],
  );
  expect(await deliverDue(options)).toMatchObject({ again: 1 });
  clock.advance(10);
  expect(await deliverDue(options)).toMatchObject({ sent: 1 });
  const [only] = smtp.messages;
  expect(only?.mail.text).toMatch(/^- .*: red, drain.*\n- .*: blue, drain.*\n- .*: green, drain/m);
});

it('what is of no more use is left out of a list that is tried again, and reported', async () => {
  const soon = of('red', 1, { useBefore: NOW + 900 });
  const { smtp, store, clock, log, options } = await scene(
    [soon, of('blue', 6), of('green', 7)],
    ['stall-data'],
  );
  await deliverDue({ ...options, leaseSeconds: 2 });
  const first = await smtp.stalled();
  clock.advance(1800);
  expect(await deliverDue(options)).toMatchObject({ sent: 1, expired: 1 });
  const [again] = smtp.messages;
  expect(again?.mail.messageId).toBe(first?.mail.messageId);
  expect(again?.mail.text).not.toContain('Drain red');
  expect(again?.mail.text).toMatch(/^- .*: blue, drain.*\n- .*: green, drain/m);
  expect(log.lines.filter(({ level }) => level === 'error').map(({ fields }) => fields['unit'])).toEqual([
    'red',
  ]);
  expect(await states(store)).toMatchObject({ sent: 2, expired: 1 });
});

it('a list that is refused goes on by the next way as one list', async () => {
  const refused = { at: 'rcpt', code: 550, text: 'no such mailbox' } as const;
  const way = { ways: ['console' as const], urgent: true };
  const { options } = await scene([of('red', 5, way), of('blue', 6, way)], [refused]);
  const shown: string[] = [];
  const channels = new Map([
    ...options.channels,
    [
      'console' as const,
      {
        id: 'console' as const,
        send: async ({ messageId }: { messageId: string }) => void shown.push(messageId),
        close: async () => undefined,
      },
    ],
  ]);
  expect(await deliverDue({ ...options, channels })).toEqual({ sent: 1, again: 1, failed: 0, expired: 0 });
  expect(shown).toEqual([expect.stringMatching(LIST_ID)]);
});
