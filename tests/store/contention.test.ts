import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import type { UnitWater } from '../../src/model/water-state.ts';
import { openStore } from '../../src/store/open.ts';
import type { RoundRecord } from '../../src/store/store.ts';
import { compileSources, startChild } from '../support/child.ts';
import type { Child, Compiled } from '../support/child.ts';
import { NOW, entry } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const ROUND: RoundRecord = {
  id: 'one',
  startedAt: NOW,
  finishedAt: NOW + 5,
  placesWithForecast: 1,
  placesWithout: 0,
};
const FROZEN = {
  unit: 'blue',
  expectedVersion: 0,
  memory: { ...EMPTY_MEMORY, suspectSince: NOW },
  outbox: [],
};

/** Takes the write lock of the database, and gives it back after so many milliseconds. */
const HOLD_LOCK = `
  import Database from 'better-sqlite3';
  const [path, ms] = process.argv.slice(1);
  const database = new Database(path);
  database.exec('begin immediate');
  console.log('held');
  setTimeout(() => { database.exec('rollback'); database.close(); console.log('free'); }, Number(ms));
`;

/** Claims one message after the other until none is due, and prints the number of each. */
const CLAIM_ALL = `
  const [directory, path, owner, now] = process.argv.slice(1);
  const { openStore } = await import(directory + '/store/open.js');
  const store = await openStore(path);
  console.log('ready');
  await new Promise((resolve) => process.stdin.once('data', resolve));
  const claimed = [];
  for (;;) {
    const result = await store.claimDue({ now: Number(now), leaseSeconds: 60, owner, limit: 1 });
    if (result.claimed.length === 0) break;
    claimed.push(result.claimed[0].rowId);
  }
  console.log(JSON.stringify(claimed));
  await store.close();
  process.exit(0);
`;

/** Marks the unit as checked. */
const MARK = `
  const [directory, path, at] = process.argv.slice(1);
  const { openStore } = await import(directory + '/store/open.js');
  const store = await openStore(path);
  await store.mark({ unit: 'blue', water: null, checked: true, at: Number(at), by: 'ann' });
  await store.close();
`;

let compiled: Compiled;
beforeAll(() => {
  compiled = compileSources(['store/open.ts']);
});
afterAll(() => {
  compiled.remove();
});

function child(script: string, args: readonly string[]): Child {
  const started = startChild(script, args);
  onTestFinished(() => started.kill('SIGKILL'));
  return started;
}

describe('while another process holds the write lock', () => {
  it('a round waits without stopping the program, and is written when the lock is free', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path);
    onTestFinished(() => store.close());
    const holder = child(HOLD_LOCK, [path, '2000']);
    expect(await holder.line()).toBe('held');
    const ticks = countTicks();
    const started = performance.now();
    const result = await store.commitRound(ROUND, [FROZEN]);
    const waitedMs = performance.now() - started;
    ticks.stop();
    expect(result).toEqual({ stale: [], enqueued: 0 });
    expect(waitedMs).toBeGreaterThan(1000);
    // 20 ms of SQLite's own wait, and what a busy machine adds: far from the two seconds of a dead program.
    expect(ticks.longestGapMs()).toBeLessThan(500);
    expect((await store.readUnits()).get('blue')?.version).toBe(1);
  });

  it('readers go on reading', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path, { lockWaitMs: 0 });
    onTestFinished(() => store.close());
    await store.commitRound(ROUND, [FROZEN]);
    const holder = child(HOLD_LOCK, [path, '60000']);
    expect(await holder.line()).toBe('held');
    expect((await store.readUnits()).get('blue')?.version).toBe(1);
    expect(await store.lastRound()).toEqual(ROUND);
  });

  it('a round gives up after its patience, says why, and succeeds later', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path, { lockWaitMs: 300 });
    onTestFinished(() => store.close());
    const holder = child(HOLD_LOCK, [path, '60000']);
    expect(await holder.line()).toBe('held');
    await expect(store.commitRound(ROUND, [FROZEN])).rejects.toMatchObject({
      name: 'StoreError',
      code: 'store-locked',
      retryable: true,
    });
    await holder.kill('SIGKILL');
    await store.commitRound(ROUND, [FROZEN]);
    expect((await store.readUnits()).get('blue')?.version).toBe(1);
  });

  it('a write does not begin to read what it could not write', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path, { lockWaitMs: 0 });
    onTestFinished(() => store.close());
    const holder = child(HOLD_LOCK, [path, '60000']);
    expect(await holder.line()).toBe('held');
    let asked = 0;
    const water = (): UnitWater => {
      asked += 1;
      return { all: { state: { kind: 'blown' }, since: NOW, by: 'ann' }, circuits: {} };
    };
    const marking = store.mark({ unit: 'blue', water, checked: false, at: NOW, by: 'ann' });
    await expect(marking).rejects.toMatchObject({ code: 'store-locked' });
    expect(asked).toBe(0);
  });
});

describe('several processes', () => {
  it('that claim at the same time never get the same message', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const store = await openStore(path);
    onTestFinished(() => store.close());
    const count = 60;
    const outbox = Array.from({ length: count }, (_, index) => entry({ episode: `episode-${index}` }));
    await store.commitRound(ROUND, [{ ...FROZEN, outbox }]);
    const owners = ['first', 'second', 'third'];
    const children = owners.map((owner) => child(CLAIM_ALL, [compiled.directory, path, owner, String(NOW)]));
    for (const each of children) expect(await each.line()).toBe('ready');
    for (const each of children) each.say('go');
    const answers = await Promise.all(children.map((each) => each.line()));
    const claimed = answers.map((answer) => JSON.parse(answer) as number[]);
    expect(claimed.flat()).toHaveLength(count);
    expect(new Set(claimed.flat()).size).toBe(count);
  });

  it('share the units: a mark by one makes the round of another compute the unit again', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const daemon = await openStore(path);
    onTestFinished(() => daemon.close());
    await daemon.commitRound(ROUND, [FROZEN]);
    const seen = (await daemon.readUnits()).get('blue')!;
    const marking = child(MARK, [compiled.directory, path, String(NOW + 60)]);
    expect(await marking.ended).toBe(0);
    const later = { ...ROUND, id: 'two', startedAt: NOW + 3600 };
    const result = await daemon.commitRound(later, [{ ...FROZEN, expectedVersion: seen.version }]);
    expect(result.stale).toEqual(['blue']);
    expect((await daemon.readUnits()).get('blue')).toMatchObject({
      checkedAt: NOW + 60,
      memory: { suspectSince: null },
    });
  });

  it('may open a new database at the same time', async () => {
    const path = join(temporaryDirectory(), 'drainby.db');
    const stores = await Promise.all([openStore(path), openStore(path), openStore(path)]);
    for (const store of stores) expect((await store.readUnits()).size).toBe(0);
    for (const store of stores) await store.close();
  });
});

/** Notices how long the event loop stood still. */
function countTicks(): { stop(): void; longestGapMs(): number } {
  let last = performance.now();
  let longest = 0;
  const tick = (): void => {
    const now = performance.now();
    longest = Math.max(longest, now - last);
    last = now;
  };
  const timer = setInterval(tick, 5);
  return {
    stop() {
      tick();
      clearInterval(timer);
    },
    longestGapMs: () => longest,
  };
}
