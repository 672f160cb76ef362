/** The daemon's intake: HTTP through a real socket to a real database. */
import { describe, expect, it, onTestFinished } from 'vitest';
import { acceptReadings } from '../../src/app/readings.ts';
import { openStore } from '../../src/store/open.ts';
import { CREEK, configOf, probeUnit, scenario } from '../support/scenario.ts';
import { NOW } from '../support/letter.ts';
import { post, serve } from '../web/post.ts';

async function intake() {
  const series = { 'series.csv': 'time,temperatureC\n2026-11-25T08:00:00Z,1\n' };
  const config = scenario(configOf({ places: [CREEK], units: [probeUnit()] }), series);
  const store = await openStore(config.store.path);
  onTestFinished(() => store.close());
  const addReadings = acceptReadings({ config, store, origin: 'http', now: () => NOW });
  const lastRound = async () => (await store.lastRound())?.finishedAt ?? null;
  return { store, web: await serve({ addReadings, lastRound }) };
}

describe('readings over HTTP', () => {
  it('are in the database when they are answered for', async () => {
    const { store, web } = await intake();
    const many = [
      { place: 'creek', temperatureC: -3.5 },
      { unit: 'blue', temperatureF: 32, at: '2026-11-25T08:00:00Z' },
    ];
    expect(await post(web, many)).toMatchObject({ status: 200, body: { added: 2, replaced: 0, known: 0 } });
    expect(await post(web, many)).toMatchObject({ status: 200, body: { added: 0, replaced: 0, known: 2 } });
    const of = { place: 'creek', zone: 'outside', origin: 'http' };
    expect(await store.readReadings('creek', 0)).toEqual([
      { ...of, unit: 'blue', at: NOW - 1800, temperatureC: 0 },
      { ...of, unit: null, at: NOW, temperatureC: -3.5 },
    ]);
  });

  it('are kept all or none, with every mistake said', async () => {
    const { store, web } = await intake();
    const { status, body } = await post(web, [
      { place: 'creek', temperatureC: -3.5 },
      { place: 'lake', temperatureC: 1 },
      { unit: 'blue', zone: 'attic', temperatureC: -127, at: '2027-01-01T00:00:00Z' },
      { unit: 'blue', temperatureC: true },
    ]);
    expect(status).toBe(422);
    const { mistakes } = body as { mistakes: readonly { index: number; text: string }[] };
    expect(mistakes.map(({ index }) => index)).toEqual([1, 2, 2, 2, 3]);
    expect(mistakes[0]?.text).toBe('There is no place "lake". Known places are: creek.');
    expect(await store.readReadings('creek', 0)).toEqual([]);
  });

  it('of places that nobody knows are not found', async () => {
    const { web } = await intake();
    expect(await post(web, { place: 'lake', temperatureC: 1 })).toMatchObject({ status: 404 });
    expect(await post(web, { unit: 'creek', temperatureC: 1 })).toMatchObject({ status: 404 });
    expect(await (await fetch(`${web.address}/health`)).json()).toEqual({ ok: true, lastRound: null });
  });
});
