import type { Kysely, Selectable, Transaction } from 'kysely';
import { EMPTY_MEMORY } from '../decision/memory.ts';
import type { Memory } from '../decision/memory.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { batches } from './batches.ts';
import { canonicalJson } from './json.ts';
import type { Schema, UnitTable } from './schema.ts';
import type { UnitRecord } from './store.ts';

export async function readUnits(db: Kysely<Schema>): Promise<ReadonlyMap<string, UnitRecord>> {
  const rows = await db.selectFrom('unit').selectAll().orderBy('unit').execute();
  return new Map(rows.map((row) => [row.unit, toRecord(row)]));
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

/** A field that a newer program added to the memory starts as it does for a new unit. */
function toRecord(row: Selectable<UnitTable>): UnitRecord {
  return {
    unit: row.unit,
    version: row.version,
    water: row.water === null ? null : (JSON.parse(row.water) as UnitWater),
    waterAt: row.water_at,
    checkedAt: row.checked_at,
    memory: { ...EMPTY_MEMORY, ...(JSON.parse(row.memory) as Partial<Memory>) },
  };
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
