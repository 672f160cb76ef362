import type { Transaction } from 'kysely';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { pruneHistory, pruneOutbox } from './prune-told.ts';
import type { Schema } from './schema.ts';

/** Older readings are not kept: one winter and the next, so that they can be compared. */
export const READINGS_KEPT_DAYS = 400;

/**
 * How long what is of no more use stays, in days. Common practice, no source. Past hours: as far back as nights are
 * judged, and what they start from. Truths: as long as there are forecasts to hold against them. Answers: heights of the
 * ground are good for 90 days. States of units: a round makes one of each.
 */
const KEPT_DAYS = {
  pastHours: 65,
  truths: 130,
  keptForecasts: 120,
  spentCalls: 2,
  answers: 100,
  rounds: 90,
  states: 1,
  answered: 400,
};

/** Drops what has become too old to be of use; of the rounds the last one stays, however old. */
export async function prune(trx: Transaction<Schema>, now: EpochSeconds): Promise<void> {
  const before = (days: number): EpochSeconds => now - days * DAY_S;
  await trx.deleteFrom('past_hour').where('hour', '<', before(KEPT_DAYS.pastHours)).execute();
  await trx.deleteFrom('reading').where('at', '<', before(READINGS_KEPT_DAYS)).execute();
  await trx.deleteFrom('truth').where('at', '<', before(KEPT_DAYS.truths)).execute();
  await trx.deleteFrom('kept_forecast').where('valid_day', '<', before(KEPT_DAYS.keptForecasts)).execute();
  await trx.deleteFrom('spent_call').where('minute', '<', before(KEPT_DAYS.spentCalls)).execute();
  await trx
    .deleteFrom('outbox')
    .where('kind', '=', 'state')
    .where('state', '<>', 'waiting')
    .where('settled_at', '<', before(KEPT_DAYS.states))
    .execute();
  await trx.deleteFrom('shelf').where('fetched_at', '<', before(KEPT_DAYS.answers)).execute();
  // Of each person the last of each kind stays: it may still hold.
  await trx
    .deleteFrom('answer')
    .where('recorded_at', '<', before(KEPT_DAYS.answered))
    .where('id', 'not in', (row) =>
      row
        .selectFrom('answer as last')
        .select((last) => last.fn.max('last.id').as('id'))
        .groupBy(['last.unit', 'last.person', 'last.answer']),
    )
    .execute();
  await trx
    .deleteFrom('round')
    .where('finished_at', '<', before(KEPT_DAYS.rounds))
    .where('finished_at', '<', (row) =>
      row.selectFrom('round as last').select((last) => last.fn.max('last.finished_at').as('at')),
    )
    .execute();
  await pruneOutbox(trx, now);
  await pruneHistory(trx, now);
}
