/** Which waiting messages give up their place, and to what. */
import type { Transaction } from 'kysely';
import type { OutgoingMessage } from '../message/message.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';
import type { RoundRecord } from './store.ts';

type Kind = OutgoingMessage['kind'];

/** What asks for work, or for the time to do it: the newest holds. */
const WORK: readonly Kind[] = ['heads-up', 'act', 'last-call', 'worse', 'late'];

/**
 * Whose place a waiting message of each kind gives up to a newer one. That there is no forecast takes nothing
 * back; that a unit may have frozen holds until it is over.
 */
export const OVERTAKES: Readonly<Record<Kind, readonly Kind[]>> = {
  'heads-up': [...WORK, 'no-forecast'],
  act: [...WORK, 'no-forecast'],
  'last-call': WORK,
  worse: WORK,
  late: WORK,
  frozen: ['frozen'],
  'all-clear': [...WORK, 'frozen', 'no-forecast', 'all-clear', 'fill-again', 'unreached'],
  'no-forecast': [],
  'fill-again': [...WORK, 'no-forecast', 'all-clear', 'fill-again'],
  'fill-by': ['fill-by'],
  'dump-by': ['dump-by'],
  unreached: [],
  test: [],
  state: ['state'],
  list: [],
  watching: ['watching'],
};

/** A row that was just put in. */
export interface Inserted {
  readonly id: number;
  readonly kind: string;
}

export async function supersedeOlder(
  trx: Transaction<Schema>,
  round: RoundRecord,
  inserted: readonly Inserted[],
): Promise<void> {
  for (const [kind, overtaken] of Object.entries(OVERTAKES)) {
    const newer = inserted.filter((row) => row.kind === kind).map(({ id }) => id);
    if (newer.length > 0 && overtaken.length > 0) await supersede(trx, round, { newer, overtaken });
  }
}

/**
 * What still waits from earlier rounds for the same reader about the same unit is out of date now. A message
 * that is being sent this moment cannot be called back: it is only marked, so that it is not tried again. So is
 * one that was tried before: the outbox lets go of it, and says so.
 */
async function supersede(
  trx: Transaction<Schema>,
  round: RoundRecord,
  { newer, overtaken }: { readonly newer: readonly number[]; readonly overtaken: readonly Kind[] },
): Promise<void> {
  await trx
    .updateTable('outbox')
    .from('outbox as newer')
    .where('newer.id', 'in', newer)
    .where('outbox.kind', 'in', overtaken)
    .whereRef('newer.unit', '=', 'outbox.unit')
    .whereRef('newer.person', '=', 'outbox.person')
    // Where one way is enough, the newer message may be on another way than the one that it takes the place of.
    .where((row) =>
      row.or([
        row('newer.channel', '=', row.ref('outbox.channel')),
        row.and([row('newer.ways', 'is not', null), row('outbox.ways', 'is not', null)]),
      ]),
    )
    .where('outbox.state', '=', 'waiting')
    .where('outbox.round', '<>', round.id)
    .set((row) => {
      const untouched = row.and([row('outbox.claimed_by', 'is', null), row('outbox.attempt', '=', 0)]);
      return {
        superseded_by: row.ref('newer.id'),
        state: row
          .case()
          .when(untouched)
          .then('superseded' as const)
          .else(row.ref('outbox.state'))
          .end(),
        settled_at: row.case().when(untouched).then(round.startedAt).else(null).end(),
      };
    })
    .execute();
}

/** A person has looked: that the unit may have frozen is no news any more. One on its way is left to end. */
export async function dropSuspicion(
  trx: Transaction<Schema>,
  { unit, at }: { readonly unit: string; readonly at: EpochSeconds },
): Promise<void> {
  await trx
    .updateTable('outbox')
    .where('unit', '=', unit)
    .where('kind', '=', 'frozen')
    .where('state', '=', 'waiting')
    .where('claimed_by', 'is', null)
    .set({ state: 'superseded', settled_at: at })
    .execute();
}
