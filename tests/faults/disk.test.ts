/** No room left: on the disk, in the file, or by a limit of the system. Nothing is half written, and it goes on after. */
import { execFileSync, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import { expect, it, onTestFinished } from 'vitest';
import { EMPTY_MEMORY } from '../../src/decision/memory.ts';
import { openStore } from '../../src/store/open.ts';
import type { RoundRecord, UnitCommit } from '../../src/store/store.ts';
import { ROUND_DONE } from '../e2e/program.ts';
import { inspect, setScene, type Scene } from '../e2e/scene.ts';
import { NOW, entry, letter } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const MAIN = fileURLToPath(new URL('../../dist/main.js', import.meta.url));

const ROUND: RoundRecord = {
  id: 'one',
  startedAt: NOW,
  finishedAt: NOW,
  placesWithForecast: 1,
  placesWithout: 0,
};

function commitOf(unit: string, kilobytes: number): UnitCommit {
  const messageId = `<${unit}.act.ann@drainby.example.org>`;
  const message = letter({ unit, messageId, text: 'x'.repeat(kilobytes * 1024) });
  const memory = { ...EMPTY_MEMORY, suspectSince: NOW };
  return { unit, expectedVersion: 0, memory, outbox: [entry({ episode: `${unit}-1`, message })] };
}

/** SQLite's own limit belongs to a connection, so it is set on each one that is opened meanwhile. */
async function openLimited(path: string, limit: { pages: number }) {
  // oxlint-disable-next-line typescript/unbound-method -- it is called with each connection as its own
  const { exec } = Database.prototype;
  const connections: Database.Database[] = [];
  Database.prototype.exec = function execLimited(sql) {
    const result = exec.call(this, sql);
    if (sql === 'pragma foreign_keys = on') {
      connections.push(this);
      this.pragma(`max_page_count = ${limit.pages}`);
    }
    return result;
  };
  try {
    const store = await openStore(path);
    onTestFinished(() => store.close());
    return { store, widen: () => connections.forEach((one) => one.pragma('max_page_count = 1000000')) };
  } finally {
    Database.prototype.exec = exec;
  }
}

function pagesOf(path: string): number {
  const database = new Database(path, { readonly: true });
  try {
    return Number(database.pragma('page_count', { simple: true }));
  } finally {
    database.close();
  }
}

it('a round that does not fit in the database leaves nothing of itself, and fits once there is room', async () => {
  const path = `${temporaryDirectory()}/drainby.db`;
  await (await openStore(path)).close();
  const { store, widen } = await openLimited(path, { pages: pagesOf(path) + 10 });
  const commits = [commitOf('blue', 1), commitOf('red', 400)];
  await expect(store.commitRound(ROUND, commits)).rejects.toMatchObject({
    name: 'StoreError',
    code: 'store-unreachable',
    hint: expect.stringContaining('the disk has room') as string,
  });
  expect(await store.lastRound()).toBeNull();
  expect(await store.readUnits()).toEqual(new Map());
  expect(await store.outboxCounts()).toMatchObject({ waiting: 0 });
  // What is small still fits: the same connection has not been spoilt.
  expect(await store.commitRound({ ...ROUND, id: 'small' }, [commitOf('green', 1)])).toMatchObject({
    enqueued: 1,
  });

  widen();
  expect(await store.commitRound(ROUND, commits)).toEqual({ stale: [], enqueued: 2 });
  expect(await store.outboxCounts()).toMatchObject({ waiting: 3 });
  const database = new Database(path);
  onTestFinished(() => void database.close());
  expect(database.pragma('integrity_check', { simple: true })).toBe('ok');
});

interface Limited {
  readonly exit: number | null;
  readonly stderr: string;
}

/** Runs the program under a limit on the size of every file it writes, in blocks of 512 bytes. */
async function runLimited({ directory }: Scene, blocks: number): Promise<Limited> {
  const shell = 'ulimit -f "$1"; shift; exec "$@"';
  const program = [process.execPath, MAIN, 'start', '-c', 'drainby.yaml', '--once'];
  const child = spawn('sh', ['-c', shell, 'sh', String(blocks), ...program], {
    cwd: directory,
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let stderr = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    stderr += text;
  });
  const exit = await new Promise<number | null>((resolve) => {
    child.once('close', resolve);
  });
  return { exit, stderr };
}

it('a limit on the size of files ends a round with 5 and says why; without it the message goes out', async () => {
  const scene = await setScene();
  expect((await scene.run('mark', 'blue', 'in-use')).exit).toBe(0);
  const before = inspect(scene.store);
  const ended = await runLimited(scene, 8);
  expect(ended).toMatchObject({ exit: 5 });
  expect(ended.stderr).toContain('cannot be opened or written');
  expect(ended.stderr).toContain('the disk has room');
  expect(inspect(scene.store)).toEqual(before);
  expect(scene.smtp.messages).toEqual([]);

  expect((await scene.run('start', '--once')).exit).toBe(0);
  expect(scene.smtp.messages).toHaveLength(1);
  expect(inspect(scene.store).outbox).toMatchObject([{ kind: 'act', state: 'sent', attempt: 1 }]);
});

/** Of a process that runs, as `df` would see the disk fill up and empty again. */
function limitFiles(pid: number, bytes: number | 'unlimited'): void {
  execFileSync('prlimit', ['--pid', String(pid), `--fsize=${bytes}:unlimited`]);
}

it('a disk that is full when a message has just gone out costs a copy of it, and no more', async () => {
  const scene = await setScene({ smtp: { script: [{ at: 'verdict', afterMs: 1500 }] } });
  const daemon = scene.start();
  await daemon.logged(ROUND_DONE);
  await scene.smtp.asked();
  limitFiles(daemon.pid, 1);
  await daemon.logged('The outbox cannot be worked on; it is tried again.');
  expect(scene.smtp.messages).toHaveLength(1);
  limitFiles(daemon.pid, 'unlimited');
  await scene.smtp.next();
  await scene.smtp.next();
  await daemon.logged('The message was sent.');
  daemon.kill('SIGTERM');
  expect((await daemon.ended).exit).toBe(0);
  const ids = scene.smtp.messages.map(({ mail }) => mail.messageId);
  expect(ids).toHaveLength(2);
  expect(new Set(ids).size).toBe(1);
  expect(inspect(scene.store).outbox).toMatchObject([{ state: 'sent', attempt: 2 }]);
});
