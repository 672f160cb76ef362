/** Which waiting message gives up its place to which newer one. */
import { describe, expect, it } from 'vitest';
import { EMPTY_MEMORY, MESSAGE_KINDS, type MessageKind } from '../../src/decision/memory.ts';
import { deliverDue } from '../../src/outbox/loop.ts';
import type { OutboxEntry, Store } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { recordingLog, storeWith } from '../support/outbox.ts';

async function newer(store: Store, outbox: readonly OutboxEntry[]): Promise<void> {
  const record = {
    id: 'two',
    startedAt: NOW + 60,
    finishedAt: NOW + 60,
    placesWithForecast: 1,
    placesWithout: 0,
  };
  await store.commitRound(record, [{ unit: 'blue', expectedVersion: 0, memory: EMPTY_MEMORY, outbox }]);
}

function of(kind: MessageKind, episode = 'blue-1'): OutboxEntry {
  return entry({ episode, channel: 'console', message: letter({ kind }) });
}

/** Which kinds still wait, of one message of each, once one of this kind has come. */
async function left(kind: MessageKind): Promise<string[]> {
  const store = await storeWith(MESSAGE_KINDS.map((each) => of(each)));
  await newer(store, [of(kind, 'blue-2')]);
  const { claimed } = await store.claimDue({ now: NOW + 60, leaseSeconds: 60, owner: 'one', limit: 20 });
  return claimed.filter(({ message }) => message.kind !== kind).map(({ message }) => message.kind);
}

describe('a newer message', () => {
  it('that there is no forecast takes back nothing', async () => {
    expect(await left('no-forecast')).toEqual(MESSAGE_KINDS.filter((kind) => kind !== 'no-forecast'));
  });

  it.each(['heads-up', 'act', 'last-call', 'worse', 'late', 'no-forecast', 'fill-again'] as const)(
    'of kind %s leaves alone that a unit may have frozen',
    async (kind) => {
      expect(await left(kind)).toContain('frozen');
    },
  );

  it('that a unit may have frozen leaves alone what is to be done against the cold', async () => {
    expect(await left('frozen')).toEqual(MESSAGE_KINDS.filter((kind) => kind !== 'frozen'));
  });

  it('of work to do takes the place of older ones', async () => {
    expect(await left('worse')).toEqual([
      'frozen',
      'all-clear',
      'no-forecast',
      'fill-again',
      'fill-by',
      'dump-by',
      'unreached',
    ]);
  });

  it('that it is over takes the place of all but what the place asks for', async () => {
    expect(await left('all-clear')).toEqual(['fill-by', 'dump-by']);
  });
});

it('that a unit may have frozen is not sent any more once a person has checked it', async () => {
  const store = await storeWith([of('frozen'), of('act')]);
  const mark = { unit: 'blue', water: null, at: NOW, by: 'ann' };
  await store.mark({ ...mark, checked: false });
  expect(await store.outboxCounts()).toMatchObject({ waiting: 2 });
  await store.mark({ ...mark, checked: true });
  expect(await store.outboxCounts()).toMatchObject({ waiting: 1, superseded: 1 });
});

it('a message that was tried in vain before it was overtaken is let go of, and the log says so', async () => {
  const store = await storeWith([of('act'), of('last-call')]);
  const claim = { now: NOW, leaseSeconds: 60, owner: 'one', limit: 1 };
  const [first] = (await store.claimDue(claim)).claimed;
  const again = { outcome: 'again', nextTryAt: NOW + 900, error: 'no answer' } as const;
  await store.settle({ rowId: first!.rowId, owner: 'one', attempt: 1, settlement: again, now: NOW });
  await newer(store, [{ ...of('worse', 'blue-2'), notBefore: NOW + 7200 }]);
  expect(await store.outboxCounts()).toMatchObject({ superseded: 1, retrying: 0 });

  const log = recordingLog();
  const signal = new AbortController().signal;
  const delivery = {
    store,
    channels: new Map(),
    now: () => NOW + 60,
    owner: 'two',
    leaseSeconds: 60,
    signal,
    log,
  };
  expect(await deliverDue(delivery)).toMatchObject({ again: 0, sent: 0 });
  expect(log.lines).toMatchObject([
    { level: 'warn', fields: { kind: 'act', person: 'ann', attempts: 1, lastError: 'no answer' } },
  ]);
  expect(await store.outboxCounts()).toMatchObject({ superseded: 2, waiting: 1 });
  expect(await store.nextDueAt(NOW + 60)).toBe(NOW + 7200);
});
