/** The states of units in the outbox: the newest holds, and what is settled does not stay. */
import { expect, it } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import { DeliveryError } from '../../src/errors.ts';
import { deliverDue } from '../../src/outbox/loop.ts';
import type { OutboxEntry } from '../../src/store/store.ts';
import { entry, letter, NOW } from '../support/letter.ts';
import { recordingLog, storeWith } from '../support/outbox.ts';

function telling(round: number): OutboxEntry {
  const message = letter({ kind: 'state', to: { id: '', name: '', email: null }, subject: `round ${round}` });
  return entry({ episode: `state.blue.${round}`, channel: 'mqtt', message, useBefore: NOW + 10_800 });
}

const roundAt = (seconds: number) => ({
  id: `at ${seconds}`,
  startedAt: NOW + seconds,
  finishedAt: NOW + seconds,
  placesWithForecast: 1,
  placesWithout: 0,
});

const delivering = (now: number, send: () => Promise<void>) => ({
  channels: new Map([
    [
      'mqtt',
      {
        id: 'mqtt',
        send,
        close: async () => undefined,
      },
    ] as const,
  ]),
  now: () => now,
  owner: 'this',
  leaseSeconds: 60,
  signal: new AbortController().signal,
});

it('a newer state takes the place of one that waits, tried or not, and nobody is told of a loss', async () => {
  const store = await storeWith([telling(1)]);
  const log = recordingLog();
  const away = async (): Promise<void> => {
    throw new DeliveryError('delivery-unreachable', 'No broker.', { retryable: true });
  };
  expect(await deliverDue({ store, log, ...delivering(NOW, away) })).toMatchObject({ again: 1 });
  const outbox = [telling(2)];
  await store.commitRound(roundAt(3600), [
    { unit: 'blue', expectedVersion: 0, memory: EMPTY_MEMORY, outbox },
  ]);
  let sent = 0;
  const there = async (): Promise<void> => {
    sent += 1;
  };
  await deliverDue({ store, log, ...delivering(NOW + 3600, there) });
  expect(sent).toBe(1);
  expect(await store.outboxCounts()).toMatchObject({ sent: 1, superseded: 1, waiting: 0 });
  expect(log.lines).toEqual([]);
});

it('a state that was settled is dropped a day later, and no message to a person is', async () => {
  const store = await storeWith([telling(1), entry({ episode: 'blue-9' })]);
  const sent = async (): Promise<void> => undefined;
  await deliverDue({ store, log: recordingLog(), ...delivering(NOW, sent) });
  await store.prune(NOW + 86_000);
  expect(await store.outboxCounts()).toMatchObject({ sent: 1, waiting: 1 });
  await store.prune(NOW + 86_500);
  expect(await store.outboxCounts()).toMatchObject({ sent: 0, waiting: 1 });
});
