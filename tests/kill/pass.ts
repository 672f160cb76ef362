/** One pass through the story: a child that is killed again and again, and started again, until it is through. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import Database from 'better-sqlite3';
import type { Copy, MailServer } from './mail-server.ts';
import { INSTEAD, type Moment } from './moment.ts';
import { storyAt } from './story.ts';

const CHILD = fileURLToPath(new URL('child.mjs', import.meta.url));

export interface Kill {
  readonly moment: Moment;
  /** Message-IDs and recipients that were claimed, and not settled, in this process. */
  readonly inFlight: readonly string[];
}

export interface PassResult {
  readonly kills: readonly Kill[];
  readonly starts: number;
  readonly copies: readonly Copy[];
  readonly store: StoreContent;
}

export interface PassOptions {
  readonly server: MailServer;
  /** Where each child is killed in turn; null: it is let be. */
  readonly next: (kills: number) => Moment | null;
}

export async function runPass(options: PassOptions): Promise<PassResult> {
  const directory = mkdtempSync(join(tmpdir(), 'drainby-kill-'));
  try {
    return await passIn(directory, options);
  } finally {
    rmSync(directory, { recursive: true, force: true });
  }
}

async function passIn(directory: string, { server, next }: PassOptions): Promise<PassResult> {
  server.forget();
  const story = storyAt(directory, server.port);
  const { path } = story.config.store;
  const plan = join(directory, 'plan');
  const kills: Kill[] = [];
  for (let starts = 1; ; starts += 1) {
    const moment = next(kills.length);
    writeFileSync(plan, story.file(moment !== null && 'in' in moment ? moment : null));
    const killedAt = await runChild({ plan, server, moment });
    await server.idle();
    if (killedAt === null) return { kills, starts, copies: [...server.copies], store: contentOf(path) };
    kills.push({ moment: killedAt, inFlight: inFlight(path) });
  }
}

interface Run {
  /** The file that the child reads. */
  readonly plan: string;
  readonly server: MailServer;
  readonly moment: Moment | null;
}

/** Marks are few: a child that is to be killed at one may go on for so many rounds. */
const LONG_WAY = 8;

/** After so many finished rounds the moment did not come. */
function roundsTo(moment: Moment): number {
  if ('line' in moment ? moment.line === 'marked' : 'in' in moment && moment.in === 'mark') return LONG_WAY;
  return 'in' in moment && moment.in === 'round' ? Math.max(INSTEAD.nth, moment.nth) : INSTEAD.nth;
}

/** Resolves with the moment at which it was killed; null: it ended by itself. */
async function runChild({ plan, server, moment }: Run): Promise<Moment | null> {
  const child = spawn(process.execPath, [CHILD, plan], { stdio: ['ignore', 'pipe', 'pipe'] });
  let errors = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    errors += text;
  });
  let killedAt: Moment | null = null;
  const kill = (at: Moment, afterMs = 0): void => {
    killedAt ??= at;
    // With no delay at once, before anything else can happen.
    if (afterMs === 0) child.kill('SIGKILL');
    else setTimeout(() => child.kill('SIGKILL'), afterMs);
  };
  let passed = 0;
  server.watch((step) => {
    if (moment === null || !('step' in moment) || step !== moment.step) return false;
    passed += 1;
    if (passed === moment.nth) kill(moment, moment.afterMs);
    return passed >= moment.nth && step !== 'taken';
  });
  let rounds = 0;
  createInterface(child.stdout).on('line', (line) => {
    if (moment === null) return;
    if (line.startsWith('halted')) kill(moment);
    if ('line' in moment && line.startsWith(moment.line)) kill(moment, moment.afterMs);
    if (line === INSTEAD.line) rounds += 1;
    if (rounds === roundsTo(moment)) kill(INSTEAD);
  });
  const [code, signal] = (await once(child, 'close')) as [number | null, NodeJS.Signals | null];
  server.watch(null);
  if (signal === 'SIGKILL') return killedAt;
  if (code === 0 && errors === '') return null;
  throw new Error(`The child ended by itself with ${String(code ?? signal)}: ${errors}`);
}

type Row = Readonly<Record<string, unknown>>;

/** All of the database that a kill may not change. */
export interface StoreContent {
  readonly integrity: unknown;
  readonly rounds: readonly Row[];
  readonly units: readonly Row[];
  readonly history: readonly Row[];
  readonly answers: readonly Row[];
  /**
   * Without what tells of attempts. The weekly line goes out with whichever round comes first in its time, and a round
   * that is killed when it has just written itself leaves it to the next.
   */
  readonly outbox: readonly Row[];
}

function contentOf(path: string): StoreContent {
  return withDatabase(path, (all, database) => ({
    integrity: database.pragma('integrity_check', { simple: true }),
    rounds: all('select * from round order by id'),
    units: all('select * from unit order by unit'),
    history: all('select * from unit_history order by id'),
    answers: all('select unit, person, answer, at, ended_at from answer order by id'),
    outbox: all(
      `select episode, kind, action, person, channel, unit, use_before, state,
         iif(kind = 'watching', null, round) as round, iif(kind = 'watching', null, message) as message
       from outbox order by episode, kind, action, person, channel`,
    ),
  }));
}

/** What the killed process had in hand. A claim that an earlier one left behind has another attempt to its name. */
function inFlight(path: string): readonly string[] {
  return withDatabase(path, (all, database) => {
    const integrity = database.pragma('integrity_check', { simple: true });
    if (integrity !== 'ok') throw new Error(`A kill has damaged the database: ${String(integrity)}`);
    const rows = all(
      `select person, channel, attempt, coalesce(batch, json_extract(message, '$.messageId')) as id
       from outbox where state = 'waiting' and claimed_by is not null`,
    );
    return [
      ...new Set(rows.map(({ id, person, channel, attempt }) => [id, person, channel, attempt].join(' '))),
    ];
  });
}

function withDatabase<T>(
  path: string,
  read: (all: (sql: string) => Row[], database: Database.Database) => T,
): T {
  const database = new Database(path);
  try {
    return read((sql) => database.prepare(sql).all() as Row[], database);
  } finally {
    database.close();
  }
}
