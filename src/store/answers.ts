import type { Kysely, Transaction } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import { canonicalJson } from './json.ts';
import { findByLink, readAnswers, type KeptAnswer, type NewAnswer } from './kept-answers.ts';
import { mark } from './marks.ts';
import type { Schema } from './schema.ts';
import type { MarkCommand, UnitRecord } from './store.ts';
import { readUnit } from './units.ts';

/** What an answer makes of a unit. */
export interface Answering extends Pick<MarkCommand, 'checked' | 'at' | 'by'> {
  /** Null: unchanged. */
  readonly water: UnitRecord['water'];
  readonly answer: NewAnswer;
}

export interface AnswerCommand {
  readonly unit: string;
  /** See `NewAnswer.link`. */
  readonly link: string | null;
  /**
   * Called inside the transaction with the unit as it is then (null: never seen), with the last answers, and with what
   * the same press of the button wrote already. Null: nothing is written. What it throws is passed on, and nothing is
   * written either. It may be called again while the database is locked.
   */
  readonly decide: (current: UnitRecord | null, pressed: KeptAnswer | null) => Answering | null;
}

export interface EndCommand {
  readonly ids: readonly number[];
  readonly units: readonly string[];
  readonly at: EpochSeconds;
}

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
