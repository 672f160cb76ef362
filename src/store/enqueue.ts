import type { Transaction } from 'kysely';
import { batches } from './batches.ts';
import type { Schema } from './schema.ts';
import type { OutboxEntry, RoundRecord } from './store.ts';

/**
 * Puts messages in the outbox; one that was told before (same episode, kind, action, person and channel) is
 * ignored. Returns how many were new.
 */
export async function enqueue(
  trx: Transaction<Schema>,
  round: RoundRecord,
  entries: readonly OutboxEntry[],
): Promise<number> {
  let enqueued = 0;
  for (const batch of batches(entries)) {
    const inserted = await insertNew(trx, round, batch);
    if (inserted.length > 0) await supersedeOlder(trx, round, inserted);
    enqueued += inserted.length;
  }
  return enqueued;
}

async function insertNew(
  trx: Transaction<Schema>,
  round: RoundRecord,
  entries: readonly OutboxEntry[],
): Promise<readonly number[]> {
  const rows = await trx
    .insertInto('outbox')
    .values(entries.map((entry) => toRow(round, entry)))
    .onConflict((conflict) =>
      conflict.columns(['episode', 'kind', 'action', 'person', 'channel']).doNothing(),
    )
    .returning('id')
    .execute();
  return rows.map((row) => row.id);
}

function toRow(round: RoundRecord, { episode, channel, useBefore, notBefore, message }: OutboxEntry) {
  return {
    episode,
    kind: message.kind,
    action: message.action,
    person: message.to.id,
    channel,
    unit: message.unit,
    round: round.id,
    message: JSON.stringify(message),
    use_before: useBefore,
    due_at: notBefore,
    state: 'waiting' as const,
    attempt: 0,
  };
}

/**
 * What still waits from earlier rounds for the same reader about the same unit is out of date now. A message
 * that is being sent this moment cannot be called back: it is only marked, so that it is not tried again.
 */
async function supersedeOlder(
  trx: Transaction<Schema>,
  round: RoundRecord,
  newer: readonly number[],
): Promise<void> {
  await trx
    .updateTable('outbox')
    .from('outbox as newer')
    .where('newer.id', 'in', newer)
    .whereRef('newer.unit', '=', 'outbox.unit')
    .whereRef('newer.person', '=', 'outbox.person')
    .whereRef('newer.channel', '=', 'outbox.channel')
    .where('outbox.state', '=', 'waiting')
    .where('outbox.round', '<>', round.id)
    .set((row) => {
      const free = row('outbox.claimed_by', 'is', null);
      return {
        superseded_by: row.ref('newer.id'),
        state: row
          .case()
          .when(free)
          .then('superseded' as const)
          .else(row.ref('outbox.state'))
          .end(),
        settled_at: row.case().when(free).then(round.startedAt).else(null).end(),
      };
    })
    .execute();
}
