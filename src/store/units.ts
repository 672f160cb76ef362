import type { Kysely, Selectable, Transaction } from 'kysely';
import { EMPTY_MEMORY } from '../decision/memory.ts';
import type { Memory } from '../decision/memory.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { batches } from './batches.ts';
import { canonicalJson } from './json.ts';
import { readAnswers, type KeptAnswer } from './kept-answers.ts';
import type { Schema, UnitTable } from './schema.ts';
import type { UnitRecord } from './store.ts';

/** Answers are read last: one given in between moves the version, so that a round computes the unit again. */
export async function readUnits(db: Kysely<Schema>): Promise<ReadonlyMap<string, UnitRecord>> {
  const rows = await db.selectFrom('unit').selectAll().orderBy('unit').execute();
  const answers = new Map<string, KeptAnswer[]>();
  for (const answer of await readAnswers(db)) {
    const own = answers.get(answer.unit);
    if (own === undefined) answers.set(answer.unit, [answer]);
    else own.push(answer);
  }
  return new Map(
    rows.map((row) => {
      const own = answers.get(row.unit);
      return [row.unit, { ...toRecord(row), ...(own === undefined ? {} : { answers: own }) }];
    }),
  );
}

/** Ids of units whose rows hold what was never written. */
export async function damagedUnits(db: Kysely<Schema>): Promise<readonly string[]> {
  const rows = await db.selectFrom('unit').selectAll().orderBy('unit').execute();
  return rows.filter((row) => toRecord(row).damaged === true).map(({ unit }) => unit);
}

export async function readUnit(db: Kysely<Schema>, unit: string): Promise<UnitRecord | null> {
  const row = await db.selectFrom('unit').selectAll().where('unit', '=', unit).executeTakeFirst();
  return row === undefined ? null : toRecord(row);
}

/** A unit's row as it is to be, and the event that made it so; null: nothing that a person would ask about. */
export interface UnitChange {
  readonly after: UnitRecord;
  readonly event: UnitEvent | null;
}

export interface UnitEvent {
  readonly at: EpochSeconds;
  readonly cause: 'round' | 'mark';
  readonly by: string | null;
}

/** What the memory at a round's end changes; null: nothing. */
export function memoryChange(before: UnitRecord, memory: Memory, at: EpochSeconds): UnitChange | null {
  if (canonicalJson(before.memory) === canonicalJson(memory)) return null;
  const after = { ...before, version: before.version + 1, memory };
  const isEvent = worthKeeping(before.memory) !== worthKeeping(memory);
  return { after, event: isEvent ? { at, cause: 'round', by: null } : null };
}

/** One row per unit, updated in place, and a row of history for each event. */
export async function writeUnits(trx: Transaction<Schema>, changes: readonly UnitChange[]): Promise<void> {
  for (const batch of batches(changes)) {
    await trx
      .insertInto('unit')
      .values(batch.map(({ after }) => toRow(after)))
      .onConflict((conflict) =>
        conflict.column('unit').doUpdateSet((row) => ({
          version: row.ref('excluded.version'),
          water: row.ref('excluded.water'),
          water_at: row.ref('excluded.water_at'),
          checked_at: row.ref('excluded.checked_at'),
          memory: row.ref('excluded.memory'),
        })),
      )
      .execute();
    const history = batch.flatMap(({ after, event }) => (event === null ? [] : [historyRow(after, event)]));
    if (history.length > 0) await trx.insertInto('unit_history').values(history).execute();
  }
}

function historyRow(after: UnitRecord, event: UnitEvent) {
  const { unit, version, water, checked_at, memory } = toRow(after);
  return { unit, version, water, checked_at, memory, ...event };
}

/** A unit as it is before anything was written of it. */
export function unseen(unit: string): UnitRecord {
  return { unit, version: 0, water: null, waterAt: null, checkedAt: null, memory: EMPTY_MEMORY };
}

/** The last known low moves with every forecast; it alone is no event. */
function worthKeeping(memory: Memory): string {
  return canonicalJson({ ...memory, lastKnown: null });
}

/** A row that holds what was never written is damaged; it must neither stop the other units nor read as calm. */
export function toRecord(row: Selectable<UnitTable>): UnitRecord {
  const { unit, version } = row;
  try {
    const { water_at: waterAt, checked_at: checkedAt } = row;
    return { unit, version, water: readWater(row.water), waterAt, checkedAt, memory: readMemory(row.memory) };
  } catch {
    return { ...unseen(unit), version, damaged: true };
  }
}

/** @throws for what is no state of water. */
function readWater(text: string | null): UnitWater | null {
  if (text === null) return null;
  const water = parseObject(text);
  const states = [water['all'], ...Object.values(asObject(water['circuits']))];
  for (const circuit of states) asText(asObject(asObject(circuit)['state'])['kind']);
  return water as unknown as UnitWater;
}

/** A field that a newer program added starts as it does for a new unit. @throws for what is no memory. */
function readMemory(text: string): Memory {
  const memory = { ...EMPTY_MEMORY, ...(parseObject(text) as Partial<Memory>) };
  if (!Array.isArray(memory.told) || !Array.isArray(memory.relaxing)) throw new TypeError('no memory');
  return memory;
}

function parseObject(text: string): Readonly<Record<string, unknown>> {
  return asObject(JSON.parse(text));
}

function asObject(value: unknown): Readonly<Record<string, unknown>> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) throw new TypeError('no object');
  return value as Readonly<Record<string, unknown>>;
}

function asText(value: unknown): string {
  if (typeof value !== 'string') throw new TypeError('no text');
  return value;
}

function toRow(record: UnitRecord): Selectable<UnitTable> {
  return {
    unit: record.unit,
    version: record.version,
    water: record.water === null ? null : canonicalJson(record.water),
    water_at: record.waterAt,
    checked_at: record.checkedAt,
    memory: canonicalJson(record.memory),
  };
}
