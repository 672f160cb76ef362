/** What was measured: readings of the users' own, and what stations and archives say of the air near a place. */
import type { Kysely, Selectable, Transaction } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Reading } from '../weather/reading.ts';
import { batches } from './batches.ts';
import type { ReadingTable, Schema } from './schema.ts';

/** What became of readings that were handed in. */
export interface ReadingCounts {
  readonly added: number;
  /** There was another value from the same origin for the same instant. */
  readonly replaced: number;
  /** They were there already. */
  readonly known: number;
}

/** Air temperature at or near a place by others than its user; scores forecasts. */
export interface Truth {
  readonly place: string;
  readonly kind: 'station' | 'archive';
  /** Of the station, or of the archive. */
  readonly name: string;
  readonly at: EpochSeconds;
  readonly temperatureC: number;
}

/** Of two for the same instant, zone and origin the later in the list holds. */
export async function addReadings(
  trx: Transaction<Schema>,
  readings: readonly Reading[],
  learnedAt: EpochSeconds,
): Promise<ReadingCounts> {
  const byKey = new Map(readings.map((reading) => [keyOf(reading), toRow(reading, learnedAt)]));
  let added = 0;
  let changed = 0;
  for (const rows of batches([...byKey.values()])) {
    const insert = trx.insertInto('reading').values(rows);
    const fresh = await insert.onConflict((conflict) => conflict.doNothing()).executeTakeFirst();
    const other = await insert
      .onConflict((conflict) =>
        conflict
          .columns(['place', 'at', 'unit', 'zone', 'origin'])
          .doUpdateSet((row) => ({
            temperature_c: row.ref('excluded.temperature_c'),
            learned_at: row.ref('excluded.learned_at'),
          }))
          .whereRef('excluded.temperature_c', '<>', 'reading.temperature_c'),
      )
      .executeTakeFirst();
    added += Number(fresh.numInsertedOrUpdatedRows ?? 0);
    changed += Number(other.numInsertedOrUpdatedRows ?? 0);
  }
  return { added, replaced: changed, known: readings.length - added - changed };
}

/** Of the place and of its units, from `since` on, oldest first. */
export async function readReadings(
  db: Kysely<Schema>,
  place: string,
  since: EpochSeconds,
): Promise<readonly Reading[]> {
  const rows = await db
    .selectFrom('reading')
    .selectAll()
    .where('place', '=', place)
    .where('at', '>=', since)
    .orderBy('at')
    .orderBy('unit')
    .orderBy('zone')
    .orderBy('origin')
    .execute();
  return rows.map(toReading);
}

export interface LastReadings {
  readonly place: string;
  /** Only of this unit; null: of the place and of all its units. */
  readonly unit: string | null;
  readonly limit: number;
}

/** The newest ones, oldest of them first. */
export async function lastReadings(
  db: Kysely<Schema>,
  { place, unit, limit }: LastReadings,
): Promise<readonly Reading[]> {
  const rows = await db
    .selectFrom('reading')
    .selectAll()
    .where('place', '=', place)
    .$if(unit !== null, (query) => query.where('unit', '=', unit ?? ''))
    .orderBy('at', 'desc')
    .orderBy('unit', 'desc')
    .orderBy('zone', 'desc')
    .orderBy('origin', 'desc')
    .limit(limit)
    .execute();
  return rows.map(toReading).toReversed();
}

/** The newest holds. What is unknown is left out. Returns how many were new or different. */
export async function addTruths(trx: Transaction<Schema>, truths: readonly Truth[]): Promise<number> {
  let written = 0;
  for (const batch of batches(truths.filter(({ temperatureC }) => Number.isFinite(temperatureC)))) {
    const result = await trx
      .insertInto('truth')
      .values(
        batch.map(({ place, kind, name, at, temperatureC }) => ({
          place,
          kind,
          name,
          at,
          temperature_c: temperatureC,
        })),
      )
      .onConflict((conflict) =>
        conflict
          .columns(['place', 'at', 'kind', 'name'])
          .doUpdateSet((row) => ({ temperature_c: row.ref('excluded.temperature_c') }))
          .whereRef('excluded.temperature_c', '<>', 'truth.temperature_c'),
      )
      .executeTakeFirst();
    written += Number(result.numInsertedOrUpdatedRows ?? 0);
  }
  return written;
}

/** From `since` on, oldest first. */
export async function readTruths(
  db: Kysely<Schema>,
  place: string,
  since: EpochSeconds,
): Promise<readonly Truth[]> {
  const rows = await db
    .selectFrom('truth')
    .selectAll()
    .where('place', '=', place)
    .where('at', '>=', since)
    .orderBy('at')
    .orderBy('kind')
    .orderBy('name')
    .execute();
  return rows.map(({ temperature_c: temperatureC, ...row }) => ({ ...row, temperatureC }));
}

function keyOf({ place, unit, zone, at, origin }: Reading): string {
  return JSON.stringify([place, unit, zone, at, origin]);
}

function toRow(reading: Reading, learnedAt: EpochSeconds): Selectable<ReadingTable> {
  const { place, unit, zone, at, origin, temperatureC } = reading;
  return { place, unit: unit ?? '', zone, at, origin, temperature_c: temperatureC, learned_at: learnedAt };
}

function toReading(row: Selectable<ReadingTable>): Reading {
  const { place, unit, zone, at, origin, temperature_c: temperatureC } = row;
  return { place, unit: unit === '' ? null : unit, zone, at, temperatureC, origin };
}
