import type { Transaction } from 'kysely';
import { batches } from './batches.ts';
import { newsKey, newsOf, reviveLost, wayColumns } from './lost.ts';
import { supersedeOlder, type Inserted } from './overtake.ts';
import type { Schema } from './schema.ts';
import type { OutboxEntry, RoundRecord } from './store.ts';

/**
 * Puts messages in the outbox; one that was told before (same episode, kind, action, person and channel) is
 * ignored, unless it was lost and is worth another try. Returns how many will be sent.
 */
export async function enqueue(
  trx: Transaction<Schema>,
  round: RoundRecord,
  entries: readonly OutboxEntry[],
): Promise<number> {
  let enqueued = 0;
  for (const offered of batches(entries)) {
    const batch = await withoutReached(trx, offered);
    if (batch.length === 0) continue;
    const inserted = await insertNew(trx, round, batch);
    await supersedeOlder(trx, round, inserted);
    // What was just put in is no longer lost, and what was lost was not put in.
    enqueued += inserted.length + (await reviveLost(trx, round, batch));
  }
  return enqueued;
}

async function insertNew(
  trx: Transaction<Schema>,
  round: RoundRecord,
  entries: readonly OutboxEntry[],
): Promise<readonly Inserted[]> {
  return await trx
    .insertInto('outbox')
    .values(entries.map((entry) => toRow(round, entry)))
    .onConflict((conflict) =>
      conflict.columns(['episode', 'kind', 'action', 'person', 'channel']).doNothing(),
    )
    .returning(['id', 'kind'])
    .execute();
}

/** Where one way is enough, one that has the message, or is about to, is enough, whichever would be first now. */
async function withoutReached(
  trx: Transaction<Schema>,
  entries: readonly OutboxEntry[],
): Promise<readonly OutboxEntry[]> {
  const chosen = entries.filter(({ ways }) => ways !== undefined);
  if (chosen.length === 0) return entries;
  const rows = await trx
    .selectFrom('outbox')
    .select(['episode', 'kind', 'action', 'person'])
    .where('episode', 'in', [...new Set(chosen.map(({ episode }) => episode))])
    .where('state', 'not in', ['failed', 'expired'])
    .execute();
  const reached = new Set(rows.map(newsKey));
  return entries.filter((entry) => entry.ways === undefined || !reached.has(newsKey(newsOf(entry))));
}

function toRow(round: RoundRecord, entry: OutboxEntry) {
  const { episode, channel, useBefore, notBefore, message } = entry;
  return {
    ...wayColumns(entry),
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
