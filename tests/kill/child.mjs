/**
 * Runs the rounds and deliveries of a story on a virtual clock, from where the database says it had come. It says on its
 * standard output what it does, and at the point that its plan names it stops dead and waits to be killed.
 *
 * Plain JavaScript, since Node 20 runs no TypeScript; what it runs is the built program.
 */
import { readFileSync, writeSync } from 'node:fs';
import { deserialize } from 'node:v8';
import Database from 'better-sqlite3';
import { runRound } from '../../dist/app/round.js';
import { openEmail } from '../../dist/delivery/email.js';
import { openTextGateway } from '../../dist/delivery/text-gateway.js';
import { listMessage } from '../../dist/message/list.js';
import { deliverDue } from '../../dist/outbox/loop.js';
import { openStore } from '../../dist/store/open.js';

const HOUR = 3600;
const OWNER = 'child';
const { config, instants, marks, courses, end, plan } = deserialize(readFileSync(process.argv[2]));
const quiet = { info: () => undefined, warn: () => undefined, error: () => undefined };
const { signal } = new AbortController();

const say = (line) => writeSync(1, `${line}\n`);

/** Nothing of this process moves from here on, as little as it would without power. */
function halt(where) {
  say(`halted ${where}`);
  Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0);
}

/** By its first statement: the transactions of a round, of a claim, of a settlement and of a mark. */
function kindOf(sql) {
  if (sql.startsWith('insert into "round"')) return 'round';
  if (sql.startsWith('update "outbox"')) return sql.includes('where "id" =') ? 'settle' : 'claim';
  return sql.includes('"unit"') || sql.includes('"answer"') ? 'mark' : 'other';
}

const seen = { round: 0, claim: 0, settle: 0, mark: 0, other: 0 };
/** By connection the transaction that is open: its kind once that is known, and how many statements it has begun. */
const open = new Map();

function before(database, sql) {
  // A write outside any transaction would be the first of many that a kill can part.
  if (!open.has(database) && /^(insert|update|delete) /.test(sql))
    open.set(database, { kind: null, statements: 0 });
  const transaction = open.get(database);
  if (transaction === undefined) return;
  if (transaction.statements === 0) {
    transaction.kind = kindOf(sql);
    seen[transaction.kind] += 1;
  }
  const { kind, statements } = transaction;
  const ends = sql === 'commit';
  const isIt = plan !== null && plan.in === kind && plan.nth === seen[kind];
  if (isIt && (statements === plan.after || (ends && plan.after !== 'commit'))) halt(`${kind} ${statements}`);
  transaction.statements += 1;
}

function after(database, sql) {
  if (sql === 'begin immediate') open.set(database, { kind: null, statements: 0 });
  if (sql !== 'commit' && sql !== 'rollback') return;
  const kind = open.get(database)?.kind;
  open.delete(database);
  if (plan !== null && plan.in === kind && plan.nth === seen[kind] && plan.after === 'commit')
    halt(`${kind} committed`);
}

/** Every statement passes here on its way to the real database. */
const { prepare } = Database.prototype;
Database.prototype.prepare = function prepareWatched(sql) {
  const statement = prepare.call(this, sql);
  for (const name of ['run', 'all', 'get']) {
    const real = statement[name].bind(statement);
    statement[name] = (...values) => {
      before(this, sql);
      const result = real(...values);
      after(this, sql);
      return result;
    };
  }
  return statement;
};

/** What the made-up service says in a round of the air at a place. */
const weather = {
  id: 'series',
  async fetch(points, now) {
    const firstHour = Math.floor(now / HOUR) * HOUR - 72 * HOUR;
    const forecast = {
      source: 'series',
      attribution: null,
      issuedAt: now,
      fetchedAt: now,
      firstHour,
      whole: false,
    };
    const course = courses.findLast(({ from }) => from <= now);
    return new Map(
      points.map(({ id }) => {
        const temperatureC = Array.from({ length: 72 + 168 }, (_, hour) =>
          airAt(course.spells[id] ?? [], firstHour + hour * HOUR),
        );
        const rest = { windSpeedMps: null, cloudPercent: null, soilTemperatureC: null };
        return [id, { ok: true, forecast: { ...forecast, members: [{ weight: 1, temperatureC, ...rest }] } }];
      }),
    );
  },
};

function airAt(spells, at) {
  return spells.find(({ from, to }) => at >= from && at < to)?.airC ?? 7;
}

let now = instants[0];
const clock = () => now;
const store = await openStore(config.store.path);
const channels = new Map(
  [openEmail, openTextGateway].map((opened) => {
    const channel = opened(config.delivery.email, { env: {} });
    return [channel.id, channel];
  }),
);

async function deliver() {
  await deliverDue({
    store,
    channels,
    now: clock,
    owner: OWNER,
    leaseSeconds: config.delivery.leaseSeconds,
    signal,
    log: quiet,
    gather: listMessage,
  });
}

/** All that falls due before an instant, each at its own time. */
async function deliverUntil(instant) {
  for (;;) {
    const due = await store.nextDueAt(now);
    if (due === null || due >= instant) return;
    now = Math.max(now, Math.ceil(due));
    await deliver();
  }
}

/** A person says it once; after a kill again, unless it is in the database. */
async function markUntil(instant) {
  for (const { unit, state, at, ...how } of marks) {
    if (at >= instant || at < now) continue;
    await deliverUntil(at);
    const said = (await store.readUnit(unit))?.answers ?? [];
    now = at;
    if (said.some((one) => one.at === at)) continue;
    // Most children come to no mark and need not load what it takes.
    const { answer } = await import('../../dist/app/mark.js');
    const usual = { circuits: [], method: null, quality: null, concentrationPercent: null, by: null };
    await answer(store, { config, unit, state, at, now, ...usual, ...how });
    say(`marked ${unit}`);
  }
}

async function round() {
  say('round');
  const sources = [{ source: weather, staleAfterHours: 12, service: null }];
  await runRound({ config, sources, store, owner: OWNER, now: clock, signal, log: quiet });
  say('finished');
}

const last = await store.lastRound();
const begun = last === null ? -1 : instants.indexOf(last.startedAt);
for (let next = begun; next < instants.length; next += 1) {
  if (next >= 0) now = Math.max(now, instants[next]);
  if (next > begun) await round();
  const until = instants[next + 1] ?? end;
  await markUntil(until);
  await deliverUntil(until);
}
await store.close();
say('through');
