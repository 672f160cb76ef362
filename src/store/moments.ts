import type { Kysely } from 'kysely';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';
import type { UnitMoment } from './store.ts';
import { toRecord } from './units.ts';

/** What the unit was in the course of time, in the order of writing: the last rows before `since`, and all after. */
export async function readMoments(
  db: Kysely<Schema>,
  unit: string,
  since: EpochSeconds,
): Promise<readonly UnitMoment[]> {
  const before = await Promise.all(
    (['round', 'mark'] as const).map((cause) =>
      db
        .selectFrom('unit_history')
        .selectAll()
        .where('unit', '=', unit)
        .where('at', '<', since)
        .where('cause', '=', cause)
        .orderBy('id', 'desc')
        .limit(1)
        .execute(),
    ),
  );
  const after = await db
    .selectFrom('unit_history')
    .selectAll()
    .where('unit', '=', unit)
    .where('at', '>=', since)
    .execute();
  const rows = [...before.flat(), ...after].toSorted((x, y) => x.id - y.id);
  let waterAt: EpochSeconds | null = null;
  return rows.map((row) => {
    const { at, cause, unit: id, version, water, checked_at, memory } = row;
    if (cause === 'mark') waterAt = at;
    const record = toRecord({ unit: id, version, water, water_at: waterAt, checked_at, memory });
    const damaged = record.damaged === true ? ({ damaged: true } as const) : {};
    return { at, cause, water: record.water, waterAt: record.waterAt, memory: record.memory, ...damaged };
  });
}
