/** What is kept of answers: the last of each kind by each person, and each press of a button once. */
import SqliteDatabase from 'better-sqlite3';
import { describe, expect, it, onTestFinished } from 'vitest';
import { join } from 'node:path';
import { openStore } from '../../src/store/open.ts';
import { openReader } from '../../src/store/reader.ts';
import type { NewAnswer } from '../../src/store/kept-answers.ts';
import type { Store } from '../../src/store/store.ts';
import { NOW } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const DAY = 86_400;

async function opened(path = join(temporaryDirectory(), 'drainby.db')) {
  const store = await openStore(path);
  onTestFinished(() => store.close());
  return { store, path };
}

const SAID: NewAnswer = {
  unit: 'blue',
  person: 'ann',
  answer: 'on-my-way',
  at: NOW,
  recordedAt: NOW,
  until: NOW + 3600,
  basis: 'said',
  via: 'link',
  episode: 'blue.1',
  link: null,
  details: {},
};

async function say(store: Store, over: Partial<NewAnswer> = {}): Promise<boolean> {
  const answer = { ...SAID, ...over };
  return await store.answer({
    unit: answer.unit,
    link: answer.link,
    decide: (_current, pressed) =>
      pressed === null ? { water: null, checked: false, at: answer.at, by: answer.person, answer } : null,
  });
}

describe('answers', () => {
  it('are given back with their unit: of each person the last of each kind, oldest first', async () => {
    const { store } = await opened();
    await say(store);
    await say(store, { answer: 'drained', until: null, details: { quality: 'well' } });
    await say(store, { at: NOW + 5, until: NOW + 9 });
    await say(store, { person: 'ben', basis: 'seen' });
    await say(store, { person: null, answer: 'drained', until: null, via: 'command', episode: null });
    await say(store, { unit: 'red' });
    const units = await store.readUnits();
    const of = (unit: string) =>
      units.get(unit)?.answers?.map(({ person, answer, at }) => [person, answer, at]);
    expect(of('blue')).toEqual([
      ['ann', 'drained', NOW],
      ['ann', 'on-my-way', NOW + 5],
      ['ben', 'on-my-way', NOW],
      [null, 'drained', NOW],
    ]);
    expect(of('red')).toEqual([['ann', 'on-my-way', NOW]]);
    expect(await store.readUnit('blue')).toEqual(units.get('blue'));
    expect(units.get('blue')?.version).toBe(5);
  });

  it('of one press are written once, and the second moves nothing', async () => {
    const { store } = await opened();
    expect(await say(store, { link: 'press' })).toBe(true);
    expect(await say(store, { link: 'press' })).toBe(false);
    expect((await store.readUnit('blue'))?.version).toBe(1);
  });

  it('are not written at all when what decides throws, and what it threw is passed on', async () => {
    const { store } = await opened();
    const decide = (): never => {
      throw new RangeError('no');
    };
    await expect(store.answer({ unit: 'blue', link: null, decide })).rejects.toThrow(RangeError);
    expect(await store.readUnit('blue')).toBeNull();
  });

  it('that were taken back stay, with when; the unit is computed again', async () => {
    const { store } = await opened();
    await say(store, { answer: 'not-mine', until: null });
    const [answer] = (await store.readUnit('blue'))?.answers ?? [];
    await store.endAnswers({ ids: [answer?.id ?? 0], units: ['blue'], at: NOW + 7 });
    expect(await store.readUnit('blue')).toMatchObject({ version: 2, answers: [{ endedAt: NOW + 7 }] });
  });

  it('are pruned when old, but for the last of each kind, which may still hold', async () => {
    const { store, path } = await opened();
    await say(store, { answer: 'not-mine', until: null });
    await say(store, { at: NOW + 1 });
    await say(store, { at: NOW + 2 });
    await store.prune(NOW + 399 * DAY);
    expect(count(path)).toBe(3);
    await store.prune(NOW + 401 * DAY);
    expect(count(path)).toBe(2);
    expect((await store.readUnit('blue'))?.answers?.map(({ answer }) => answer)).toEqual([
      'not-mine',
      'on-my-way',
    ]);
  });

  it('whose details cannot be read still count', async () => {
    const { store, path } = await opened();
    await say(store);
    const database = new SqliteDatabase(path);
    database.prepare('update answer set details = ?').run('{"quality":');
    database.close();
    expect((await store.readUnit('blue'))?.answers).toMatchObject([{ answer: 'on-my-way', details: {} }]);
  });
});

describe('the key of links', () => {
  it('is made once, of 32 random bytes, the same for two processes at once, and another when rotated', async () => {
    const { store, path } = await opened();
    const { store: other } = await opened(path);
    const keys = await Promise.all([store.linkKey(NOW), other.linkKey(NOW), store.linkKey(NOW + 1)]);
    expect(keys.map(({ length }) => length)).toEqual([32, 32, 32]);
    expect(new Set(keys.map((key) => key.toString('hex'))).size).toBe(1);
    const rotated = await other.rotateLinkKey(NOW + 2);
    expect(rotated.equals(keys[0])).toBe(false);
    expect((await store.linkKey(NOW + 3)).equals(rotated)).toBe(true);
  });
});

it('which of several programs this is is made once for a database, the same for two processes at once', async () => {
  const { store, path } = await opened();
  const { store: second } = await opened(path);
  const { store: other } = await opened();
  const names = await Promise.all([
    store.installation(NOW),
    second.installation(NOW),
    store.installation(NOW),
  ]);
  expect(new Set(names).size).toBe(1);
  expect(names[0]).toMatch(/^[0-9a-f]{16}$/);
  expect(await other.installation(NOW)).not.toBe(names[0]);
  // A new key for links does not make it another.
  await store.rotateLinkKey(NOW);
  expect(await store.installation(NOW + 1)).toBe(names[0]);
});

it('a database of a program without answers is brought up to date, and read as it is', async () => {
  const path = join(temporaryDirectory(), 'drainby.db');
  const before = await openStore(path);
  await before.mark({ unit: 'blue', water: null, checked: true, at: NOW, by: 'ann' });
  await before.close();
  const database = new SqliteDatabase(path);
  database.exec('drop table answer; drop table signing_key; pragma user_version = 5');
  database.close();
  const reader = await openReader(path);
  expect((await reader?.readUnits())?.get('blue')).toMatchObject({ checkedAt: NOW });
  await reader?.close();
  const { store } = await opened(path);
  expect(await say(store)).toBe(true);
});

function count(path: string): number {
  const database = new SqliteDatabase(path, { readonly: true });
  try {
    return database.prepare('select * from answer').all().length;
  } finally {
    database.close();
  }
}
