/** What stands in a round's way is logged with its reason when it begins, changes or ends, and not each time. */
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import Database from 'better-sqlite3';
import { onTestFinished, expect, it } from 'vitest';
import { check } from '../../src/app/check.ts';
import { mark } from '../../src/app/mark.ts';
import { openSources } from '../../src/app/sources.ts';
import { runRound, type RoundOutcome } from '../../src/app/round.ts';
import type { Troubles } from '../../src/app/trouble.ts';
import type { Config } from '../../src/config/config.ts';
import { memoryShelf } from '../support/memory-shelf.ts';
import { openStore } from '../../src/store/open.ts';
import { iso, seconds } from '../support/instants.ts';
import { configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-11-10T12:00:00Z';
const SURROUNDINGS = { env: {}, write: () => undefined };

function series(air: (ahead: number) => number = () => 6): string {
  return csvOf({
    start: iso(seconds(NOW) - 72 * 3600),
    temperatureC: Array.from({ length: 72 + 200 }, (_, i) => air(i - 72)),
  });
}

interface Line {
  readonly level: 'info' | 'warn' | 'error';
  readonly message: string;
  readonly [field: string]: unknown;
}

/** A round of its own store and log, and what it logged of places and units. */
async function logged(config: Config, before?: Troubles): Promise<RoundOutcome & { lines: Line[] }> {
  const lines: Line[] = [];
  const level = (name: Line['level']) => (fields: object, message: string) => {
    lines.push({ level: name, message, ...fields });
  };
  const log = { info: level('info'), warn: level('warn'), error: level('error') };
  const sources = openSources(config, { env: {}, shelf: memoryShelf() });
  const store = await openStore(config.store.path);
  onTestFinished(() => sources.close());
  const { signal } = new AbortController();
  const round = {
    config,
    sources: sources.offered,
    store,
    owner: 'test',
    now: () => seconds(NOW),
    signal,
    log,
  };
  const outcome = await runRound({ ...round, ...(before === undefined ? {} : { before }) });
  await store.close();
  return { ...outcome, lines: lines.filter((line) => 'place' in line || 'unit' in line) };
}

it('a lost forecast is logged with place, code and hint when it begins, when it changes and when it ends', async () => {
  const config = scenario(configOf({ units: [probeUnit()] }), {});
  const path = join(dirname(config.file), 'series.csv');
  const first = await logged(config);
  expect(first.lines).toEqual([
    {
      level: 'warn',
      message: 'A place has no usable forecast: what the cold will do there is unknown.',
      place: 'creek',
      code: 'source-file',
      error: expect.stringContaining('series.csv cannot be read (ENOENT)') as string,
      hint: expect.stringContaining('may read the file') as string,
    },
  ]);
  const second = await logged(config, first.troubles);
  expect(second.lines).toEqual([]);

  writeFileSync(path, csvOf({ start: '2026-10-01T00:00:00Z', temperatureC: [1, 2, 3] }));
  const third = await logged(config, second.troubles);
  expect(third.lines).toMatchObject([{ level: 'warn', code: 'forecast-stale' }]);

  writeFileSync(path, series());
  const fourth = await logged(config, third.troubles);
  expect(fourth.lines).toMatchObject([{ level: 'info', message: 'A place has a usable forecast again.' }]);
  expect((await logged(config, fourth.troubles)).lines).toEqual([]);
});

it('the end of a loss that an earlier process met is logged with its beginning', async () => {
  const config = scenario(configOf({ units: [probeUnit()] }), {});
  await logged(config);
  writeFileSync(join(dirname(config.file), 'series.csv'), series());
  expect((await logged(config)).lines).toMatchObject([{ level: 'info', place: 'creek', since: NOW }]);
});

it('a damaged record stops neither the other units nor the program: that unit is unknown, and 5 says so', async () => {
  const units = [probeUnit(), probeUnit({ id: 'red' })];
  const cold = series((ahead) => (ahead >= 30 && ahead < 42 ? -8 : 6));
  const config = scenario(configOf({ units }), { 'series.csv': cold });
  await roundAt(config, iso(seconds(NOW) - 3600));
  spoil(config, 'blue');

  const ask = { surroundings: SURROUNDINGS, now: seconds(NOW), signal: new AbortController().signal };
  const looked = await check({ ...ask, config, units: [], failOnAction: true });
  expect(looked.exit).toBe(5);
  expect(looked.answer.units).toMatchObject([
    { id: 'blue', waterState: 'unknown', advice: null, problem: { code: 'store-damaged' } },
    { id: 'red', advice: { action: 'winterize' } },
  ]);

  const round = await logged(config);
  expect(round.lines).toMatchObject([{ level: 'error', unit: 'blue', code: 'store-damaged' }]);
  expect(memoryOf(config, 'blue')).toBe('{bad');
  expect((await logged(config, round.troubles)).lines).toEqual([]);

  const said = {
    config,
    unit: 'blue',
    circuits: [],
    method: null,
    quality: null,
    concentrationPercent: null,
  };
  const when = { at: seconds(NOW), now: seconds(NOW), by: null };
  await expect(mark({ ...said, ...when, state: 'checked' })).rejects.toMatchObject({ code: 'store-damaged' });
  await mark({ ...said, ...when, state: 'in-use' });
  expect((await check({ ...ask, config, units: [], failOnAction: true })).exit).toBe(10);
});

function spoil(config: Config, unit: string): void {
  const database = new Database(config.store.path);
  database.prepare("update unit set memory = '{bad' where unit = ?").run(unit);
  database.close();
}

function memoryOf(config: Config, unit: string): unknown {
  const database = new Database(config.store.path, { readonly: true });
  try {
    return database.prepare('select memory from unit where unit = ?').pluck().get(unit);
  } finally {
    database.close();
  }
}
