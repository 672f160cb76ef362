import type { Kysely, Selectable } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { AnswerTable, Schema } from './schema.ts';

/** What somebody said of a unit, and of what they would do. */
export interface NewAnswer {
  readonly unit: string;
  /** Null: not said who. */
  readonly person: string | null;
  /** The state or the intent, as `mark` names it. */
  readonly answer: string;
  /** When it was so. */
  readonly at: EpochSeconds;
  /** When it was said. */
  readonly recordedAt: EpochSeconds;
  /** Until when it holds; null: until something else is said. */
  readonly until: EpochSeconds | null;
  /** Seen with one's own eyes, or said. */
  readonly basis: 'seen' | 'said';
  readonly via: 'link' | 'command';
  /** Of the message that was answered. */
  readonly episode: string | null;
  /** Tells one press of a link's button from another; null: not by a link. */
  readonly link: string | null;
  /** How it was done, by the names that the command's options have. */
  readonly details: Readonly<Record<string, unknown>>;
}

export interface KeptAnswer extends NewAnswer {
  /** Rises with every answer. */
  readonly id: number;
  /** Since when the config has taken it back; null: it has not. */
  readonly endedAt: EpochSeconds | null;
}

/** Of each unit and person the last of each kind, oldest first. */
export async function readAnswers(db: Kysely<Schema>, unit?: string): Promise<readonly KeptAnswer[]> {
  let query = db
    .selectFrom('answer')
    .selectAll()
    .where('id', 'in', (row) =>
      row
        .selectFrom('answer as last')
        .select((last) => last.fn.max('last.id').as('id'))
        .groupBy(['last.unit', 'last.person', 'last.answer']),
    );
  if (unit !== undefined) query = query.where('unit', '=', unit);
  return (await query.orderBy('id').execute()).map(toAnswer);
}

/** Null: that button was not pressed yet. */
export async function findByLink(db: Kysely<Schema>, link: string): Promise<KeptAnswer | null> {
  const row = await db.selectFrom('answer').selectAll().where('link', '=', link).executeTakeFirst();
  return row === undefined ? null : toAnswer(row);
}

function toAnswer({ recorded_at, ended_at, details, ...row }: Selectable<AnswerTable>): KeptAnswer {
  return { ...row, recordedAt: recorded_at, endedAt: ended_at, details: readDetails(details) };
}

/** How it was done is of no use where it cannot be read; that it was done still is. */
function readDetails(text: string): NewAnswer['details'] {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null ? (value as NewAnswer['details']) : {};
  } catch {
    return {};
  }
}
