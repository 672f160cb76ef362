import { expect, it, onTestFinished } from 'vitest';
import { startChild } from '../support/child.ts';
import { ROUND_DONE } from './program.ts';
import { COLD_LATER, MILD, answers, gated, inspect, setScene } from './scene.ts';

it.each([
  ['before the mail server greeted it', 'stall-greeting', 1],
  ['after the mail server had it all, but before it said so', 'stall-data', 2],
] as const)('a message whose daemon is killed %s arrives by the next one', async (_when, step, times) => {
  const scene = await setScene({ smtp: { script: [step] } });
  const daemon = scene.start();
  await daemon.logged(ROUND_DONE);
  const first = await scene.smtp.stalled();
  daemon.kill('SIGKILL');
  expect((await daemon.ended).exit).toBeNull();
  expect(scene.smtp.messages).toEqual([]);

  const next = scene.start();
  const second = await scene.smtp.next();
  await next.logged('The message was sent.');
  next.kill('SIGTERM');
  expect((await next.ended).exit).toBe(0);
  const arrived = [first, ...scene.smtp.messages].filter((received) => received !== null);
  expect(arrived).toHaveLength(times);
  expect(new Set(arrived.map(({ mail }) => mail.messageId))).toEqual(new Set([second.mail.messageId]));
  expect(new Set(arrived.map(({ raw }) => raw))).toEqual(new Set([second.raw]));
  expect(inspect(scene.store).outbox).toMatchObject([{ state: 'sent', attempt: 2 }]);
});

/** Takes the write lock, and gives it back two seconds later. */
const HOLD_LOCK = `
  import Database from 'better-sqlite3';
  const database = new Database(process.argv[1]);
  database.exec('begin immediate');
  console.log('held');
  setTimeout(() => { console.log(Date.now()); database.exec('rollback'); }, 2000);
`;

it('what a daemon reported is in the file, though the lock was held and it was killed right after', async () => {
  const scene = await setScene({ weather: answers(MILD), smtp: { script: ['stall-greeting'] } });
  expect((await scene.run('start', '--once')).exit).toBe(0);
  const before = inspect(scene.store);
  expect(before.outbox).toEqual([]);

  const gate = gated(answers(COLD_LATER));
  scene.weather.respondWith(gate.handler);
  const daemon = scene.start();
  await gate.arrived;
  const holder = startChild(HOLD_LOCK, [scene.store]);
  onTestFinished(() => holder.kill('SIGKILL'));
  await holder.line();
  gate.open();
  const reported = await daemon.logged(ROUND_DONE);
  daemon.kill('SIGKILL');
  await daemon.ended;

  expect(reported.time).toBeGreaterThanOrEqual(Number(await holder.line()));
  expect(reported).toMatchObject({ places: 1, without: 0, messages: 1 });
  const after = inspect(scene.store);
  expect(after.rounds.map(({ id }) => id)).toEqual([...before.rounds.map(({ id }) => id), reported['round']]);
  expect(after.outbox).toMatchObject([
    { unit: 'blue', kind: 'act', state: 'waiting', round: reported['round'] },
  ]);
  expect(after.units).toMatchObject([{ unit: 'blue', memory: { told: [{ kind: 'act' }] } }]);
});
