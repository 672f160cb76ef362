/** What `check` and `explain` share: a fresh look at every place, with memory and marks, writing nothing. */
import type { Config } from '../config/config.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { openReader } from '../store/reader.ts';
import type { UnitRecord } from '../store/store.ts';
import { openSources, type Surroundings } from './compose.ts';
import { evaluate, type Evaluation } from './evaluate.ts';
import { forecastsFor } from './round.ts';

export interface LookRequest {
  readonly config: Config;
  readonly surroundings: Surroundings;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

/** @throws StoreError */
export async function look({ config, surroundings, now, signal }: LookRequest): Promise<Evaluation> {
  const records = await readRecords(config);
  const sources = openSources(config, surroundings);
  try {
    const forecasts = await forecastsFor({ config, sources: sources.offered, signal }, now);
    return await evaluate({ config, now, forecasts, records, signal });
  } finally {
    await sources.close();
  }
}

async function readRecords(config: Config): Promise<ReadonlyMap<string, UnitRecord>> {
  const reader = await openReader(config.store.path);
  if (reader === null) return new Map();
  try {
    return await reader.readUnits();
  } finally {
    await reader.close();
  }
}
