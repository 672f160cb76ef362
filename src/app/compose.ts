/** Builds what a run needs from its config, and lets go of it again, also when building fails half way. */
import { randomUUID } from 'node:crypto';
import { hostname } from 'node:os';
import { Agent } from 'undici';
import type { Config, SourceConfig } from '../config/config.ts';
import type { Channel, ChannelId } from '../delivery/channel.ts';
import { openChannels } from '../delivery/open.ts';
import { fileSource } from '../forecast/file/client.ts';
import type { OfferedSource } from '../forecast/gather.ts';
import { memoryShelf } from '../forecast/http/memory-shelf.ts';
import { openMeteoSource } from '../forecast/open-meteo/client.ts';
import { openStore } from '../store/open.ts';
import type { Store } from '../store/store.ts';
import { userAgent } from './version.ts';

/** What the program takes from the machine around it. */
export interface Surroundings {
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly write: (text: string) => void;
}

export interface Sources {
  readonly offered: readonly OfferedSource[];
  close(): Promise<void>;
}

export function openSources(config: Config, { env }: Surroundings): Sources {
  const dispatcher = new Agent({ connections: 1, pipelining: 1 });
  const open = (source: SourceConfig): OfferedSource => {
    if (source.kind === 'file')
      return { source: fileSource(source), staleAfterHours: source.staleAfterHours, service: null };
    if (source.kind !== 'open-meteo') throw new Error(`No client for ${source.kind}.`);
    const key = source.apiKeyEnv === null ? null : (env[source.apiKeyEnv]?.trim() ?? null);
    const options = {
      id: source.id,
      baseUrl: source.baseUrl,
      ensembleBaseUrl: source.baseUrl,
      ensembles: [],
      staleAfterHours: source.staleAfterHours,
      shelf: memoryShelf(),
      apiKey: key === '' ? null : key,
      horizonHours: config.weather.horizonHours,
      dispatcher,
      userAgent: userAgent(),
    };
    return {
      source: openMeteoSource(options),
      staleAfterHours: source.staleAfterHours,
      service: source.kind,
    };
  };
  return { offered: config.weather.sources.map(open), close: () => dispatcher.destroy() };
}

export interface Machinery {
  readonly store: Store;
  readonly sources: Sources;
  readonly channels: ReadonlyMap<ChannelId, Channel>;
  /** Names this process among those that share the database. */
  readonly owner: string;
  close(): Promise<void>;
}

/**
 * @param signal aborted when the program is to end: the store then no longer waits long for a lock
 * @throws StoreError, DeliveryError: nothing stays open then.
 */
export async function openMachinery(
  config: Config,
  surroundings: Surroundings,
  signal: AbortSignal,
): Promise<Machinery> {
  const releasers: (() => Promise<void>)[] = [];
  const close = async (): Promise<void> => {
    for (const release of releasers.toReversed()) await release();
  };
  try {
    const channels = openChannels(config.delivery, surroundings.env, surroundings.write);
    for (const channel of channels.values()) releasers.push(() => channel.close());
    const sources = openSources(config, surroundings);
    releasers.push(() => sources.close());
    const store = await openStore(config.store.path, { signal });
    releasers.push(() => store.close());
    return { store, sources, channels, owner: `${hostname()}.${process.pid}.${randomUUID()}`, close };
  } catch (error) {
    await close();
    throw error;
  }
}
