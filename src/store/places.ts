/** What rounds keep of places: the hours that have passed, what was forecast, what readings have taught. */
import type { Kysely, Transaction } from 'kysely';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { KeptForecast } from '../verify/kept-forecast.ts';
import { batches } from './batches.ts';
import { canonicalJson } from './json.ts';
import { keptText, readKeptText } from './kept.ts';
import type { Schema } from './schema.ts';

/** What one round learned of one place. */
export interface PlaceCommit {
  readonly place: string;
  /** The newest value of an hour holds; hours of unknown temperature are left out. */
  readonly pastHours: readonly PastHour[];
  /** The first that was kept of a source for a day and lead stays. */
  readonly kept: readonly KeptForecast[];
  readonly records: readonly Pick<PlaceRecord, 'source' | 'state'>[];
}

/** The weather of an hour as its newest forecast had it. Null: that source does not give it. */
export interface PastHour {
  readonly hour: EpochSeconds;
  readonly source: string;
  readonly temperatureC: number;
  readonly windSpeedMps: number | null;
  readonly cloudPercent: number | null;
  readonly soilTemperatureC: number | null;
  /** Height of the ground that the temperature is for. */
  readonly gridElevationM: number | null;
}

/** What a place's readings have taught about one source. */
export interface PlaceRecord {
  readonly place: string;
  readonly source: string;
  /** The learner's own: an object that JSON can hold. */
  readonly state: object;
  readonly updatedAt: EpochSeconds;
}

/** Rows as read, and of each one that cannot be, what it was of. */
export interface Rows<T> {
  readonly rows: readonly T[];
  readonly damaged: readonly string[];
}

export async function writePlaces(
  trx: Transaction<Schema>,
  commits: readonly PlaceCommit[],
  at: EpochSeconds,
): Promise<void> {
  await writePast(trx, commits);
  await writeKept(
    trx,
    commits.flatMap(({ kept }) => kept),
  );
  await writeRecords(trx, commits, at);
}

export async function readPast(
  db: Kysely<Schema>,
  place: string,
  from: EpochSeconds,
): Promise<readonly PastHour[]> {
  const rows = await db
    .selectFrom('past_hour')
    .selectAll()
    .where('place', '=', place)
    .where('hour', '>=', from)
    .orderBy('hour')
    .execute();
  return rows.map((row) => ({
    hour: row.hour,
    source: row.source,
    temperatureC: row.temperature_c,
    windSpeedMps: row.wind_speed_mps,
    cloudPercent: row.cloud_percent,
    soilTemperatureC: row.soil_temperature_c,
    // A database that is only looked at may be of the version before, without heights.
    gridElevationM: row.grid_elevation_m ?? null,
  }));
}

export async function readKept(
  db: Kysely<Schema>,
  place: string,
  since: EpochSeconds,
): Promise<Rows<KeptForecast>> {
  const found = await db
    .selectFrom('kept_forecast')
    .selectAll()
    .where('place', '=', place)
    .where('valid_day', '>=', since)
    .orderBy('valid_day')
    .orderBy('source')
    .orderBy('lead_day')
    .execute();
  return sorted(found, (row) => {
    const { source, kept_at: keptAt, valid_day: validDay, lead_day: leadDay } = row;
    const said = readKeptText(row.said);
    const of = `what ${source} said of ${place} for ${isoSecond(validDay).slice(0, 10)}, ${leadDay} days ahead`;
    return said === null ? of : { place, source, keptAt, validDay, leadDay, ...said };
  });
}

/** The first day that any forecast is kept for; null: none is. */
export async function firstKeptDay(db: Kysely<Schema>, place: string): Promise<EpochSeconds | null> {
  const row = await db
    .selectFrom('kept_forecast')
    .select('valid_day')
    .where('place', '=', place)
    .orderBy('valid_day')
    .limit(1)
    .executeTakeFirst();
  return row?.valid_day ?? null;
}

export async function readRecords(db: Kysely<Schema>): Promise<Rows<PlaceRecord>> {
  const found = await db.selectFrom('place_record').selectAll().orderBy('place').orderBy('source').execute();
  return sorted(found, ({ place, source, state: text, updated_at: updatedAt }) => {
    const state = readObject(text);
    return state === null
      ? `what readings at ${place} taught about ${source}`
      : { place, source, state, updatedAt };
  });
}

/** `read` gives a row, or the words for one that cannot be read. */
function sorted<Row, T extends object>(found: readonly Row[], read: (row: Row) => T | string): Rows<T> {
  const all = found.map(read);
  return {
    rows: all.filter((row) => typeof row !== 'string'),
    damaged: all.filter((row) => typeof row === 'string'),
  };
}

function readObject(text: string): object | null {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null && !Array.isArray(value) ? value : null;
  } catch {
    return null;
  }
}

/** An hour that is there already as it is costs no writing: most of them are, at every round. */
async function writePast(trx: Transaction<Schema>, commits: readonly PlaceCommit[]): Promise<void> {
  const rows = commits.flatMap(({ place, pastHours }) =>
    pastHours
      .filter(({ temperatureC }) => Number.isFinite(temperatureC))
      .map((past) => ({
        place,
        hour: past.hour,
        source: past.source,
        temperature_c: past.temperatureC,
        wind_speed_mps: known(past.windSpeedMps),
        cloud_percent: known(past.cloudPercent),
        soil_temperature_c: known(past.soilTemperatureC),
        grid_elevation_m: known(past.gridElevationM),
      })),
  );
  const columns = [
    ...(['source', 'temperature_c', 'wind_speed_mps'] as const),
    ...(['cloud_percent', 'soil_temperature_c', 'grid_elevation_m'] as const),
  ];
  for (const batch of batches(rows)) {
    await trx
      .insertInto('past_hour')
      .values(batch)
      .onConflict((conflict) =>
        conflict
          .columns(['place', 'hour'])
          .doUpdateSet((row) =>
            Object.fromEntries(columns.map((name) => [name, row.ref(`excluded.${name}`)])),
          )
          .where((row) =>
            row.or(
              columns.map((name) =>
                row(`past_hour.${name}`, 'is distinct from', row.ref(`excluded.${name}`)),
              ),
            ),
          ),
      )
      .execute();
  }
}

function known(value: number | null): number | null {
  return Number.isFinite(value) ? value : null;
}

/** The first that was kept of a source for a day and lead stays. */
export async function writeKept(trx: Transaction<Schema>, kept: readonly KeptForecast[]): Promise<void> {
  const rows = kept.map((forecast) => ({
    place: forecast.place,
    valid_day: forecast.validDay,
    source: forecast.source,
    lead_day: forecast.leadDay,
    kept_at: forecast.keptAt,
    said: keptText(forecast),
  }));
  for (const batch of batches(rows)) {
    await trx
      .insertInto('kept_forecast')
      .values(batch)
      .onConflict((conflict) => conflict.doNothing())
      .execute();
  }
}

async function writeRecords(
  trx: Transaction<Schema>,
  commits: readonly PlaceCommit[],
  at: EpochSeconds,
): Promise<void> {
  const rows = commits.flatMap(({ place, records }) =>
    records.map(({ source, state }) => ({ place, source, state: canonicalJson(state), updated_at: at })),
  );
  for (const batch of batches(rows)) {
    await trx
      .insertInto('place_record')
      .values(batch)
      .onConflict((conflict) =>
        conflict.columns(['place', 'source']).doUpdateSet((row) => ({
          state: row.ref('excluded.state'),
          updated_at: row.ref('excluded.updated_at'),
        })),
      )
      .execute();
  }
}
