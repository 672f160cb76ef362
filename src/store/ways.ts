/** A message with several ways to its reader, of which one is enough: from one to the next. */
import type { Selectable, Transaction } from 'kysely';
import { CHANNELS, type ChannelId } from '../delivery/channel.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { readMessage } from './message-text.ts';
import type { OutboxTable, Schema } from './schema.ts';
import type { PatienceOf } from './store.ts';

type Row = Selectable<OutboxTable>;

interface When {
  readonly now: EpochSeconds;
  readonly patienceOf?: PatienceOf | undefined;
}

export interface HandedOn {
  readonly row: Row;
  readonly next: ChannelId;
}

/** The ways that are left after this one. What cannot be read names none: the message still goes its own way. */
export function waysOf({ ways }: Pick<Row, 'ways'>): readonly ChannelId[] {
  return ways === null ? [] : (readWays(ways) ?? []);
}

/** Null for what was never written. */
export function readWays(text: string): readonly ChannelId[] | null {
  try {
    const value: unknown = JSON.parse(text);
    const isList = Array.isArray(value) && value.every((way) => CHANNELS.includes(way as ChannelId));
    return isList ? (value as readonly ChannelId[]) : null;
  } catch {
    return null;
  }
}

/** Puts the next way of each in the outbox, once; what has none left, or is of no more use, stays where it is. */
export async function passOn(
  trx: Transaction<Schema>,
  rows: readonly Row[],
  when: When,
): Promise<readonly HandedOn[]> {
  const handedOn: HandedOn[] = [];
  for (const row of rows) {
    if (row.ways === null || row.superseded_by !== null || row.use_before <= when.now) continue;
    const next = await firstOpen(trx, row, when);
    if (next !== null) handedOn.push({ row, next });
    await trx.updateTable('outbox').where('id', '=', row.id).set({ ways: '[]' }).execute();
  }
  return handedOn;
}

/** The first of the ways left that has not had the message already; null: there is none. */
async function firstOpen(trx: Transaction<Schema>, row: Row, when: When): Promise<ChannelId | null> {
  // The outbox lets go of what cannot be read, and says so; another way would get the same.
  const ways = readMessage(row.message) === null ? [] : waysOf(row);
  for (const [index, channel] of ways.entries()) {
    if (await putIn(trx, { ...row, channel, ways: JSON.stringify(ways.slice(index + 1)) }, when))
      return channel;
  }
  return null;
}

/** A way that lost the message before is tried anew, unless it may have arrived there all the same. */
async function putIn(trx: Transaction<Schema>, row: Row, { now, patienceOf }: When): Promise<boolean> {
  const { episode, kind, action, person, channel, unit, urgent, gathers } = row;
  const useBefore = row.use_before;
  const anew = {
    round: row.round,
    message: row.message,
    use_before: useBefore,
    due_at: now,
    state: 'waiting' as const,
    ways: row.ways,
    urgent,
    patience_ends: patienceOf?.({ urgent: urgent === 1, useBefore }, now) ?? null,
    gathers,
    batch: null,
    superseded_by: null,
    last_error: null,
    settled_at: null,
  };
  const put = await trx
    .insertInto('outbox')
    .values({ episode, kind, action, person, channel, unit, attempt: 0, ...anew })
    .onConflict((conflict) =>
      conflict
        .columns(['episode', 'kind', 'action', 'person', 'channel'])
        .doUpdateSet(anew)
        .where('outbox.state', 'in', ['failed', 'expired'])
        .where('outbox.unsure_attempts', '=', 0),
    )
    .returning('id')
    .executeTakeFirst();
  return put !== undefined;
}

/** One way has taken the message: those not yet on their way are let go of, and one in flight is not tried again. */
export async function retireOthers(trx: Transaction<Schema>, sent: Row, now: EpochSeconds): Promise<void> {
  if (sent.ways === null) return;
  await trx
    .updateTable('outbox')
    .where('episode', '=', sent.episode)
    .where('kind', '=', sent.kind)
    .where('action', '=', sent.action)
    .where('person', '=', sent.person)
    .where('id', '<>', sent.id)
    .where('state', '=', 'waiting')
    .where('ways', 'is not', null)
    .set((row) => {
      const free = row('claimed_by', 'is', null);
      return {
        superseded_by: sent.id,
        ways: '[]',
        state: row
          .case()
          .when(free)
          .then('superseded' as const)
          .else(row.ref('state'))
          .end(),
        settled_at: row.case().when(free).then(now).else(null).end(),
      };
    })
    .execute();
}
