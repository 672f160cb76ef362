/** A claim holds for a minute at most, and is renewed for as long as its message is on its way. */
import { expect, it } from 'vitest';
import { deliverDue } from '../../src/outbox/loop.ts';
import { entry } from '../support/letter.ts';
import { recordingLog, storeWith } from '../support/outbox.ts';

const now = (): number => Date.now() / 1000;

it('is renewed while the message is on its way, so that no other process takes it', async () => {
  const at = now();
  const store = await storeWith([entry({ channel: 'console', notBefore: at - 1, useBefore: at + 3600 })]);
  const claims: (number | null)[] = [];
  let resolve: (none: undefined) => void = () => undefined;
  const renewed = new Promise<undefined>((done) => {
    resolve = done;
  });
  const watched = {
    ...store,
    async renew(command: Parameters<typeof store.renew>[0]) {
      claims.push(await store.nextDueAt(command.now));
      await store.renew(command);
      claims.push(await store.nextDueAt(command.now));
      resolve(undefined);
    },
  };
  const channels = new Map([
    ['console' as const, { id: 'console' as const, send: () => renewed, close: async () => undefined }],
  ]);
  const signal = new AbortController().signal;
  const report = await deliverDue({
    store: watched,
    channels,
    now,
    owner: 'this',
    leaseSeconds: 3,
    signal,
    log: recordingLog(),
  });
  expect(report).toMatchObject({ sent: 1 });
  expect(claims[1]).toBeGreaterThan((claims[0] ?? Infinity) + 0.5);
});

it('of somebody else is left alone', async () => {
  const at = now();
  const store = await storeWith([entry({ channel: 'console', notBefore: at - 1, useBefore: at + 3600 })]);
  const [held] = (await store.claimDue({ now: at, leaseSeconds: 60, owner: 'one', limit: 1 })).claimed;
  await store.renew({ rowIds: [held!.rowId], owner: 'two', leaseSeconds: 600, now: at });
  expect(await store.nextDueAt(at)).toBeCloseTo(at + 60, 3);
  await store.renew({ rowIds: [held!.rowId], owner: 'one', leaseSeconds: 600, now: at });
  expect(await store.nextDueAt(at)).toBeCloseTo(at + 600, 3);
});
