/**
 * One round: the whole pipeline in a row.
 *
 *     forecast -> weather -> model -> decision -> one transaction {memory, outbox, record} -> delivery
 *
 * Fetching comes first and sending, by the outbox's own loop, last; what lies between is pure.
 */
import type { Config } from '../config/config.ts';
import { gatherForecasts, type Gathered, type OfferedSource } from '../forecast/gather.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { Log } from '../outbox/log.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { RoundRecord, Store } from '../store/store.ts';
import { evaluate, type Evaluation } from './evaluate.ts';
import { unitCommits } from './notify.ts';

export interface RoundContext {
  readonly config: Config;
  readonly sources: readonly OfferedSource[];
  readonly store: Store;
  /** Names this process among those that share the database. */
  readonly owner: string;
  readonly now: () => EpochSeconds;
  readonly signal: AbortSignal;
  readonly log: Log;
}

export interface RoundOutcome {
  readonly record: RoundRecord;
  readonly evaluation: Evaluation;
  /** New messages put in the outbox. */
  readonly enqueued: number;
  /** What the round had to say at first computing, new or told before. */
  readonly messages: readonly OutgoingMessage[];
}

/** A unit that is marked again and again while it is computed is left to the next round after so many tries. */
const MOST_TRIES = 5;

/** @throws StoreError; an abort rejects with the signal's reason. */
export async function runRound(context: RoundContext): Promise<RoundOutcome> {
  const startedAt = context.now();
  const forecasts = await forecastsFor(context, startedAt);
  const outcome = await commit(context, { forecasts, startedAt });
  const { enqueued, record } = outcome;
  context.log.info(
    {
      round: record.id,
      places: record.placesWithForecast,
      without: record.placesWithout,
      messages: enqueued,
    },
    'The round is finished and in the database.',
  );
  return outcome;
}

export async function forecastsFor(
  { config, sources, signal }: Pick<RoundContext, 'config' | 'sources' | 'signal'>,
  now: EpochSeconds,
): Promise<ReadonlyMap<string, Gathered>> {
  return await gatherForecasts({ points: config.places, sources, now, signal });
}

interface Computed {
  readonly forecasts: ReadonlyMap<string, Gathered>;
  readonly startedAt: EpochSeconds;
}

/** Writes only what was computed from the units as they still are; computes the others again. */
async function commit(context: RoundContext, computed: Computed): Promise<RoundOutcome> {
  let evaluation = await evaluateAgain(context, context.config, computed);
  const record = recordOf(evaluation, context.owner, {
    startedAt: computed.startedAt,
    finishedAt: context.now(),
  });
  let commits = unitCommits(context.config, evaluation);
  const messages = commits.flatMap((c) => c.outbox.map((entry) => entry.message));
  let { stale, enqueued } = await context.store.commitRound(record, commits);
  for (let tries = 1; stale.length > 0 && tries < MOST_TRIES; tries++) {
    const moved = new Set(stale);
    const config = { ...context.config, units: context.config.units.filter((u) => moved.has(u.id)) };
    const again = await evaluateAgain(context, config, computed);
    evaluation = {
      ...evaluation,
      units: evaluation.units.map((u) => again.units.find((a) => a.unit.id === u.unit.id) ?? u),
    };
    commits = unitCommits(config, again);
    const result = await context.store.commitRound(record, commits);
    stale = result.stale;
    enqueued += result.enqueued;
  }
  if (stale.length > 0)
    context.log.warn({ units: stale }, 'Units changed while they were computed; the next round takes them.');
  return { record, evaluation, enqueued, messages };
}

async function evaluateAgain(
  context: RoundContext,
  config: Config,
  { forecasts, startedAt }: Computed,
): Promise<Evaluation> {
  const records = await context.store.readUnits();
  return await evaluate({ config, now: startedAt, forecasts, records, signal: context.signal });
}

function recordOf(
  { places }: Evaluation,
  owner: string,
  times: { startedAt: EpochSeconds; finishedAt: EpochSeconds },
): RoundRecord {
  const without = places.filter((p) => p.problem !== null).length;
  return {
    id: `${isoSecond(times.startedAt)} ${owner}`,
    ...times,
    placesWithForecast: places.length - without,
    placesWithout: without,
  };
}
