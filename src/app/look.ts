/** What `check` and `explain` share: a fresh look at every place, with memory and marks, writing nothing. */
import type { Config } from '../config/config.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openReader } from '../store/reader.ts';
import { readerShelf } from '../store/shelves.ts';
import type { StoreReader, UnitRecord } from '../store/store.ts';
import type { Surroundings } from './compose.ts';
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
  const reader = await openReader(request.config.store.path);
  try {
    return await lookWith(reader, request);
  } finally {
    await reader?.close();
  }
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
