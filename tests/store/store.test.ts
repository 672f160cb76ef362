import SqliteDatabase from 'better-sqlite3';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import type { Memory } from '../../src/decision/memory.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import { openStore } from '../../src/store/open.ts';
import type { RoundRecord, Store, UnitCommit } from '../../src/store/store.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const FROZEN: Memory = { ...EMPTY_MEMORY, suspectSince: NOW - 3600 };
const DRAINED: UnitWater = {
  all: { state: { kind: 'drained', quality: 'well' }, since: NOW, by: 'ann' },
  circuits: {},
};

async function freshStore(): Promise<{ store: Store; path: string }> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path);
  onTestFinished(() => store.close());
  return { store, path };
}

function round(number = 1): RoundRecord {
  const startedAt = NOW + 3600 * number;
  const counts = { placesWithForecast: 2, placesWithout: 1 };
  return { id: `round-${number}`, startedAt, finishedAt: startedAt + 5, ...counts };
}

function commit(over: Partial<UnitCommit> = {}): UnitCommit {
  return { unit: 'blue', expectedVersion: 0, memory: FROZEN, outbox: [], ...over };
}

/** What the file says, through a connection that is none of the store's. */
function rows(path: string, sql: string): unknown[] {
  const database = new SqliteDatabase(path, { readonly: true });
  try {
    return database.prepare(sql).all();
  } finally {
    database.close();
  }
}

describe('a round', () => {
  it('leaves memory and its record behind, and they outlive the process', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const first = await openStore(path);
    expect(await first.commitRound(round(), [commit()])).toEqual({ stale: [], enqueued: 0 });
    await first.close();
    const second = await openStore(path);
    onTestFinished(() => second.close());
    expect(await second.lastRound()).toEqual(round());
    expect([...(await second.readUnits())]).toEqual([
      ['blue', { unit: 'blue', version: 1, water: null, waterAt: null, checkedAt: null, memory: FROZEN }],
    ]);
  });

  it('knows nothing of units and rounds before the first', async () => {
    const { store } = await freshStore();
    expect(await store.lastRound()).toBeNull();
    expect((await store.readUnits()).size).toBe(0);
  });

  it('changes nothing when it learned nothing: no version, no history', async () => {
    const { store, path } = await freshStore();
    await store.commitRound(round(1), [commit(), commit({ unit: 'red', memory: EMPTY_MEMORY })]);
    const reordered = Object.fromEntries(Object.entries(FROZEN).toReversed()) as unknown as Memory;
    await store.commitRound(round(2), [commit({ expectedVersion: 1, memory: reordered })]);
    const units = await store.readUnits();
    expect([...units.keys()]).toEqual(['blue']);
    expect(units.get('blue')?.version).toBe(1);
    expect(rows(path, 'select unit, version, cause from unit_history')).toEqual([
      { unit: 'blue', version: 1, cause: 'round' },
    ]);
    expect(await store.lastRound()).toEqual(round(2));
  });

  it('keeps the last known low without a line of history for every forecast', async () => {
    const { store, path } = await freshStore();
    const lastKnown = { asOf: NOW, lowestOutsideC: -9, lowestAt: NOW + 7200 };
    await store.commitRound(round(1), [commit()]);
    await store.commitRound(round(2), [commit({ expectedVersion: 1, memory: { ...FROZEN, lastKnown } })]);
    expect((await store.readUnits()).get('blue')?.memory.lastKnown).toEqual(lastKnown);
    expect(rows(path, 'select version from unit_history')).toEqual([{ version: 1 }]);
  });

  it('leaves a unit alone that was marked meanwhile, messages too, and writes the others', async () => {
    const { store } = await freshStore();
    await store.mark({ unit: 'blue', water: DRAINED, checked: false, at: NOW, by: 'ann' });
    const result = await store.commitRound(round(), [
      commit({ outbox: [entry()] }),
      commit({
        unit: 'red',
        outbox: [entry({ episode: 'red-1', message: letter({ unit: 'red' }) })],
      }),
    ]);
    expect(result).toEqual({ stale: ['blue'], enqueued: 1 });
    const units = await store.readUnits();
    expect(units.get('blue')).toMatchObject({ version: 1, water: DRAINED, memory: EMPTY_MEMORY });
    expect(units.get('red')).toMatchObject({ version: 1, memory: FROZEN });
    expect((await store.outboxCounts()).waiting).toBe(1);
    const again = await store.commitRound(round(), [commit({ expectedVersion: 1, outbox: [entry()] })]);
    expect(again).toEqual({ stale: [], enqueued: 1 });
  });

  it('is written whole or not at all', async () => {
    const { store } = await freshStore();
    await store.commitRound(round(1), []);
    const broken = entry({ useBefore: null as unknown as number });
    await expect(store.commitRound(round(2), [commit({ outbox: [broken] })])).rejects.toThrow(/NOT NULL/);
    expect((await store.readUnits()).size).toBe(0);
    expect(await store.lastRound()).toEqual(round(1));
    await store.commitRound(round(2), [commit({ outbox: [entry()] })]);
    expect(await store.lastRound()).toEqual(round(2));
  });

  it('writes a thousand units in one go', async () => {
    const { store } = await freshStore();
    const units = Array.from({ length: 1000 }, (_, index) => `unit-${index}`);
    const commits = units.map((unit) =>
      commit({ unit, outbox: [entry({ episode: unit, message: letter({ unit }) })] }),
    );
    expect(await store.commitRound(round(), commits)).toEqual({ stale: [], enqueued: 1000 });
    expect((await store.readUnits()).size).toBe(1000);
  });
});

describe('the outbox', () => {
  it('takes a message once for each episode, kind, action, person and channel', async () => {
    const { store } = await freshStore();
    const ben = { id: 'ben', name: 'Ben Example', email: 'ben@example.org' };
    const different = [
      entry(),
      entry({ episode: 'blue-2' }),
      entry({ channel: 'file' }),
      entry({ message: letter({ kind: 'worse' }) }),
      entry({ message: letter({ action: 'winterize' }) }),
      entry({ message: letter({ to: ben }) }),
    ];
    const first = await store.commitRound(round(), [commit({ memory: EMPTY_MEMORY, outbox: different })]);
    expect(first.enqueued).toBe(6);
    const reworded = different.map((each) => entry({ ...each, useBefore: each.useBefore + 60 }));
    const second = await store.commitRound(round(2), [commit({ memory: EMPTY_MEMORY, outbox: reworded })]);
    expect(second.enqueued).toBe(0);
    expect((await store.outboxCounts()).waiting).toBe(6);
  });

  it('lets a newer message take the place of those that wait for the same reader and unit', async () => {
    const { store, path } = await freshStore();
    const ben = { id: 'ben', name: 'Ben Example', email: 'ben@example.org' };
    const outbox = [
      entry({ message: letter({ kind: 'heads-up' }) }),
      entry(),
      entry({ channel: 'file' }),
      entry({ message: letter({ to: ben }) }),
      entry({ episode: 'red-1', message: letter({ unit: 'red' }) }),
    ];
    await store.commitRound(round(1), [commit({ memory: EMPTY_MEMORY, outbox })]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 5, superseded: 0 });
    const newer = entry({ message: letter({ kind: 'all-clear', action: 'nothing' }) });
    await store.commitRound(round(2), [commit({ memory: EMPTY_MEMORY, outbox: [newer] })]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 4, superseded: 2 });
    expect(rows(path, `select kind from outbox where state = 'superseded' order by id`)).toEqual([
      { kind: 'heads-up' },
      { kind: 'act' },
    ]);
  });

  it('does not send a message again that was overtaken while it was on its way', async () => {
    const { store } = await freshStore();
    const claim = { leaseSeconds: 60, owner: 'one', limit: 1 };
    await store.commitRound(round(1), [commit({ memory: EMPTY_MEMORY, outbox: [entry()] })]);
    const [claimed] = (await store.claimDue({ ...claim, now: NOW })).claimed;
    const newer = entry({ message: letter({ kind: 'worse', action: 'winterize' }) });
    await store.commitRound(round(2), [commit({ memory: EMPTY_MEMORY, outbox: [newer] })]);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 2, superseded: 0 });
    const settlement = { outcome: 'again', nextTryAt: NOW + 10, error: 'no answer' } as const;
    expect(
      await store.settle({ rowId: claimed!.rowId, owner: 'one', attempt: 1, settlement, now: NOW + 1 }),
    ).toBe(true);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1, superseded: 1 });
  });

  it('does not take up an overtaken message whose sender was killed', async () => {
    const { store } = await freshStore();
    const claim = { leaseSeconds: 60, owner: 'one', limit: 5 };
    await store.commitRound(round(1), [commit({ memory: EMPTY_MEMORY, outbox: [entry()] })]);
    await store.claimDue({ ...claim, now: NOW });
    const newer = entry({ message: letter({ kind: 'worse', action: 'winterize' }) });
    await store.commitRound(round(2), [commit({ memory: EMPTY_MEMORY, outbox: [newer] })]);
    const { claimed } = await store.claimDue({ ...claim, now: NOW + 61 });
    expect(claimed.map(({ message }) => message.kind)).toEqual(['worse']);
    expect(await store.outboxCounts()).toMatchObject({ waiting: 1, superseded: 1 });
  });
});

describe('a mark', () => {
  it('is kept with who and when, and leaves the suspicion alone unless the unit was checked', async () => {
    const { store, path } = await freshStore();
    await store.commitRound(round(), [commit()]);
    await store.mark({ unit: 'blue', water: DRAINED, checked: false, at: NOW + 10, by: 'ann' });
    expect((await store.readUnits()).get('blue')).toEqual({
      unit: 'blue',
      version: 2,
      water: DRAINED,
      waterAt: NOW + 10,
      checkedAt: null,
      memory: FROZEN,
    });
    await store.mark({ unit: 'blue', water: null, checked: true, at: NOW + 20, by: 'ben' });
    expect((await store.readUnits()).get('blue')).toEqual({
      unit: 'blue',
      version: 3,
      water: DRAINED,
      waterAt: NOW + 10,
      checkedAt: NOW + 20,
      memory: { ...FROZEN, suspectSince: null },
    });
    expect(rows(path, 'select version, cause, "by", at from unit_history order by id')).toEqual([
      { version: 1, cause: 'round', by: null, at: NOW + 3600 },
      { version: 2, cause: 'mark', by: 'ann', at: NOW + 10 },
      { version: 3, cause: 'mark', by: 'ben', at: NOW + 20 },
    ]);
  });

  it('may build on the unit as it is then, so that two marks of different circuits both hold', async () => {
    const { store } = await freshStore();
    const also = (circuit: string) =>
      store.mark({
        unit: 'blue',
        water: (current) => ({
          all: { state: { kind: 'wet' }, since: null, by: null },
          circuits: { ...current?.water?.circuits, [circuit]: DRAINED.all },
        }),
        checked: false,
        at: NOW,
        by: 'ann',
      });
    await Promise.all(['cold', 'hot', 'heater'].map(also));
    const unit = (await store.readUnits()).get('blue');
    expect(Object.keys(unit?.water?.circuits ?? {}).toSorted()).toEqual(['cold', 'heater', 'hot']);
    expect(unit?.version).toBe(3);
  });
});

it('leaves nothing but the database when it is closed', async () => {
  const directory = temporaryDirectory();
  const store = await openStore(join(directory, 'drainby.db'));
  await store.commitRound(round(), [commit()]);
  await store.close();
  expect(readdirSync(directory)).toEqual(['drainby.db']);
});
