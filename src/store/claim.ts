/** What an outbox takes to send, and what it lets go of before. */
import { createHash } from 'node:crypto';
import type { ExpressionBuilder, Selectable, Transaction } from 'kysely';
import type { ChannelId } from '../delivery/channel.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { batches } from './batches.ts';
import { readMessage } from './message-text.ts';
import type { OutboxTable, Schema } from './schema.ts';
import type { ClaimCommand, ClaimedMessage, ClaimResult, LostMessage, PassedOn } from './store.ts';
import { passOn, waysOf } from './ways.ts';

type Row = Selectable<OutboxTable>;

/** Lets go of what nobody should send any more, hands on what was slow, then takes what is due, most urgent first. */
export async function claimDue(trx: Transaction<Schema>, command: ClaimCommand): Promise<ClaimResult> {
  const overtaken = await retireSuperseded(trx, command.now);
  const expired = await expire(trx, command.now);
  const passedOn = await passOnSlow(trx, command);
  return { ...(await claimReadable(trx, command)), expired, overtaken, passedOn };
}

type OutboxRow = ExpressionBuilder<Schema, 'outbox'>;

/** Not in anyone's hands: never claimed, or the claim has lapsed. */
function isFree(row: OutboxRow, now: EpochSeconds) {
  return row.or([row('claimed_by', 'is', null), row('due_at', '<=', now)]);
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

/**
 * A way that was tried and has had its time: the next one is taken beside it. One in flight is waited for, and one
 * that was never tried, as when the machine was off, is tried first.
 */
async function passOnSlow(trx: Transaction<Schema>, command: ClaimCommand): Promise<readonly PassedOn[]> {
  const { now } = command;
  const slow = await trx
    .selectFrom('outbox')
    .selectAll()
    .where('state', '=', 'waiting')
    .where('ways', '<>', '[]')
    .where('patience_ends', '<=', now)
    .where('attempt', '>', 0)
    .where((row) => isFree(row, now))
    .execute();
  const handedOn = await passOn(trx, slow, command);
  return handedOn.flatMap(({ row, next }) => toLost([row]).map((lost) => ({ ...lost, next })));
}

/** What cannot be read is let go of, and what comes after it is taken. */
async function claimReadable(
  trx: Transaction<Schema>,
  command: ClaimCommand,
): Promise<Pick<ClaimResult, 'claimed' | 'unreadable'>> {
  const unreadable: LostMessage[] = [];
  for (;;) {
    const groups = await dueGroups(trx, command);
    const broken = groups.flatMap(({ rows }) => rows).filter(({ message }) => readMessage(message) === null);
    if (broken.length === 0) return { claimed: await take(trx, groups, command), unreadable };
    unreadable.push(...(await giveUp(trx, broken, command.now)));
  }
}

/** Its other ways would get the same text. A later round puts it in anew, if it still holds. */
async function giveUp(
  trx: Transaction<Schema>,
  rows: readonly Row[],
  now: EpochSeconds,
): Promise<readonly LostMessage[]> {
  const given: LostMessage[] = [];
  for (const batch of batches(rows)) {
    const lost = await trx
      .updateTable('outbox')
      .where(
        'id',
        'in',
        batch.map(({ id }) => id),
      )
      .set((row) => ({
        state: 'failed' as const,
        claimed_by: null,
        settled_at: now,
        last_error: UNREADABLE,
        ways: row.case().when('ways', 'is', null).then(null).else('[]').end(),
      }))
      .returning(LOST_COLUMNS)
      .execute();
    given.push(...toLost(lost));
  }
  return given;
}

const UNREADABLE = 'store-damaged: The text of this message in the database cannot be read.';

async function dueGroups(trx: Transaction<Schema>, command: ClaimCommand): Promise<readonly Group[]> {
  const { now, limit, channels } = command;
  const due = await trx
    .selectFrom('outbox')
    .selectAll()
    .where('state', '=', 'waiting')
    .where('due_at', '<=', now)
    .$if(channels !== undefined, (query) => query.where('channel', 'in', channels ?? []))
    .orderBy('use_before')
    .orderBy('id')
    .limit(limit)
    .execute();
  return command.together === true ? await grouped(trx, due, now) : due.map(alone);
}

async function take(
  trx: Transaction<Schema>,
  groups: readonly Group[],
  { now, leaseSeconds, owner }: ClaimCommand,
): Promise<readonly ClaimedMessage[]> {
  const claimed: Row[] = [];
  for (const { rows, batch } of groups) {
    for (const part of batches(rows)) {
      const ids = part.map(({ id }) => id);
      const taken = await trx
        .updateTable('outbox')
        .where('id', 'in', ids)
        .set((row) => ({
          claimed_by: owner,
          due_at: now + leaseSeconds,
          attempt: row('attempt', '+', 1),
          batch,
        }))
        .returningAll()
        .execute();
      claimed.push(...taken);
    }
  }
  return claimed.flatMap(toClaimed).toSorted((a, b) => a.useBefore - b.useBefore || a.rowId - b.rowId);
}

interface Group {
  readonly rows: readonly Row[];
  readonly batch: string | null;
}

function alone(row: Row): Group {
  return { rows: [row], batch: row.batch };
}

/** With each row that may go out with others those others: the group it was in, or all that is due to the same reader. */
async function grouped(
  trx: Transaction<Schema>,
  due: readonly Row[],
  now: EpochSeconds,
): Promise<readonly Group[]> {
  const groups: Group[] = [];
  const taken = new Set<number>();
  for (const row of due) {
    if (taken.has(row.id)) continue;
    const group = row.gathers === 1 ? await groupOf(trx, row, now) : alone(row);
    for (const { id } of group.rows) taken.add(id);
    groups.push(group);
  }
  return groups;
}

async function groupOf(trx: Transaction<Schema>, row: Row, now: EpochSeconds): Promise<Group> {
  const rows = await trx
    .selectFrom('outbox')
    .selectAll()
    .where('state', '=', 'waiting')
    .where('due_at', '<=', now)
    .where('person', '=', row.person)
    .where('channel', '=', row.channel)
    .where('gathers', '=', 1)
    .where('batch', row.batch === null ? 'is' : '=', row.batch)
    .orderBy('id')
    .execute();
  return { rows, batch: row.batch ?? batchId(rows) };
}

/** The Message-ID of a group: the same for the same messages, and that of the message where there is only one. */
function batchId(rows: readonly Row[]): string {
  const ids = rows.map((row) => readMessage(row.message)?.messageId ?? '');
  const [first = ''] = ids;
  if (ids.length === 1) return first;
  const hash = createHash('sha256').update(ids.join('\n')).digest('hex').slice(0, 32);
  const domain = /@([^@>]+)>?$/.exec(first)?.[1] ?? 'drainby.invalid';
  return `<list.${hash}@${domain}>`;
}

/** Empty for what cannot be read, which `claimReadable` has kept out. */
function toClaimed(row: Row): readonly ClaimedMessage[] {
  const message = readMessage(row.message);
  if (message === null) return [];
  const claimed = {
    rowId: row.id,
    attempt: row.attempt,
    channel: row.channel as ChannelId,
    useBefore: row.use_before,
    message,
    lastError: row.last_error,
    unsureAttempts: row.unsure_attempts,
    ways: waysOf(row),
    batch: row.batch,
  };
  return [claimed];
}
