/** What was told, and what units were, is kept for as long as anything asks for it. */
import type { Selectable, Transaction } from 'kysely';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { batches } from './batches.ts';
import type { Schema, UnitTable } from './schema.ts';
import { toRecord } from './units.ts';

/** In days. Common practice, no source. History: one winter and the next, as readings are kept. */
const KEPT_DAYS = { outbox: 60, history: 400 };

/**
 * Drops messages that were settled long ago. A running episode keeps its own, however old: they are what keeps a
 * message from being said twice.
 */
export async function pruneOutbox(trx: Transaction<Schema>, now: EpochSeconds): Promise<void> {
  const old = now - KEPT_DAYS.outbox * DAY_S;
  const settled = trx
    .selectFrom('outbox')
    .select('unit')
    .distinct()
    .where('state', '<>', 'waiting')
    .where('settled_at', '<', old);
  for (const batch of batches(await settled.execute())) {
    const ids = batch.map(({ unit }) => unit);
    const units = await trx.selectFrom('unit').selectAll().where('unit', 'in', ids).execute();
    const byId = new Map(units.map((row) => [row.unit, row]));
    for (const unit of ids) {
      await trx
        .deleteFrom('outbox')
        .where('unit', '=', unit)
        .where('state', '<>', 'waiting')
        .where('settled_at', '<', Math.min(old, runningSince(byId.get(unit))))
        .execute();
    }
  }
}

/** Since when what the unit remembers may name messages; what cannot be read may name any. */
function runningSince(row: Selectable<UnitTable> | undefined): EpochSeconds {
  if (row === undefined) return Infinity;
  const { memory, damaged } = toRecord(row);
  if (damaged === true) return -Infinity;
  const { episode, blindSince, suspectSince, told } = memory;
  const instants = [episode?.since, blindSince, suspectSince, ...told.map(({ at }) => at)];
  return Math.min(...instants.map((at) => at ?? Infinity));
}

/** Of each unit and cause the last of the old rows stays: it says what the unit was when the kept ones begin. */
export async function pruneHistory(trx: Transaction<Schema>, now: EpochSeconds): Promise<void> {
  const old = now - KEPT_DAYS.history * DAY_S;
  const last = trx
    .selectFrom('unit_history')
    .select((row) => row.fn.max('id').as('id'))
    .where('at', '<', old)
    .groupBy(['unit', 'cause']);
  await trx.deleteFrom('unit_history').where('at', '<', old).where('id', 'not in', last).execute();
}
