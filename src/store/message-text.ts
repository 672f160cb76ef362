/** The text of a message in its row. */
import type { Kysely } from 'kysely';
import type { OutgoingMessage } from '../message/message.ts';
import type { Schema } from './schema.ts';

/** Null for what was never written: it can neither be sent nor be addressed, and must not stop the others. */
export function readMessage(text: string): OutgoingMessage | null {
  try {
    const value: unknown = JSON.parse(text);
    return isMessage(value) ? value : null;
  } catch {
    return null;
  }
}

/** As much as is asked of it before it comes to its channel, which says itself what it cannot send. */
function isMessage(value: unknown): value is OutgoingMessage {
  if (typeof value !== 'object' || value === null) return false;
  const { messageId, kind, unit, to } = value as Partial<Record<keyof OutgoingMessage, unknown>>;
  if (typeof to !== 'object' || to === null) return false;
  return [messageId, kind, unit, (to as { id?: unknown }).id].every((field) => typeof field === 'string');
}

/** How many of those that wait will never be sent. */
export async function countUnreadable(db: Kysely<Schema>): Promise<number> {
  const rows = await db.selectFrom('outbox').select('message').where('state', '=', 'waiting').execute();
  return rows.filter(({ message }) => readMessage(message) === null).length;
}
