import type { Kysely, Transaction } from 'kysely';
import { canonicalJson } from './json.ts';
import { findByLink, readAnswers, type NewAnswer } from './kept-answers.ts';
import { mark } from './marks.ts';
import type { Schema } from './schema.ts';
import type { AnswerCommand, EndCommand, UnitRecord } from './store.ts';
import { readUnit } from './units.ts';

/** With what was answered of it; null: it was never written. */
export async function readAnsweredUnit(db: Kysely<Schema>, unit: string): Promise<UnitRecord | null> {
  const current = await readUnit(db, unit);
  return current === null ? null : { ...current, answers: await readAnswers(db, unit) };
}

/** False: there was nothing to write. */
export async function writeAnswer(
  trx: Transaction<Schema>,
  { unit, link, decide }: AnswerCommand,
): Promise<boolean> {
  const known = await readAnsweredUnit(trx, unit);
  const answering = decide(known, link === null ? null : await findByLink(trx, link));
  if (answering === null) return false;
  const { water, checked, at, by } = answering;
  await mark(trx, { unit, water, checked, at, by });
  await trx.insertInto('answer').values(toRow(answering.answer)).execute();
  return true;
}

/** The units' versions move, so that a round which read them before computes them again. */
export async function endAnswers(trx: Transaction<Schema>, { ids, units, at }: EndCommand): Promise<void> {
  if (ids.length === 0) return;
  await trx.updateTable('answer').where('id', 'in', ids).set({ ended_at: at }).execute();
  await trx
    .updateTable('unit')
    .where('unit', 'in', units)
    .set((row) => ({ version: row('version', '+', 1) }))
    .execute();
}

function toRow({ recordedAt, details, ...answering }: NewAnswer) {
  return { ...answering, recorded_at: recordedAt, details: canonicalJson(details), ended_at: null };
}
