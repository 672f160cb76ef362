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
import type { OutboxEntry, RoundRecord, Store, UnreachedPerson } from '../store/store.ts';
import { outdated } from './contacts.ts';
import { evaluate, type Evaluation } from './evaluate.ts';
import { staleness } from './freshness.ts';
import { stillFresh, type KeptForecasts } from './kept-forecasts.ts';
import { knowledgeOf, type PlaceKnowledge } from './knowledge.ts';
import { placeCommits } from './place-commit.ts';
import { unitCommits, type UnitNews } from './notify.ts';
import { logUnreached, ofUnits } from './unreached.ts';
import { watchingEntries } from './watching.ts';
import { NO_TROUBLES, logTroubles, type Troubles } from './trouble.ts';

export interface RoundContext {
  readonly config: Config;
  readonly sources: readonly OfferedSource[];
  readonly store: Store;
  /** Names this process among those that share the database. */
  readonly owner: string;
  readonly now: () => EpochSeconds;
  readonly signal: AbortSignal;
  readonly log: Log;
  /** What stood in the way of the round before; absent: this is the first of the process. */
  readonly before?: Troubles;
  /** What services said in earlier rounds, where it may do for this one as far as it is fresh; absent: all are asked. */
  readonly kept?: KeptForecasts;
}

export interface RoundOutcome {
  readonly record: RoundRecord;
  readonly evaluation: Evaluation;
  /** New messages put in the outbox. */
  readonly enqueued: number;
  /** What the round had to say at first computing, new or told before. */
  readonly messages: readonly OutgoingMessage[];
  /** All that holds and was offered to the outbox, which takes what it has not got. */
  readonly offered: readonly OutboxEntry[];
  /** What stood in its way, for the next round to tell news from old. */
  readonly troubles: Troubles;
  /** What it was computed from, and when that was asked for. */
  readonly forecasts: KeptForecasts;
}

/** A unit that is marked again and again while it is computed is left to the next round after so many tries. */
const MOST_TRIES = 5;

/** @throws StoreError; an abort rejects with the signal's reason. */
export async function runRound(context: RoundContext): Promise<RoundOutcome> {
  const startedAt = context.now();
  const kept = await forecastsOf(context, startedAt);
  const forecasts = new Map([...kept].map(([place, { gathered }]) => [place, gathered]));
  await endOutdated(context, startedAt);
  const { places: knowledge, damaged } = await knowledgeOf(context.store, context.config, startedAt);
  if (damaged.length > 0) context.log.warn({ rows: damaged }, DAMAGED_ROWS);
  const { unreached: all } = await context.store.undelivered(startedAt);
  const unreached = ofUnits(context.config, all);
  const committed = await commit(context, { forecasts, knowledge, startedAt, unreached });
  const { enqueued, record, evaluation } = committed;
  await sayWatching(context, committed);
  const before = context.before ?? NO_TROUBLES;
  const ofWeather = logTroubles(context.log, { evaluation, forecasts, before });
  const troubles = new Map([...ofWeather, ...logUnreached(context.log, unreached, before)]);
  context.log.info(
    {
      round: record.id,
      places: record.placesWithForecast,
      without: record.placesWithout,
      messages: enqueued,
    },
    'The round is finished and in the database.',
  );
  return { ...committed, troubles, forecasts: kept };
}

/** Whoever the config no longer names is asked anew once it names them again. */
async function endOutdated({ config, store }: RoundContext, at: EpochSeconds): Promise<void> {
  const { ids, units } = outdated(config, await store.readUnits());
  if (ids.length > 0) await store.endAnswers({ ids, units, at });
}

/** The weekly line goes out with whichever round comes first in its time. */
async function sayWatching(
  { config, store }: RoundContext,
  { record, evaluation }: Pick<RoundOutcome, 'record' | 'evaluation'>,
): Promise<void> {
  if (!config.people.some((person) => person.stillWatching)) return;
  const outbox = await store.outboxHealth(record.startedAt);
  const { schedule } = config;
  const damaged = evaluation.units.filter((unit) => unit.record.damaged === true).length;
  const reasons = staleness({ lastRound: record, schedule, outbox, damaged }, record.finishedAt);
  const entries = watchingEntries({ config, evaluation, reasons });
  if (entries.length > 0) await store.enqueue(record, entries);
}

/** Only services that have not just been asked are. */
async function forecastsOf(context: RoundContext, now: EpochSeconds): Promise<KeptForecasts> {
  const { config, sources, kept = new Map() } = context;
  const held = stillFresh(kept, sources, now);
  const places = config.places.filter(({ id }) => !held.has(id));
  const asked = await forecastsFor({ ...context, config: { ...config, places } }, now);
  return new Map(
    config.places.flatMap(({ id }) => {
      const gathered = asked.get(id);
      const of = gathered === undefined ? held.get(id) : { askedAt: now, gathered };
      return of === undefined ? [] : [[id, of] as const];
    }),
  );
}

export async function forecastsFor(
  { config, sources, signal }: Pick<RoundContext, 'config' | 'sources' | 'signal'>,
  now: EpochSeconds,
): Promise<ReadonlyMap<string, Gathered>> {
  return await gatherForecasts({
    points: config.places,
    sources,
    now,
    signal,
    compare: config.weather.compare,
  });
}

interface Computed {
  readonly forecasts: ReadonlyMap<string, Gathered>;
  readonly knowledge: ReadonlyMap<string, PlaceKnowledge>;
  readonly startedAt: EpochSeconds;
  /** Who of those told before was not reached. */
  readonly unreached: readonly UnreachedPerson[];
}

const DAMAGED_ROWS = 'Some of what was kept of forecasts and readings cannot be read and is left out.';

/** Writes only what was computed from the units as they still are; computes the others again. */
async function commit(
  context: RoundContext,
  computed: Computed,
): Promise<Omit<RoundOutcome, 'troubles' | 'forecasts'>> {
  let evaluation = await evaluateAgain(context, context.config, computed);
  const record = recordOf(evaluation, context.owner, {
    startedAt: computed.startedAt,
    finishedAt: context.now(),
  });
  let commits = commitsOf(context.config, evaluation, computed.unreached);
  const messages = commits.flatMap((c) => c.messages);
  let offered = commits.flatMap((c) => c.outbox);
  let { stale, enqueued } = await context.store.commitRound(record, commits, placeCommits(evaluation));
  for (let tries = 1; stale.length > 0 && tries < MOST_TRIES; tries++) {
    const moved = new Set(stale);
    const config = { ...context.config, units: context.config.units.filter((u) => moved.has(u.id)) };
    const again = await evaluateAgain(context, config, computed);
    evaluation = {
      ...evaluation,
      units: evaluation.units.map((u) => again.units.find((a) => a.unit.id === u.unit.id) ?? u),
    };
    commits = commitsOf(config, again, computed.unreached);
    offered = [
      ...offered.filter(({ message }) => !moved.has(message.unit)),
      ...commits.flatMap((c) => c.outbox),
    ];
    const result = await context.store.commitRound(record, commits);
    stale = result.stale;
    enqueued += result.enqueued;
  }
  if (stale.length > 0)
    context.log.warn({ units: stale }, 'Units changed while they were computed; the next round takes them.');
  return { record, evaluation, enqueued, messages, offered };
}

/** Nothing is written over a damaged record: a person is to look at it. */
function commitsOf(
  config: Config,
  evaluation: Evaluation,
  unreached: readonly UnreachedPerson[],
): UnitNews[] {
  const units = evaluation.units.filter(({ record }) => record.damaged !== true);
  return unitCommits(config, { ...evaluation, units }, unreached);
}

async function evaluateAgain(
  context: RoundContext,
  config: Config,
  { forecasts, knowledge, startedAt }: Computed,
): Promise<Evaluation> {
  const records = await context.store.readUnits();
  const { signal } = context;
  return await evaluate({ config, now: startedAt, forecasts, knowledge, records, signal });
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
