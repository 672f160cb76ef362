/** A mail server that takes a message whole and then hangs up, or goes away for good, before it says that it took it. */
import { expect, it, onTestFinished } from 'vitest';
import { deliverDue } from '../../src/outbox/loop.ts';
import { startMailServer } from '../kill/mail-server.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { emailTo, recordingLog, storeWith, virtualClock } from '../support/outbox.ts';
import Database from 'better-sqlite3';

async function scene(hangsUp: number) {
  const server = await startMailServer({ refused: [], putOff: [], hangsUp });
  onTestFinished(() => server.close());
  const store = await storeWith([
    entry({ useBefore: NOW + 10 * 86_400 }),
    entry({
      episode: 'red-1',
      useBefore: NOW + 10 * 86_400,
      message: letter({ unit: 'red', messageId: '<red.act.ann@drainby.example.org>' }),
    }),
  ]);
  const clock = virtualClock();
  const log = recordingLog();
  const { signal } = new AbortController();
  const channels = emailTo(server);
  const options = { store, channels, now: clock.now, owner: 'this', leaseSeconds: 60, signal, log };
  const unsure = (): readonly unknown[] => {
    const database = new Database(store.path, { readonly: true });
    const rows = database.prepare('select unsure_attempts as n, state from outbox order by id').all();
    database.close();
    return rows;
  };
  return { server, store, clock, log, options, unsure };
}

it('a message that may have arrived is counted apart, goes out again as the same one, and is sent', async () => {
  const { server, clock, log, options, unsure } = await scene(2);
  expect(await deliverDue(options)).toMatchObject({ sent: 0, again: 2 });
  expect(unsure()).toEqual([
    { n: 1, state: 'waiting' },
    { n: 1, state: 'waiting' },
  ]);
  expect(log.lines.map(({ fields }) => fields['code'])).toEqual(['delivery-unsure', 'delivery-unsure']);
  // Not in the haste of a connection that broke off before.
  clock.advance(1799);
  expect(await deliverDue(options)).toMatchObject({ sent: 0, again: 0 });
  clock.advance(1);
  expect(await deliverDue(options)).toMatchObject({ sent: 2 });
  const ids = server.copies.map(({ id }) => id).toSorted();
  expect(ids).toEqual(['blue', 'blue', 'red', 'red'].map((unit) => `<${unit}.act.ann@drainby.example.org>`));
  expect(new Set(server.copies.map(({ raw }) => raw)).size).toBe(2);
});

it('a server that always hangs up gets each message three times and no more', async () => {
  const { server, store, clock, options, unsure } = await scene(Infinity);
  for (let hour = 0; hour < 72; hour += 1) {
    await deliverDue(options);
    clock.advance(3600);
  }
  expect(server.copies).toHaveLength(6);
  expect(new Set(server.copies.map(({ id }) => id)).size).toBe(2);
  expect(unsure()).toEqual([
    { n: 3, state: 'failed' },
    { n: 3, state: 'failed' },
  ]);
  expect(await store.outboxCounts()).toMatchObject({ waiting: 0, failed: 2 });
});
