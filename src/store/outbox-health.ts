/** Whether the outbox moves. */
import type { Kysely } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';
import type { OutboxHealth } from './store.ts';

/** The outbox looks at least once a minute; a lease may have to lapse first. Engineering estimate. */
const OVERDUE_S = 900;
/** By the table of delays (`outbox/schedule.ts`) the fifth attempt comes some nine minutes after the first. */
const STUCK_ATTEMPTS = 5;
const LATELY_S = 86_400;
const GIVEN_UP = ['failed', 'expired'] as const;

export async function outboxHealth(db: Kysely<Schema>, now: EpochSeconds): Promise<OutboxHealth> {
  const found = await db
    .selectFrom('outbox')
    .select((row) => [
      row.fn
        .countAll<number>()
        .filterWhere('state', '=', 'waiting')
        .filterWhere('due_at', '<=', now - OVERDUE_S)
        .as('overdue'),
      row.fn
        .countAll<number>()
        .filterWhere('state', '=', 'waiting')
        .filterWhere('due_at', '>', now - OVERDUE_S)
        .filterWhere('attempt', '>=', STUCK_ATTEMPTS)
        .as('stuck'),
      row.fn
        .countAll<number>()
        .filterWhere('state', '=', 'waiting')
        .filterWhere('unsure_attempts', '>', 0)
        .as('unsure'),
    ])
    .executeTakeFirst();
  const { overdue = 0, stuck = 0, unsure = 0 } = found ?? {};
  return { overdue, stuck, lost: await countLostNews(db, now), unsure };
}

/** Of a message to a reader every way was lost. How a unit stands is said anew in every round, and to no reader. */
async function countLostNews(db: Kysely<Schema>, now: EpochSeconds): Promise<number> {
  const lost = await db
    .selectFrom('outbox as lost')
    .select(['episode', 'kind', 'action', 'person'])
    .distinct()
    .where('state', 'in', GIVEN_UP)
    .where('settled_at', '>', now - LATELY_S)
    .where('kind', '<>', 'state')
    .where((row) =>
      row.not(
        row.exists(
          row
            .selectFrom('outbox as other')
            .select('other.id')
            .whereRef('other.episode', '=', 'lost.episode')
            .whereRef('other.kind', '=', 'lost.kind')
            .whereRef('other.action', '=', 'lost.action')
            .whereRef('other.person', '=', 'lost.person')
            .where('other.state', 'not in', GIVEN_UP),
        ),
      ),
    )
    .execute();
  return lost.length;
}
