/** Builds what a run needs from its config, and lets go of it again, also when building fails half way. */
import { randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import type { Config } from '../config/config.ts';
import type { Channel, ChannelId } from '../delivery/channel.ts';
import { openChannels } from '../delivery/open.ts';
import { withAnswerLinks, type AnswerLink } from '../message/answer-links.ts';
import type { Log } from '../outbox/log.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { storeShelf } from '../store/shelves.ts';
import { openStore } from '../store/open.ts';
import type { Store } from '../store/store.ts';
import { linksOf } from '../web/link.ts';
import { emptyStore } from './store-care.ts';
import { openSources, type Patience, type Sources } from './sources.ts';
import { messageOf } from './error-words.ts';

/** What the program takes from the machine around it. */
export interface Surroundings {
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly write: (text: string) => void;
  readonly patience?: Patience;
}

export interface Machinery {
  readonly store: Store;
  readonly sources: Sources;
  readonly channels: ReadonlyMap<ChannelId, Channel>;
  /** Names this process among those that share the database. */
  readonly owner: string;
  close(): Promise<void>;
}

export interface MachineryOf {
  readonly now: () => EpochSeconds;
  readonly surroundings: Surroundings;
  readonly signal: AbortSignal;
  readonly log: Log;
}

const SHELF_TROUBLE =
  'An answer of a weather service could not be kept, or found again; without it the service is asked anew.';

/**
 * @param signal aborted when the program is to end: the store then no longer waits long for a lock
 * @throws StoreError, DeliveryError: nothing stays open then.
 */
export async function openMachinery(
  config: Config,
  { surroundings, now, signal, log }: MachineryOf,
): Promise<Machinery> {
  const releasers: (() => Promise<void>)[] = [];
  const close = async (): Promise<void> => {
    for (const release of releasers.toReversed()) await release();
  };
  try {
    // Made at sending, when the store has long been open.
    let links = async (): Promise<AnswerLink | null> => null;
    const installation = later<string>();
    const channels = openChannels(config.delivery, {
      ...surroundings,
      now,
      linked: async (message) => withAnswerLinks(message, await links()),
      units: config.units.map(({ id, place }) => ({ unit: id, place })),
      installation: installation.promise,
      onTrouble: (what, error) => log.warn({ error: messageOf(error) }, what),
    });
    for (const channel of channels.values()) releasers.push(() => channel.close());
    const empty = emptyStore(config);
    if (empty !== null) log.warn({ store: config.store.path }, empty);
    const store = await openStore(config.store.path, { signal });
    releasers.push(() => store.close());
    if (config.delivery.mqtt !== null) installation.resolve(await store.installation(now()));
    const publicUrl = config.web?.publicUrl ?? null;
    if (publicUrl !== null) {
      // Read each time: somebody may have had a new one made since. Made now, so that it is not made while sending.
      links = async () => linksOf({ publicUrl, key: await store.linkKey(now()) });
      await links();
    }
    const shelf = storeShelf(store, (error) => log.warn({ error: messageOf(error) }, SHELF_TROUBLE));
    const sources = openSources(config, { ...surroundings, shelf });
    releasers.push(() => sources.close());
    return { store, sources, channels, owner: `${hostname()}.${process.pid}.${randomUUID()}`, close };
  } catch (error) {
    await close();
    throw error;
  }
}

interface Later<T> {
  readonly promise: Promise<T>;
  readonly resolve: (value: T) => void;
}

/** For what opens before the store and needs what only the store knows. */
function later<T>(): Later<T> {
  let resolve: (value: T) => void = () => undefined;
  const promise = new Promise<T>((done) => {
    resolve = done;
  });
  return { promise, resolve };
}
