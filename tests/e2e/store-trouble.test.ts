import { statSync, truncateSync, writeFileSync } from 'node:fs';
import Database from 'better-sqlite3';
import { expect, it, onTestFinished } from 'vitest';
import { startChild } from '../support/child.ts';
import { run } from './program.ts';
import { COLD_LATER, MILD, answers, gated, inspect, setScene, type Scene } from './scene.ts';

/** Takes the write lock and keeps it. */
const HOLD_LOCK = `
  import Database from 'better-sqlite3';
  const database = new Database(process.argv[1]);
  database.exec('begin immediate');
  console.log('held');
  process.stdin.resume();
`;

it(
  'a store that stays locked ends a round and a mark with 5, and a look still answers',
  { timeout: 60_000 },
  async () => {
    const scene = await withStore();
    const holder = startChild(HOLD_LOCK, [scene.store]);
    onTestFinished(() => holder.kill('SIGKILL'));
    await holder.line();
    const [round, mark, look] = await Promise.all([
      scene.run('start', '--once'),
      scene.run('mark', 'blue', 'drained'),
      scene.run('check', '--json'),
    ]);
    expect([round.exit, mark.exit, look.exit]).toEqual([5, 5, 0]);
    for (const { stderr } of [round, mark]) {
      expect(stderr).toContain('Another process holds the database');
      expect(stderr).toContain('run the command again');
    }
  },
);

it('a daemon that waits for the store ends in order when asked to, and says what it could not write', async () => {
  const gate = gated(answers(COLD_LATER));
  const scene = await setScene({ weather: gate.handler });
  const daemon = scene.start();
  await gate.arrived;
  const holder = startChild(HOLD_LOCK, [scene.store]);
  onTestFinished(() => holder.kill('SIGKILL'));
  await holder.line();
  gate.open();
  // A look reads and computes what the round does, and ends later: by then the round waits to write.
  expect((await scene.run('check')).exit).toBe(0);
  const asked = performance.now();
  daemon.kill('SIGTERM');
  const { exit, stderr } = await daemon.ended;
  expect(exit).toBe(0);
  // Alone, the wait for the lock would go on for ten seconds from its begin.
  expect(performance.now() - asked).toBeLessThan(5000);
  expect(stderr).toContain('Another process holds the database');
  expect(stderr).not.toContain('bug');
  expect(inspect(scene.store)).toMatchObject({ rounds: [], outbox: [] });
});

it.each([
  ['is no database', 'damaged', (path: string) => writeFileSync(path, 'Not a database. '.repeat(512))],
  ['lost its second half', 'damaged', (path: string) => truncateSync(path, statSync(path).size / 2)],
  ['was written by a later version', 'versions up to', toLaterVersion],
])('a store that %s ends the daemon and a look with 5, and says so', async (_what, words, spoil) => {
  const scene = await withStore();
  spoil(scene.store);
  const ended = await Promise.all([scene.run('start'), scene.run('check')]);
  expect(ended.map(({ exit }) => exit)).toEqual([5, 5]);
  for (const { stderr, stdout } of ended) {
    expect(stderr).toContain(words);
    expect(stdout).toBe('');
  }
});

it(
  'a store that was cut off to nothing is neither whole nor begun anew in silence',
  { timeout: 240_000 },
  async () => {
    const scene = await withStore();
    truncateSync(scene.store, 0);
    const care = await run(['store', 'check', '-c', 'drainby.yaml'], { cwd: scene.directory });
    expect([care.exit, care.stderr]).toEqual([5, expect.stringContaining('holds nothing at all')]);
    const looked = await scene.run('check');
    expect([looked.exit, looked.stderr]).toEqual([0, expect.stringContaining('put a backup in its place')]);
    const begun = await scene.run('start', '--once');
    expect([begun.exit, begun.stderr]).toEqual([0, expect.stringContaining('put a backup in its place')]);
    truncateSync(scene.store, 0);
    const marked = await scene.run('mark', 'blue', 'drained');
    expect([marked.exit, marked.stderr]).toEqual([0, expect.stringContaining('put a backup in its place')]);
  },
);

/** A scene whose program has run before. */
async function withStore(): Promise<Scene> {
  const scene = await setScene({ weather: answers(MILD) });
  expect((await scene.run('mark', 'blue', 'in-use')).exit).toBe(0);
  return scene;
}

function toLaterVersion(path: string): void {
  const database = new Database(path);
  database.pragma('user_version = 999');
  database.close();
}
