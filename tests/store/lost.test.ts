/** Messages that reached nobody and still hold: which of them are tried again, and what counts as lost. */
import { describe, expect, it } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import type { OutboxEntry, Settlement, Store } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { storeWith } from '../support/outbox.ts';

const HOUR = 3600;
const MENDED = { id: 'ann', name: 'Ann Example', email: 'ann.example@example.org' };

/** A round so many hours later that offers these. Returns how many will be sent. */
async function offer(store: Store, hour: number, outbox: readonly OutboxEntry[]): Promise<number> {
  const startedAt = NOW + hour * HOUR;
  const counts = { placesWithForecast: 1, placesWithout: 0 };
  const units = await store.readUnits();
  const expectedVersion = units.get('blue')?.version ?? 0;
  const { enqueued } = await store.commitRound(
    { id: `at ${hour}`, startedAt, finishedAt: startedAt, ...counts },
    [{ unit: 'blue', expectedVersion, memory: EMPTY_MEMORY, outbox }],
  );
  return enqueued;
}

async function settled(store: Store, settlement: Settlement): Promise<void> {
  const claim = { now: NOW, leaseSeconds: 60, owner: 'one', limit: 1 };
  for (const { rowId, attempt } of (await store.claimDue(claim)).claimed) {
    await store.settle({ rowId, owner: 'one', attempt, settlement, now: NOW });
  }
}

const refused = (store: Store): Promise<void> =>
  settled(store, { outcome: 'failed', error: 'no such mailbox' });

describe('a message that was refused for good', () => {
  it('goes out at the next round when the address was mended, as it reads then', async () => {
    const store = await storeWith([entry()]);
    await refused(store);
    const message = letter({ to: MENDED, text: 'as of now' });
    expect(await offer(store, 1, [entry({ message, notBefore: NOW + HOUR })])).toBe(1);
    const { claimed } = await store.claimDue({ now: NOW + HOUR, leaseSeconds: 60, owner: 'two', limit: 5 });
    expect(claimed).toMatchObject([{ message, attempt: 2, lastError: null }]);
  });

  it('is tried again at the same address after six hours, not before', async () => {
    const store = await storeWith([entry()]);
    await refused(store);
    expect(await offer(store, 5.9, [entry()])).toBe(0);
    expect(await offer(store, 6, [entry()])).toBe(1);
    expect(await offer(store, 6, [entry()])).toBe(0);
  });

  it('stays lost when nothing offers it any more, or when its time is up', async () => {
    const store = await storeWith([entry()]);
    await refused(store);
    expect(await offer(store, 7, [])).toBe(0);
    expect(await offer(store, 7, [entry({ useBefore: NOW + 7 * HOUR })])).toBe(0);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 0, failed: 1 });
  });
});

it('a message whose time ran out goes out at once when it holds for longer than was thought', async () => {
  const store = await storeWith([entry({ useBefore: NOW + HOUR })]);
  await store.claimDue({ now: NOW + HOUR, leaseSeconds: 60, owner: 'one', limit: 5 });
  expect(await store.outboxCounts()).toMatchObject({ expired: 1 });
  expect(await offer(store, 1, [entry({ useBefore: NOW + 9 * HOUR })])).toBe(1);
  expect(await store.outboxCounts()).toMatchObject({ waiting: 1, expired: 0 });
});

it('a message that may have arrived is not sent to the same address again, only to another', async () => {
  const store = await storeWith([entry()]);
  await settled(store, { outcome: 'failed', error: 'silence', unsure: true });
  expect(await offer(store, 24, [entry({ useBefore: NOW + 48 * HOUR })])).toBe(0);
  expect(
    await offer(store, 24, [entry({ useBefore: NOW + 48 * HOUR, message: letter({ to: MENDED }) })]),
  ).toBe(1);
});

it('a message that arrived, or still waits, is neither lost nor sent again', async () => {
  const store = await storeWith([entry(), entry({ episode: 'blue-2' })]);
  await settled(store, { outcome: 'sent' });
  const both = [entry(), entry({ episode: 'blue-2' })];
  expect(await offer(store, 24, both)).toBe(0);
  expect(await store.countLost(both)).toBe(0);
});

it('counts as lost what was refused or ran out of time, of what is asked for', async () => {
  const store = await storeWith([entry(), entry({ channel: 'file', useBefore: NOW + HOUR })]);
  await store.claimDue({ now: NOW + HOUR, leaseSeconds: 60, owner: 'none', limit: 1, channels: [] });
  await settled(store, { outcome: 'failed', error: 'no such mailbox' });
  expect(await store.outboxCounts()).toMatchObject({ failed: 1, expired: 1 });
  expect(await store.countLost([entry(), entry({ channel: 'file' }), entry({ channel: 'console' })])).toBe(2);
  expect(await store.countLost([entry({ episode: 'blue-2' })])).toBe(0);
  expect(await store.countLost([])).toBe(0);
});
