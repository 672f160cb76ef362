/** What of the last days reached nobody and is still of matter. */
import type { Kysely, Selectable } from 'kysely';
import type { OutgoingMessage } from '../message/message.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { batches } from './batches.ts';
import { newsKey } from './lost.ts';
import { OVERTAKES } from './overtake.ts';
import type { OutboxTable, Schema } from './schema.ts';
import type { UnreachedPerson, Undelivered } from './store.ts';

/** What was lost longer ago than this has been seen to, or is past help. Engineering estimate. */
const OF_MATTER_S = 2 * DAY_S;

type Row = Pick<
  Selectable<OutboxTable>,
  | 'id'
  | 'episode'
  | 'kind'
  | 'action'
  | 'person'
  | 'unit'
  | 'channel'
  | 'state'
  | 'attempt'
  | 'ways'
  | 'patience_ends'
  | 'last_error'
  | 'settled_at'
  | 'gathers'
>;

const COLUMNS = [
  ...(['id', 'episode', 'kind', 'action', 'person', 'unit', 'state'] as const),
  ...(['channel', 'attempt', 'ways', 'patience_ends', 'last_error', 'settled_at', 'gathers'] as const),
] as const;

/** One message to one reader, with the rows of all its ways. */
type News = readonly Row[];

export async function undelivered(db: Kysely<Schema>, now: EpochSeconds): Promise<Undelivered> {
  const units = await unitsInTrouble(db, now);
  const rows: Row[] = [];
  const acted = new Map<string, EpochSeconds>();
  for (const batch of batches(units)) {
    rows.push(...(await db.selectFrom('outbox').select(COLUMNS).where('unit', 'in', batch).execute()));
    for (const [unit, at] of await actedAt(db, batch)) acted.set(unit, at);
  }
  const all = [...groups(rows, newsKey).values()];
  const sent = groups(
    all.flatMap((news) => reaching(news).filter(({ state }) => state === 'sent')),
    readerKey,
  );
  const open = all.filter((news) => {
    const at = lostAt(news, now);
    if (at === null || (at <= now - OF_MATTER_S && !news.some((row) => isOverdue(row, now)))) return false;
    const [{ unit, kind } = { unit: '', kind: '' }] = news;
    const later = (sent.get(readerKey(news[0])) ?? []).filter(
      (row) => !news.includes(row) && (row.settled_at ?? 0) > at,
    );
    return (acted.get(unit) ?? 0) <= at && !later.some((row) => takesPlaceOf(row.kind, kind));
  });
  const lost = open.flatMap((news) => {
    const count = countLostOf(news, now);
    return count === 0 ? [] : [{ unit: news[0]?.unit ?? '', count }];
  });
  return {
    lost,
    unreached: newest(open.filter((news) => isUnreached(news, now)).map((news) => person(news, now))),
  };
}

function groups(rows: readonly Row[], key: (row: Row) => string): ReadonlyMap<string, Row[]> {
  const found = new Map<string, Row[]>();
  for (const row of rows) {
    const group = found.get(key(row));
    if (group === undefined) found.set(key(row), [row]);
    else group.push(row);
  }
  return found;
}

function readerKey(row: Pick<Row, 'unit' | 'person'> | undefined): string {
  return JSON.stringify([row?.unit, row?.person]);
}

function takesPlaceOf(newer: string, older: string): boolean {
  const overtaken: readonly string[] = OVERTAKES[newer as OutgoingMessage['kind']];
  return overtaken.includes(older);
}

function isGivenUp({ state }: Row): boolean {
  return state === 'failed' || state === 'expired';
}

/** Tried in vain for as long as a way is relied on, and no other way is left. */
function isOverdue({ state, attempt, patience_ends, ways }: Row, now: EpochSeconds): boolean {
  const isLast = ways === null || ways === '[]';
  return state === 'waiting' && attempt > 0 && isLast && patience_ends !== null && patience_ends <= now;
}

/** Somebody reads what comes by these; what the others took in, a program has, or a directory. */
const READ: readonly string[] = ['email', 'text'];

/**
 * The ways on which it reaches a person. Whoever has an address is not reached by a copy for a program or a file; an
 * order of ways that was stated says itself that each of them reaches them.
 */
function reaching(news: News): News {
  const read = news.filter(({ channel, ways }) => ways !== null || READ.includes(channel));
  return read.length === 0 ? news : read;
}

function isUnreached(news: News, now: EpochSeconds): boolean {
  return reaching(news).every((row) => isGivenUp(row) || isOverdue(row, now));
}

/** When the last way that was lost was; null: none was, or another one made up for it. */
function lostAt(news: News, now: EpochSeconds): EpochSeconds | null {
  if (news.some(({ ways }) => ways !== null) && !isUnreached(news, now)) return null;
  const instants = news.flatMap((row) => {
    if (isGivenUp(row)) return [row.settled_at ?? now];
    return isOverdue(row, now) ? [row.patience_ends ?? now] : [];
  });
  return instants.length === 0 ? null : Math.max(...instants);
}

/** Where every way has a row of its own each counts; where one is enough, they count together. */
function countLostOf(news: News, now: EpochSeconds): number {
  const givenUp = news.filter(isGivenUp).length;
  if (news.every(({ ways }) => ways === null)) return givenUp;
  return isUnreached(news, now) && givenUp === news.length ? 1 : 0;
}

function person(all: News, now: EpochSeconds): UnreachedPerson {
  const news = reaching(all);
  const last = news.toSorted((a, b) => endOf(b, now) - endOf(a, now) || b.id - a.id)[0];
  if (last === undefined) throw new Error('A message without a row cannot be lost.');
  return {
    unit: last.unit,
    person: last.person,
    kind: last.kind as OutgoingMessage['kind'],
    action: last.action as OutgoingMessage['action'],
    episode: last.episode,
    at: endOf(last, now),
    error: last.last_error,
    trying: news.some((row) => !isGivenUp(row)),
    manager: news.some(({ gathers }) => gathers === 1),
  };
}

function endOf({ settled_at, patience_ends }: Row, now: EpochSeconds): EpochSeconds {
  return settled_at ?? patience_ends ?? now;
}

/** Of each unit and person the newest, in the order of unit and person. */
function newest(people: readonly UnreachedPerson[]): readonly UnreachedPerson[] {
  const byReader = new Map<string, UnreachedPerson>();
  for (const one of people.toSorted((a, b) => a.at - b.at)) byReader.set(readerKey(one), one);
  return [...byReader.entries()].toSorted(([a], [b]) => (a < b ? -1 : 1)).map(([, one]) => one);
}

/** Only units of which something was lost lately, or is overdue, are looked at as a whole. */
async function unitsInTrouble(db: Kysely<Schema>, now: EpochSeconds): Promise<readonly string[]> {
  const lost = await db
    .selectFrom('outbox')
    .select('unit')
    .where('state', 'in', ['failed', 'expired'])
    .where('settled_at', '>', now - OF_MATTER_S)
    .execute();
  const overdue = await db
    .selectFrom('outbox')
    .select('unit')
    .where('state', '=', 'waiting')
    .where('patience_ends', '<=', now)
    .where('attempt', '>', 0)
    .execute();
  return [...new Set([...lost, ...overdue].map(({ unit }) => unit))].toSorted();
}

/** When a person last said what was done to each unit. */
async function actedAt(
  db: Kysely<Schema>,
  units: readonly string[],
): Promise<readonly (readonly [string, EpochSeconds])[]> {
  const rows = await db
    .selectFrom('unit')
    .select(['unit', 'water_at', 'checked_at'])
    .where('unit', 'in', units)
    .execute();
  return rows.map(
    ({ unit, water_at, checked_at }) => [unit, Math.max(water_at ?? 0, checked_at ?? 0)] as const,
  );
}
