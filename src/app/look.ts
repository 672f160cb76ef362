/** What `check` and `explain` share: a fresh look at every place, with memory and marks, writing nothing. */
import type { Config } from '../config/config.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openReader } from '../store/reader.ts';
import { readerShelf } from '../store/shelves.ts';
import type { StoreReader, UnitRecord } from '../store/store.ts';
import type { Surroundings } from './compose.ts';
import { NOTHING_TOLD, type DeliveryState } from './delivery-answer.ts';
import { openSources } from './sources.ts';
import { evaluate, type Evaluation } from './evaluate.ts';
import { knowledgeOf, type PlaceKnowledge } from './knowledge.ts';
import { forecastsFor } from './round.ts';

export interface LookRequest {
  readonly config: Config;
  readonly surroundings: Surroundings;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

/** @throws StoreError */
export async function look(request: LookRequest): Promise<Evaluation> {
  return (await lookAll(request)).evaluation;
}

/** With what was to be told. @throws StoreError */
export async function lookAll(
  request: LookRequest,
): Promise<{ readonly evaluation: Evaluation; readonly delivery: DeliveryState }> {
  const reader = await openReader(request.config.store.path);
  try {
    return {
      evaluation: await lookWith(reader, request),
      delivery: await deliveryState(reader, request.now),
    };
  } finally {
    await reader?.close();
  }
}

async function deliveryState(reader: StoreReader | null, now: EpochSeconds): Promise<DeliveryState> {
  if (reader === null) return NOTHING_TOLD;
  return {
    counts: await reader.outboxCounts(),
    undelivered: await reader.undelivered(now),
    unreadable: await reader.countUnreadable(),
  };
}

async function lookWith(
  reader: StoreReader | null,
  { config, surroundings, now, signal }: LookRequest,
): Promise<Evaluation> {
  const records = reader === null ? new Map<string, UnitRecord>() : await reader.readUnits();
  // What cannot be found in the database is asked for: a look has nothing to say about its state but by failing.
  const sources = openSources(config, { ...surroundings, shelf: readerShelf(reader, () => undefined) });
  try {
    const forecasts = await forecastsFor({ config, sources: sources.offered, signal }, now);
    const knowledge =
      reader === null ? new Map<string, PlaceKnowledge>() : (await knowledgeOf(reader, config, now)).places;
    return await evaluate({ config, now, forecasts, records, knowledge, signal });
  } finally {
    await sources.close();
  }
}
