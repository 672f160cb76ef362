import { afterAll, beforeAll, expect, it, onTestFinished } from 'vitest';
import { compileSources, startChild, type Compiled } from '../support/child.ts';
import { ROUND_DONE } from './program.ts';
import { BLUE, COLD_LATER, answers, gated, header, inspect, setScene } from './scene.ts';

const WINTERIZED = ['winterized', '--method', 'antifreeze', '--concentration', '50', '--by', 'ann'] as const;
const RED = { ...BLUE, id: 'red', label: 'Red trailer' };

it('a unit marked while a round waits for its forecast is judged as marked', async () => {
  const gate = gated(answers(COLD_LATER));
  const scene = await setScene({ weather: gate.handler, config: { units: [BLUE, RED] } });
  const daemon = scene.start();
  await gate.arrived;
  const { exit, stdout } = await scene.run('mark', 'blue', ...WINTERIZED);
  expect([exit, stdout]).toEqual([0, expect.stringMatching(/^blue: winterized since .*Z\.\n$/)]);
  expect(inspect(scene.store).units).toMatchObject([{ unit: 'blue', version: 1 }]);
  gate.open();
  expect(await daemon.logged(ROUND_DONE)).toMatchObject({ messages: 1 });
  expect(header(await scene.smtp.next(), 'x-drainby-unit')).toBe('red');
  daemon.kill('SIGTERM');
  await daemon.ended;
  expect(inspect(scene.store).units).toMatchObject([
    { unit: 'blue', version: 2, memory: { advice: { action: 'nothing' }, told: [] } },
    { unit: 'red', version: 1, memory: { told: [{ kind: 'act' }] } },
  ]);
});

/** Marks blue as winterized within a transaction that it ends only when it is told to. */
const MARK_SLOWLY = `
  const [directory, path, at] = process.argv.slice(1);
  const { default: SqliteDatabase } = await import('better-sqlite3');
  const { Kysely } = await import('kysely');
  const { ImmediateDialect } = await import(directory + '/store/dialect.js');
  const { mark } = await import(directory + '/store/marks.js');
  const db = new Kysely({ dialect: new ImmediateDialect(new SqliteDatabase(path)) });
  const state = { kind: 'antifreeze', concentrationPercent: 50 };
  const water = { all: { state, since: Number(at), by: 'ann' }, circuits: {} };
  await db.transaction().execute(async (trx) => {
    await mark(trx, { unit: 'blue', water, checked: false, at: Number(at), by: 'ann' });
    console.log('marked');
    await new Promise((resolve) => process.stdin.once('data', resolve));
  });
  process.exit(0);
`;

let compiled: Compiled;
beforeAll(() => {
  compiled = compileSources(['store/dialect.ts', 'store/marks.ts']);
});
afterAll(() => {
  compiled.remove();
});

it('a unit marked between the computing and the writing of a round is computed again', async () => {
  const gate = gated(answers(COLD_LATER));
  const scene = await setScene({ weather: gate.handler, config: { units: [BLUE, RED] } });
  const daemon = scene.start();
  await gate.arrived;
  const at = Math.floor(Date.now() / 1000);
  const marking = startChild(MARK_SLOWLY, [compiled.directory, scene.store, String(at)]);
  onTestFinished(() => marking.kill('SIGKILL'));
  await marking.line();
  gate.open();
  // A look reads and computes what the round does, and ends later: by then the round waits to write.
  const { exit, stdout, stderr } = await scene.run('check', '--json');
  expect([exit, stderr]).toEqual([0, '']);
  expect(JSON.parse(stdout)).toMatchObject({ units: [{ id: 'blue', waterState: 'wet' }, { id: 'red' }] });
  marking.say('go on');
  expect(await daemon.logged(ROUND_DONE)).toMatchObject({ messages: 1 });
  expect(header(await scene.smtp.next(), 'x-drainby-unit')).toBe('red');
  daemon.kill('SIGTERM');
  await daemon.ended;
  const { units, outbox } = inspect(scene.store);
  expect(units).toMatchObject([
    { unit: 'blue', version: 2, memory: { advice: { action: 'nothing' }, told: [] } },
    { unit: 'red', version: 1, memory: { told: [{ kind: 'act' }] } },
  ]);
  expect(outbox.map(({ unit }) => unit)).toEqual(['red']);
});

it('a look beside the daemon sees the mark, and writes nothing', async () => {
  const scene = await setScene();
  const daemon = scene.start();
  await scene.smtp.next();
  expect((await scene.run('mark', 'blue', ...WINTERIZED)).exit).toBe(0);
  const before = inspect(scene.store);
  const { exit, stdout, stderr } = await scene.run('check', '--json');
  expect([exit, stderr]).toEqual([0, '']);
  expect(JSON.parse(stdout)).toMatchObject({ units: [{ id: 'blue', waterState: 'antifreeze' }] });
  daemon.kill('SIGTERM');
  expect((await daemon.ended).exit).toBe(0);
  expect(inspect(scene.store)).toEqual({ ...before, outbox: [{ ...before.outbox[0], ...SETTLED }] });
});

/** The daemon may write this of its mail between the two looks. */
const SETTLED = { state: 'sent', claimed_by: null, settled_at: expect.any(Number) as unknown };
