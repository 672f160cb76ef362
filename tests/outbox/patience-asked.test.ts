/** What the other side asks for when it says "later". */
import { expect, it } from 'vitest';
import { DeliveryError } from '../../src/errors.ts';
import { attempt } from '../../src/outbox/attempt.ts';
import { parcelOf } from '../../src/outbox/parcel.ts';
import { letter, NOW } from '../support/letter.ts';

it.each([
  [undefined, 10],
  [3, 10],
  [600, 600],
])('asked to wait %s s after the first attempt, the outbox waits %i s', async (retryAfterS, waitS) => {
  const send = async (): Promise<void> => {
    const asked = retryAfterS === undefined ? {} : { retryAfterS };
    throw new DeliveryError('delivery-unreachable', 'Later.', { retryable: true, ...asked });
  };
  const claimed = {
    ...({
      rowId: 1,
      attempt: 1,
      channel: 'webhook',
      useBefore: NOW + 9999,
    } as const),
    message: letter(),
    lastError: null,
    unsureAttempts: 0,
    ways: [],
    batch: null,
  };
  const channels = new Map([['webhook', { id: 'webhook', send, close: async () => undefined }] as const]);
  const parcel = parcelOf([claimed], NOW);
  if (parcel === null) throw new Error('Nothing was claimed.');
  const { settlement } = await attempt(parcel, {
    channels,
    now: () => NOW,
    jitter: () => 0.5,
    longestMs: 1e3,
    signal: new AbortController().signal,
  });
  expect(settlement).toMatchObject({ outcome: 'again', nextTryAt: NOW + waitS });
});
