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
        .filterWhere('state', 'in', ['failed', 'expired'])
        .filterWhere('settled_at', '>', now - LATELY_S)
        .as('lost'),
      row.fn
        .countAll<number>()
        .filterWhere('state', '=', 'waiting')
        .filterWhere('unsure_attempts', '>', 0)
        .as('unsure'),
    ])
    .executeTakeFirst();
  const { overdue = 0, stuck = 0, lost = 0, unsure = 0 } = found ?? {};
  return { overdue, stuck, lost, unsure };
}
