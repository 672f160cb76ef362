/** Messages that were refused for good or ran out of time, and still hold. */
import type { Kysely, Selectable, Transaction } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import { batches } from './batches.ts';
import { readMessage } from './message-text.ts';
import type { OutboxTable, Schema } from './schema.ts';
import type { OutboxEntry, RoundRecord } from './store.ts';

/** What a server refuses for good now it may take later: a mailbox is no longer full, a name is registered. */
const AFTER_REFUSAL_S = 6 * 3600;

/** Puts those back into the outbox that are worth another try, as they read now. Returns how many. */
export async function reviveLost(
  trx: Transaction<Schema>,
  round: RoundRecord,
  entries: readonly OutboxEntry[],
): Promise<number> {
  const now = round.startedAt;
  let revived = 0;
  for (const { entry, row } of await lostAmong(trx, entries)) {
    if (entry.useBefore <= now || !isWorthAnotherTry(entry, row, now)) continue;
    await trx
      .updateTable('outbox')
      .where('id', '=', row.id)
      .set({
        state: 'waiting',
        round: round.id,
        message: JSON.stringify(entry.message),
        use_before: entry.useBefore,
        due_at: entry.notBefore,
        superseded_by: null,
        last_error: null,
        settled_at: null,
        unsure_attempts: 0,
        batch: null,
        ...wayColumns(entry),
      })
      .execute();
    revived += 1;
  }
  return revived;
}

/** What entries say of the ways to their reader. */
export function wayColumns({ ways, urgent, patienceEnds, gathers }: OutboxEntry) {
  return {
    ways: ways === undefined ? null : JSON.stringify(ways),
    urgent: urgent === true ? 1 : 0,
    patience_ends: patienceEnds ?? null,
    gathers: gathers === true ? 1 : 0,
  };
}

/** Where one way is enough, what another one has delivered or still tries is not lost. */
export async function countLost(db: Kysely<Schema>, entries: readonly OutboxEntry[]): Promise<number> {
  const lost = await lostAmong(db, entries);
  const alive = new Set<string>();
  for (const batch of batches(lost.filter(({ row }) => row.ways !== null))) {
    const rows = await db
      .selectFrom('outbox')
      .select(['episode', 'kind', 'action', 'person'])
      .where('episode', 'in', [...new Set(batch.map(({ row }) => row.episode))])
      .where('state', 'not in', ['failed', 'expired'])
      .execute();
    for (const row of rows) alive.add(newsKey(row));
  }
  return lost.filter(({ row }) => row.ways === null || !alive.has(newsKey(row))).length;
}

/** A message that may have arrived is not sent to the same address again. */
function isWorthAnotherTry(
  { message }: OutboxEntry,
  row: Selectable<OutboxTable>,
  now: EpochSeconds,
): boolean {
  const before = readMessage(row.message);
  // Where it would have gone is unknown, and that it went out is, too, if it was tried.
  if (before === null) return row.unsure_attempts === 0;
  if (before.to.email !== message.to.email || (before.to.text ?? null) !== (message.to.text ?? null))
    return true;
  if (row.unsure_attempts > 0) return false;
  return row.state === 'expired' || now - (row.settled_at ?? now) >= AFTER_REFUSAL_S;
}

interface Lost {
  readonly entry: OutboxEntry;
  readonly row: Selectable<OutboxTable>;
}

async function lostAmong(db: Kysely<Schema>, entries: readonly OutboxEntry[]): Promise<readonly Lost[]> {
  const lost: Lost[] = [];
  for (const batch of batches(entries)) {
    const rows = await db
      .selectFrom('outbox')
      .selectAll()
      .where('episode', 'in', [...new Set(batch.map(({ episode }) => episode))])
      .where('state', 'in', ['failed', 'expired'])
      .execute();
    const byKey = new Map(rows.map((row) => [keyOf(row), row]));
    for (const entry of batch) {
      const { episode, channel, message } = entry;
      const { kind, action, to } = message;
      const row = byKey.get(keyOf({ episode, kind, action, person: to.id, channel }));
      if (row !== undefined) lost.push({ entry, row });
    }
  }
  return lost;
}

type News = Pick<Selectable<OutboxTable>, 'episode' | 'kind' | 'action' | 'person'>;

export function newsOf({ episode, message }: OutboxEntry): News {
  return { episode, kind: message.kind, action: message.action, person: message.to.id };
}

/** The same message to the same reader, whichever way it goes. */
export function newsKey({ episode, kind, action, person }: News): string {
  return JSON.stringify([episode, kind, action, person]);
}

type Key = Pick<Selectable<OutboxTable>, 'episode' | 'kind' | 'action' | 'person' | 'channel'>;

function keyOf({ episode, kind, action, person, channel }: Key): string {
  return JSON.stringify([episode, kind, action, person, channel]);
}
