import type { Kysely, Transaction } from 'kysely';
import { enqueue } from './enqueue.ts';
import { writePlaces, type PlaceCommit } from './places.ts';
import type { Schema } from './schema.ts';
import type { CommitResult, RoundRecord, UnitCommit } from './store.ts';
import { memoryChange, readUnits, unseen, writeUnits } from './units.ts';

interface Learned {
  readonly units: readonly UnitCommit[];
  readonly places: readonly PlaceCommit[];
}

/** What a round learned: memories, messages, places and the round's record, in the caller's one transaction. */
export async function commitRound(
  trx: Transaction<Schema>,
  round: RoundRecord,
  { units: commits, places }: Learned,
): Promise<CommitResult> {
  await writeRound(trx, round);
  await writePlaces(trx, places, round.startedAt);
  const current = await readUnits(trx);
  const versionOf = ({ unit }: UnitCommit): number => current.get(unit)?.version ?? 0;
  const fresh = commits.filter((commit) => versionOf(commit) === commit.expectedVersion);
  const changes = fresh.map(({ unit, memory }) =>
    memoryChange(current.get(unit) ?? unseen(unit), memory, round.startedAt),
  );
  await writeUnits(
    trx,
    changes.filter((change) => change !== null),
  );
  const enqueued = await enqueue(
    trx,
    round,
    fresh.flatMap((commit) => commit.outbox),
  );
  const stale = commits.filter((commit) => versionOf(commit) !== commit.expectedVersion);
  return { stale: stale.map(({ unit }) => unit), enqueued };
}

export async function lastRound(db: Kysely<Schema>): Promise<RoundRecord | null> {
  const row = await db
    .selectFrom('round')
    .selectAll()
    .orderBy('finished_at', 'desc')
    .orderBy('id', 'desc')
    .limit(1)
    .executeTakeFirst();
  if (row === undefined) return null;
  return {
    id: row.id,
    startedAt: row.started_at,
    finishedAt: row.finished_at,
    placesWithForecast: row.places_with_forecast,
    placesWithout: row.places_without,
  };
}

/** A round writes itself again when stale units were computed anew. */
async function writeRound(trx: Transaction<Schema>, round: RoundRecord): Promise<void> {
  const values = {
    started_at: round.startedAt,
    finished_at: round.finishedAt,
    places_with_forecast: round.placesWithForecast,
    places_without: round.placesWithout,
  };
  await trx
    .insertInto('round')
    .values({ id: round.id, ...values })
    .onConflict((conflict) => conflict.column('id').doUpdateSet(values))
    .execute();
}
