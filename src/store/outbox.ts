import type { ExpressionBuilder, Kysely, Transaction } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';
import type { OutboxCounts, RenewCommand, SettleCommand } from './store.ts';
import { passOn, retireOthers } from './ways.ts';

/** Records the ends of attempts, as far as the claims are still the caller's; false: one was not. */
export async function settle(trx: Transaction<Schema>, commands: readonly SettleCommand[]): Promise<boolean> {
  let ours = true;
  for (const command of commands) ours = (await settleOne(trx, command)) && ours;
  return ours;
}

async function settleOne(trx: Transaction<Schema>, command: SettleCommand): Promise<boolean> {
  const row = await trx
    .updateTable('outbox')
    .where('id', '=', command.rowId)
    .where('state', '=', 'waiting')
    .where('claimed_by', '=', command.owner)
    .where('attempt', '=', command.attempt)
    .set((expression) => ({ claimed_by: null, ...outcome(expression, command) }))
    .returningAll()
    .executeTakeFirst();
  if (row === undefined) return false;
  if (row.state === 'sent') await retireOthers(trx, row, command.now);
  if (row.state === 'failed') await passOn(trx, [row], command);
  return true;
}

/** Holds claims for longer, as long as they are the caller's. */
export async function renew(trx: Transaction<Schema>, command: RenewCommand): Promise<void> {
  await trx
    .updateTable('outbox')
    .where('id', 'in', command.rowIds)
    .where('state', '=', 'waiting')
    .where('claimed_by', '=', command.owner)
    .set({ due_at: command.now + command.leaseSeconds })
    .execute();
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
  const passing = await waiting
    .where('claimed_by', 'is', null)
    .where('attempt', '>', 0)
    .where('ways', '<>', '[]')
    .select((row) => row.fn.min('patience_ends').as('at'))
    .executeTakeFirst();
  const instants = [due?.at ?? null, lost?.at ?? null, passing?.at ?? null].filter((at) => at !== null);
  return instants.length === 0 ? null : Math.max(now, Math.min(...instants));
}

type OutboxRow = ExpressionBuilder<Schema, 'outbox'>;

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
    // A group that is known not to have arrived is made anew of what is due then.
    ...(settlement.unsure === true ? {} : { batch: null }),
  };
}
