/** The last good answers of weather services, and the calls spent on them. */
import { promisify } from 'node:util';
import { gunzip, gzip } from 'node:zlib';
import type { Kysely, Transaction } from 'kysely';
import { StoreError } from '../errors.ts';
import type { Shelved, Spent } from '../forecast/http/shelf.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Schema } from './schema.ts';

const MINUTE_S = 60;

const compress = promisify(gzip);
const expand = promisify(gunzip);

/** Twice what is accepted of a service: a damaged row of a few kilobytes can unpack to gigabytes. */
const MOST_BYTES = 64 * 1024 * 1024;

/** @throws StoreError 'store-damaged' when its body cannot be read. */
export async function findAnswer(db: Kysely<Schema>, source: string, url: string): Promise<Shelved | null> {
  const row = await db
    .selectFrom('shelf')
    .selectAll()
    .where('source', '=', source)
    .where('url', '=', url)
    .executeTakeFirst();
  if (row === undefined) return null;
  return {
    url,
    body: await readBody(row.body, source),
    fetchedAt: row.fetched_at,
    etag: row.etag,
    lastModified: row.last_modified,
    expiresAt: row.expires_at,
  };
}

/** Compresses long bodies on another thread, before any lock is taken. */
export async function packAnswer({ body, ...rest }: Shelved): Promise<PackedAnswer> {
  return { ...rest, body: await compress(body) };
}

type PackedAnswer = Omit<Shelved, 'body'> & { readonly body: Buffer };

/** So much later than a new answer none can be that was kept by a clock that was right. */
const MOST_AHEAD_S = HOUR_S;

/**
 * An answer that was fetched earlier than the one that is there is not put in its place, unless that one was kept
 * while the clock was ahead.
 */
export async function keepAnswer(
  trx: Transaction<Schema>,
  source: string,
  answer: PackedAnswer,
): Promise<void> {
  const values = {
    body: answer.body,
    etag: answer.etag,
    last_modified: answer.lastModified,
    expires_at: answer.expiresAt,
    fetched_at: answer.fetchedAt,
  };
  await trx
    .insertInto('shelf')
    .values({ source, url: answer.url, ...values })
    .onConflict((conflict) =>
      conflict
        .columns(['source', 'url'])
        .doUpdateSet(values)
        .where((eb) =>
          eb.or([
            eb('shelf.fetched_at', '<=', answer.fetchedAt),
            eb('shelf.fetched_at', '>', answer.fetchedAt + MOST_AHEAD_S),
          ]),
        ),
    )
    .execute();
}

export async function readSpent(db: Kysely<Schema>, source: string, now: EpochSeconds): Promise<Spent> {
  const day = startOf(now, DAY_S);
  const rows = await db
    .selectFrom('spent_call')
    .select(['minute as now', 'weight'])
    .where('source', '=', source)
    .where('minute', '>=', day)
    .where('minute', '<', day + DAY_S)
    .execute();
  return spentOf(rows, now);
}

/** Of these calls, what falls into the UTC day, hour and minute of `now`. */
export function spentOf(calls: readonly Pick<SpentCalls, 'weight' | 'now'>[], now: EpochSeconds): Spent {
  const within = (seconds: number): number =>
    calls
      .filter((call) => startOf(call.now, seconds) === startOf(now, seconds))
      .reduce((sum, { weight }) => sum + weight, 0);
  return { day: within(DAY_S), hour: within(HOUR_S), minute: within(MINUTE_S) };
}

export interface SpentCalls {
  readonly source: string;
  readonly weight: number;
  readonly now: EpochSeconds;
}

export async function addSpent(trx: Transaction<Schema>, { source, weight, now }: SpentCalls): Promise<void> {
  await trx
    .insertInto('spent_call')
    .values({ source, minute: startOf(now, MINUTE_S), weight })
    .onConflict((conflict) =>
      conflict
        .columns(['source', 'minute'])
        .doUpdateSet((row) => ({ weight: row('spent_call.weight', '+', weight) })),
    )
    .execute();
}

function startOf(instant: EpochSeconds, seconds: number): EpochSeconds {
  return Math.floor(instant / seconds) * seconds;
}

async function readBody(body: Buffer, source: string): Promise<string> {
  try {
    return (await expand(body, { maxOutputLength: MOST_BYTES })).toString('utf8');
  } catch (cause) {
    throw new StoreError('store-damaged', `A kept answer of the source ${source} cannot be read.`, {
      hint: 'Nothing is to be done: the next answer of the service takes its place.',
      cause,
    });
  }
}
