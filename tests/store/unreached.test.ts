/** What of the last days reached nobody and is still of matter. */
import { describe, expect, it } from 'vitest';
import { EMPTY_MEMORY, type MessageKind } from '../../src/decision/memory.ts';
import type { OutboxEntry, Settlement, Store } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { storeWith } from '../support/outbox.ts';

const HOUR = 3600;
const FAILED: Settlement = { outcome: 'failed', error: 'no such mailbox' };
const SENT: Settlement = { outcome: 'sent' };
const NOTHING = { lost: [], unreached: [] };

function of(kind: MessageKind, over: Partial<OutboxEntry> = {}): OutboxEntry {
  return entry({ message: letter({ kind }), useBefore: NOW + 5 * 24 * HOUR, ...over });
}

/** Ends whatever is due in the order of claiming. */
async function end(store: Store, at: number, ...settlements: readonly Settlement[]): Promise<void> {
  for (const settlement of settlements) {
    const [claimed] = (await store.claimDue({ now: at, leaseSeconds: 60, owner: 'one', limit: 1 })).claimed;
    if (claimed === undefined) throw new Error('Nothing was due.');
    const { rowId, attempt } = claimed;
    await store.settle({ rowId, attempt, owner: 'one', settlement, now: at });
  }
}

async function offer(store: Store, at: number, ...outbox: readonly OutboxEntry[]): Promise<void> {
  const version = (await store.readUnits()).get('blue')?.version ?? 0;
  await store.commitRound(
    { id: `at ${at}`, startedAt: at, finishedAt: at, placesWithForecast: 1, placesWithout: 0 },
    [{ unit: 'blue', expectedVersion: version, memory: EMPTY_MEMORY, outbox }],
  );
}

describe('a message that was refused for good', () => {
  it('has reached nobody, for two days', async () => {
    const store = await storeWith([of('act')]);
    expect(await store.undelivered(NOW)).toEqual(NOTHING);
    await end(store, NOW, FAILED);
    const { lost, unreached } = await store.undelivered(NOW + HOUR);
    expect(lost).toEqual([{ unit: 'blue', count: 1 }]);
    expect(unreached).toMatchObject([
      {
        unit: 'blue',
        person: 'ann',
        kind: 'act',
        at: NOW,
        error: 'no such mailbox',
        trying: false,
        manager: false,
      },
    ]);
    expect((await store.undelivered(NOW + 48 * HOUR - 1)).unreached).toHaveLength(1);
    expect(await store.undelivered(NOW + 48 * HOUR)).toEqual(NOTHING);
  });

  it('is lost, though not the person, where another channel that reaches them took its own copy', async () => {
    const store = await storeWith([of('act'), of('act', { channel: 'text' })]);
    await end(store, NOW, FAILED);
    await end(store, NOW + 60, SENT);
    expect(await store.undelivered(NOW + HOUR)).toEqual({
      lost: [{ unit: 'blue', count: 1 }],
      unreached: [],
    });
  });

  it.each(['webhook', 'file', 'console'] as const)(
    'has reached nobody though the %s took its copy: no person who has an address reads that',
    async (channel) => {
      const store = await storeWith([of('act'), of('act', { channel })]);
      await end(store, NOW, FAILED);
      await end(store, NOW + 60, SENT);
      expect(await store.undelivered(NOW + HOUR)).toMatchObject({
        lost: [{ unit: 'blue', count: 1 }],
        unreached: [{ person: 'ann', at: NOW, error: 'no such mailbox', trying: false }],
      });
      await offer(store, NOW + HOUR, of('late'), of('late', { channel }));
      await end(store, NOW + HOUR, FAILED);
      await end(store, NOW + HOUR, SENT);
      expect((await store.undelivered(NOW + 2 * HOUR)).unreached).toMatchObject([{ kind: 'late' }]);
    },
  );

  it('has reached whoever has nothing but such a channel', async () => {
    const store = await storeWith([of('act', { channel: 'webhook' }), of('act', { channel: 'file' })]);
    await end(store, NOW, FAILED);
    await end(store, NOW + 60, SENT);
    expect((await store.undelivered(NOW + HOUR)).unreached).toEqual([]);
  });

  it('has not reached nobody while another channel has yet to try', async () => {
    const store = await storeWith([of('act'), of('act', { channel: 'text', notBefore: NOW + HOUR })]);
    await end(store, NOW, FAILED);
    expect((await store.undelivered(NOW + 60)).unreached).toEqual([]);
  });

  it('is of no matter once a newer one that takes its place arrived, and of matter while it only waits', async () => {
    const store = await storeWith([of('act')]);
    await end(store, NOW, FAILED);
    await offer(store, NOW + HOUR, of('worse'));
    expect((await store.undelivered(NOW + HOUR)).unreached).toHaveLength(1);
    await end(store, NOW + HOUR, SENT);
    expect(await store.undelivered(NOW + 2 * HOUR)).toEqual(NOTHING);
  });

  it('stays of matter when what arrived later takes nothing back', async () => {
    const store = await storeWith([of('frozen')]);
    await end(store, NOW, FAILED);
    await offer(store, NOW + HOUR, of('act'));
    await end(store, NOW + HOUR, SENT);
    expect((await store.undelivered(NOW + 2 * HOUR)).unreached).toMatchObject([{ kind: 'frozen' }]);
  });

  it('is of no matter once somebody said what was done', async () => {
    const store = await storeWith([of('act')]);
    await end(store, NOW, FAILED);
    const mark = { unit: 'blue', water: null, by: 'ann' };
    await store.mark({ ...mark, checked: false, at: NOW + HOUR });
    expect((await store.undelivered(NOW + 2 * HOUR)).unreached).toHaveLength(1);
    await store.mark({ ...mark, checked: true, at: NOW + HOUR });
    expect(await store.undelivered(NOW + 2 * HOUR)).toEqual(NOTHING);
  });

  it('is one of several: of each unit and person the newest is named', async () => {
    const store = await storeWith([of('act')]);
    await end(store, NOW, FAILED);
    await offer(store, NOW + HOUR, of('late'));
    await end(store, NOW + HOUR, FAILED);
    const { lost, unreached } = await store.undelivered(NOW + 2 * HOUR);
    expect(lost.reduce((sum, { count }) => sum + count, 0)).toBe(2);
    expect(unreached).toMatchObject([{ kind: 'late', at: NOW + HOUR }]);
  });
});

it('what ran out of time has reached nobody', async () => {
  const store = await storeWith([of('act', { useBefore: NOW + HOUR })]);
  await store.claimDue({ now: NOW + HOUR, leaseSeconds: 60, owner: 'one', limit: 1 });
  expect((await store.undelivered(NOW + HOUR)).unreached).toMatchObject([{ at: NOW + HOUR, error: null }]);
});

it('what was tried in vain for as long as its only way is relied on has reached nobody yet, and is not lost', async () => {
  const store = await storeWith([of('act', { patienceEnds: NOW + HOUR })]);
  await end(store, NOW, { outcome: 'again', nextTryAt: NOW + 60, error: 'no answer' });
  expect(await store.undelivered(NOW + HOUR - 1)).toEqual(NOTHING);
  expect(await store.undelivered(NOW + HOUR)).toMatchObject({
    lost: [],
    unreached: [{ at: NOW + HOUR, error: 'no answer', trying: true }],
  });
  await end(store, NOW + HOUR, SENT);
  expect(await store.undelivered(NOW + HOUR)).toEqual(NOTHING);
});

it('what was never tried, as when the machine was off, is not said to have failed', async () => {
  const store = await storeWith([of('act', { patienceEnds: NOW + HOUR })]);
  expect(await store.undelivered(NOW + 2 * HOUR)).toEqual(NOTHING);
});
