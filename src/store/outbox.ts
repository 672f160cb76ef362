import type { ExpressionBuilder, Kysely, Selectable, Transaction } from 'kysely';
import type { ChannelId } from '../delivery/channel.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { OutboxTable, Schema } from './schema.ts';
import type {
  ClaimCommand,
  ClaimedMessage,
  ClaimResult,
  LostMessage,
  OutboxCounts,
  SettleCommand,
} from './store.ts';

/** Lets go of what nobody should send any more, then takes what is due, most urgent first. */
export async function claimDue(trx: Transaction<Schema>, command: ClaimCommand): Promise<ClaimResult> {
  const overtaken = await retireSuperseded(trx, command.now);
  const expired = await expire(trx, command.now);
  return { claimed: await claim(trx, command), expired, overtaken };
}

/** Records the end of an attempt, if the claim is still the caller's. */
export async function settle(trx: Transaction<Schema>, command: SettleCommand): Promise<boolean> {
  const result = await trx
    .updateTable('outbox')
    .where('id', '=', command.rowId)
    .where('state', '=', 'waiting')
    .where('claimed_by', '=', command.owner)
    .where('attempt', '=', command.attempt)
    .set((row) => ({ claimed_by: null, ...outcome(row, command) }))
    .executeTakeFirst();
  return result.numUpdatedRows === 1n;
}

export async function outboxCounts(db: Kysely<Schema>): Promise<OutboxCounts> {
  const rows = await db
    .selectFrom('outbox')
    .select(['state', (row) => row.fn.countAll().as('count')])
    .groupBy('state')
    .execute();
  const counts = { waiting: 0, sent: 0, failed: 0, expired: 0, superseded: 0 };
  for (const row of rows) counts[row.state] = Number(row.count);
  const tried = db
    .selectFrom('outbox')
    .where('state', '=', 'waiting')
    .where('attempt', '>', 0)
    .where('superseded_by', 'is', null);
  const retrying = await tried.select((row) => row.fn.countAll().as('count')).executeTakeFirst();
  return { ...counts, retrying: Number(retrying?.count ?? 0) };
}

export async function nextDueAt(db: Kysely<Schema>, now: EpochSeconds): Promise<EpochSeconds | null> {
  const waiting = db.selectFrom('outbox').where('state', '=', 'waiting');
  const due = await waiting.select((row) => row.fn.min('due_at').as('at')).executeTakeFirst();
  const lost = await waiting
    .where('claimed_by', 'is', null)
    .select((row) => row.fn.min('use_before').as('at'))
    .executeTakeFirst();
  const overtaken = await waiting
    .where('claimed_by', 'is', null)
    .where('superseded_by', 'is not', null)
    .select('id')
    .limit(1)
    .executeTakeFirst();
  if (overtaken !== undefined) return now;
  const instants = [due?.at ?? null, lost?.at ?? null].filter((at) => at !== null);
  return instants.length === 0 ? null : Math.max(now, Math.min(...instants));
}

type OutboxRow = ExpressionBuilder<Schema, 'outbox'>;

/** Not in anyone's hands: never claimed, or the claim has lapsed. */
function isFree(row: OutboxRow, now: EpochSeconds) {
  return row.or([row('claimed_by', 'is', null), row('due_at', '<=', now)]);
}

function outcome(row: OutboxRow, { settlement, now }: SettleCommand) {
  if (settlement.outcome === 'sent' || settlement.outcome === 'expired') {
    return { state: settlement.outcome, settled_at: now };
  }
  const tried = {
    last_error: settlement.error,
    unsure_attempts: row('unsure_attempts', '+', settlement.unsure === true ? 1 : 0),
  };
  if (settlement.outcome === 'failed') return { ...tried, state: settlement.outcome, settled_at: now };
  const superseded = row('superseded_by', 'is not', null);
  return {
    ...tried,
    state: row
      .case()
      .when(superseded)
      .then('superseded' as const)
      .else('waiting' as const)
      .end(),
    settled_at: row.case().when(superseded).then(now).else(null).end(),
    due_at: settlement.nextTryAt,
  };
}

async function retireSuperseded(
  trx: Transaction<Schema>,
  now: EpochSeconds,
): Promise<readonly LostMessage[]> {
  const rows = await trx
    .updateTable('outbox')
    .where('state', '=', 'waiting')
    .where('superseded_by', 'is not', null)
    .where((row) => isFree(row, now))
    .set({ state: 'superseded', claimed_by: null, settled_at: now })
    .returning(LOST_COLUMNS)
    .execute();
  return toLost(rows);
}

async function expire(trx: Transaction<Schema>, now: EpochSeconds): Promise<readonly LostMessage[]> {
  const rows = await trx
    .updateTable('outbox')
    .where('state', '=', 'waiting')
    .where('use_before', '<=', now)
    .where((row) => isFree(row, now))
    .set({ state: 'expired', claimed_by: null, settled_at: now })
    .returning(LOST_COLUMNS)
    .execute();
  return toLost(rows);
}

const LOST_COLUMNS = [
  ...(['id', 'unit', 'kind', 'person', 'channel'] as const),
  ...(['use_before', 'attempt', 'last_error'] as const),
] as const;

function toLost(
  rows: readonly Pick<Selectable<OutboxTable>, (typeof LOST_COLUMNS)[number]>[],
): readonly LostMessage[] {
  return rows
    .map((row) => ({
      rowId: row.id,
      unit: row.unit,
      kind: row.kind,
      person: row.person,
      channel: row.channel as ChannelId,
      useBefore: row.use_before,
      attempts: row.attempt,
      lastError: row.last_error,
    }))
    .toSorted((a, b) => a.rowId - b.rowId);
}

async function claim(trx: Transaction<Schema>, command: ClaimCommand): Promise<readonly ClaimedMessage[]> {
  const { now, leaseSeconds, owner, limit, channels } = command;
  const due = trx
    .selectFrom('outbox')
    .select('id')
    .where('state', '=', 'waiting')
    .where('due_at', '<=', now)
    .$if(channels !== undefined, (query) => query.where('channel', 'in', channels ?? []))
    .orderBy('use_before')
    .orderBy('id')
    .limit(limit);
  const rows = await trx
    .updateTable('outbox')
    .where('id', 'in', due)
    .set((row) => ({ claimed_by: owner, due_at: now + leaseSeconds, attempt: row('attempt', '+', 1) }))
    .returningAll()
    .execute();
  return rows.map(toClaimed).toSorted((a, b) => a.useBefore - b.useBefore || a.rowId - b.rowId);
}

function toClaimed(row: Selectable<OutboxTable>): ClaimedMessage {
  return {
    rowId: row.id,
    attempt: row.attempt,
    channel: row.channel as ChannelId,
    useBefore: row.use_before,
    message: JSON.parse(row.message) as OutgoingMessage,
    lastError: row.last_error,
    unsureAttempts: row.unsure_attempts,
  };
}
