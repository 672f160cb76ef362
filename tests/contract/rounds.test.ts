/** Rounds with a real database: what one round remembers and enqueues, the next one and `check` find. */
import { rmSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Config } from '../../src/config/config.ts';
import { openStore } from '../../src/store/open.ts';
import { iso, seconds } from '../support/instants.ts';
import { ANN, checkAt, configOf, csvOf, jsonOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

/** Noon in Denver; the cold comes 60 hours later and stays. */
const START = '2026-12-01T19:00:00Z';
const HOURS = 160;

function series(coldFromHour: number, coldC: number, issuedAt: string | null): string {
  const temperatureC = Array.from({ length: HOURS }, (_, i) => (i < coldFromHour ? 6 : coldC));
  return jsonOf(START, [{ weight: 1, temperatureC }], issuedAt ?? undefined);
}

function load(text: string, person: object = {}): Config {
  const config = configOf({
    series: 'series.json',
    units: [probeUnit({}, { pocket: false })],
    people: [{ ...ANN, headsUp: '5 d', ...person }],
  });
  return scenario(config, { 'series.json': text });
}

function seriesPath({ weather }: Config): string {
  const [source] = weather.sources;
  if (source?.kind !== 'file') throw new Error('no file source');
  return source.path;
}

function replace(config: Config, text: string): void {
  writeFileSync(seriesPath(config), text);
}

async function nextDue(config: Config, now: string): Promise<string | null> {
  const store = await openStore(config.store.path);
  try {
    const at = await store.nextDueAt(seconds(now));
    return at === null ? null : iso(at);
  } finally {
    await store.close();
  }
}

async function kinds(config: Config, now: string): Promise<string[]> {
  const { messages } = await roundAt(config, now);
  return messages.map((m) => `${m.kind} ${m.action} to ${m.to.id}`);
}

describe('a round', () => {
  it('puts a message in the outbox once, however often it runs', async () => {
    const config = load(series(40, -3, START));
    expect(await roundAt(config, START)).toMatchObject({ enqueued: 1 });
    expect(await roundAt(config, START)).toMatchObject({ enqueued: 0 });
    expect(await roundAt(config, '2026-12-01T20:00:00Z')).toMatchObject({ enqueued: 0 });
  });

  it('leaves a memory that check reads and does not write', async () => {
    const config = load(series(40, -9, START));
    const before = await checkAt(config, START);
    expect(before.units[0]?.advice).toMatchObject({ action: 'winterize', reasonCode: 'cold-ahead' });
    await roundAt(config, START);
    // A milder forecast: draining would do, but another one has to say so, too.
    replace(config, series(40, -3, '2026-12-01T23:00:00Z'));
    const held = await checkAt(config, '2026-12-02T00:00:00Z');
    expect(held.units[0]?.advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
    expect(await checkAt(config, '2026-12-02T00:00:00Z')).toEqual(held);
  });

  it('relaxes after two milder forecasts, and says so of neither', async () => {
    const config = load(series(60, -9, START));
    expect(await kinds(config, START)).toEqual(['act winterize to ann']);
    replace(config, series(60, -3, '2026-12-01T23:00:00Z'));
    expect(await kinds(config, '2026-12-02T00:00:00Z')).toEqual([]);
    replace(config, series(60, -3, '2026-12-02T08:00:00Z'));
    expect(await kinds(config, '2026-12-02T09:00:00Z')).toEqual([]);
    const [unit] = (await checkAt(config, '2026-12-02T09:30:00Z')).units;
    expect(unit?.advice).toMatchObject({ action: 'drain', reasonCode: 'cold-ahead' });
  });

  it('does not take the same series, read again, for another forecast', async () => {
    const config = load(series(60, -9, null));
    expect(await kinds(config, START)).toEqual(['act winterize to ann']);
    replace(config, series(60, -3, null));
    for (const now of ['2026-12-02T00:00:00Z', '2026-12-02T09:00:00Z']) await roundAt(config, now);
    const [unit] = (await checkAt(config, '2026-12-02T09:30:00Z')).units;
    expect(unit?.advice).toMatchObject({ action: 'winterize', reasonCode: 'held' });
  });

  it('says that it has become worse', async () => {
    const config = load(series(60, -3, START));
    expect(await kinds(config, START)).toEqual(['act drain to ann']);
    replace(config, series(60, -9, '2026-12-01T23:00:00Z'));
    expect(await kinds(config, '2026-12-02T00:00:00Z')).toEqual(['worse winterize to ann']);
  });

  it('keeps what can wait for the end of the quiet hours, and sends the rest at once', async () => {
    // Ten in the evening in Denver; the work is due in a day and a half.
    const night = '2026-12-02T05:00:00Z';
    const far = load(series(60, -3, START), { quiet: '21:00-07:00' });
    await roundAt(far, night);
    expect(await nextDue(far, night)).toBe('2026-12-02T14:00:00Z');
    const near = load(series(28, -9, START), { quiet: '21:00-07:00' });
    await roundAt(near, night);
    expect(await nextDue(near, night)).toBe(night);
  });

  it('says that there is no forecast, once, and check never says nothing then', async () => {
    const config = load(series(150, -3, START));
    expect(await kinds(config, START)).toEqual([]);
    rmSync(seriesPath(config));
    const told = [];
    for (const hour of [1, 2, 3]) told.push(...(await kinds(config, iso(seconds(START) + hour * 3600))));
    expect(told).toEqual(['no-forecast nothing to ann']);
    const [unit] = (await checkAt(config, '2026-12-01T23:00:00Z')).units;
    expect(unit).toMatchObject({ advice: null, zones: null });
  });

  it('tells of damage beyond the window only those who want to hear of it that early', async () => {
    const late = series(95, -9, START);
    expect(await kinds(load(late), START)).toEqual(['heads-up nothing to ann']);
    expect(await kinds(load(late, { headsUp: '3 d' }), START)).toEqual([]);
  });

  it('tells each reader of damage ahead at their own distance', async () => {
    const config = configOf({
      series: 'series.json',
      units: [probeUnit({ contacts: ['ann', 'bo'] }, { pocket: false })],
      people: [
        { ...ANN, headsUp: '6 d' },
        { ...ANN, id: 'bo', name: 'Bo Example', headsUp: '4 d' },
      ],
    });
    const loaded = scenario(config, { 'series.json': series(130, -9, START) });
    expect(await kinds(loaded, START)).toEqual(['heads-up nothing to ann']);
    replace(loaded, series(130, -9, '2026-12-03T18:00:00Z'));
    expect(await roundAt(loaded, '2026-12-03T19:00:00Z')).toMatchObject({ enqueued: 1 });
    expect(await roundAt(loaded, '2026-12-03T20:00:00Z')).toMatchObject({ enqueued: 0 });
  });
});

it('a heads-up says by a code of its own that cold is likely; the reason of the advice keeps its own', async () => {
  const now = '2026-11-10T12:00:00Z';
  const temperatureC = Array.from({ length: 72 + 140 }, (_, i) => (i < 72 + 90 ? 6 : -12));
  const csv = csvOf({ start: iso(seconds(now) - 72 * 3600), temperatureC });
  const people = [{ ...ANN, headsUp: '7 d' }];
  const config = scenario(configOf({ units: [probeUnit()], people }), { 'series.csv': csv });
  const { messages } = await roundAt(config, now);
  expect(messages).toMatchObject([{ kind: 'heads-up', action: 'nothing', cause: 'cold-likely' }]);
  const [unit] = (await checkAt(config, now)).units;
  expect(unit?.advice?.reasonCode).toBe('no-freeze');
});
