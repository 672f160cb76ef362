/** What `check` says of messages on their way, and of those that nobody got. */
import type { Config } from '../config/config.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { OutboxCounts, Undelivered } from '../store/store.ts';
import { ofUnits } from './unreached.ts';

export interface DeliveryState {
  readonly counts: Pick<OutboxCounts, 'waiting' | 'retrying'>;
  readonly undelivered: Undelivered;
  /** How many wait whose text in the database cannot be read. */
  readonly unreadable: number;
}

/** Where there is no database nothing was ever told. */
export const NOTHING_TOLD: DeliveryState = {
  counts: { waiting: 0, retrying: 0 },
  undelivered: { lost: [], unreached: [] },
  unreadable: 0,
};

/** `waiting` and `retrying` of the whole outbox; the rest of the config's units. */
export function deliveryAnswer(config: Config, { counts, undelivered, unreadable }: DeliveryState) {
  return {
    waiting: counts.waiting,
    retrying: counts.retrying,
    lost: countLostOf(config, undelivered),
    ...(unreadable === 0 ? {} : { unreadable }),
    unreached: ofUnits(config, undelivered.unreached).map(({ unit, person, kind, at, error, trying }) => ({
      unit,
      person,
      name: config.people.find(({ id }) => id === person)?.name ?? person,
      kind,
      at: isoSecond(Math.round(at)),
      error,
      trying,
    })),
  };
}

export function countLostOf(config: Config, { lost }: Undelivered): number {
  return ofUnits(config, lost).reduce((sum, { count }) => sum + count, 0);
}
