/** Readings and what scores forecasts, in real files. */
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openReader } from '../../src/store/reader.ts';
import { openStore } from '../../src/store/open.ts';
import type { Truth } from '../../src/store/measured.ts';
import type { Store } from '../../src/store/store.ts';
import type { Reading } from '../../src/weather/reading.ts';
import { NOW } from '../support/letter.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const HOUR = 3600;

async function freshStore(): Promise<{ store: Store; path: string }> {
  const path = join(temporaryDirectory(), 'drainby.db');
  const store = await openStore(path);
  onTestFinished(() => store.close());
  return { store, path };
}

function reading(over: Partial<Reading> = {}): Reading {
  return {
    place: 'creek',
    unit: null,
    zone: 'outside',
    at: NOW,
    temperatureC: -3.5,
    origin: 'said',
    ...over,
  };
}

describe('readings', () => {
  it('are given back oldest first, of the place and its units, from the instant asked for on', async () => {
    const { store } = await freshStore();
    const belly = reading({ unit: 'blue', zone: 'underbelly', at: NOW + 60, temperatureC: 0 });
    const older = reading({ at: NOW - HOUR });
    const elsewhere = reading({ place: 'meadow' });
    const counts = await store.addReadings([belly, reading(), older, elsewhere], NOW + 90);
    expect(counts).toEqual({ added: 4, replaced: 0, known: 0 });
    expect(await store.readReadings('creek', NOW)).toEqual([reading(), belly]);
    expect(await store.readReadings('creek', 0)).toEqual([older, reading(), belly]);
    expect(await store.readReadings('meadow', 0)).toEqual([elsewhere]);
  });

  it('change nothing when they come again, and are replaced by another value', async () => {
    const { store } = await freshStore();
    await store.addReadings([reading(), reading({ at: NOW + 60 })], NOW);
    const again = await store.addReadings([reading(), reading({ at: NOW + 60, temperatureC: -4 })], NOW + 5);
    expect(again).toEqual({ added: 0, replaced: 1, known: 1 });
    expect(await store.readReadings('creek', 0)).toEqual([
      reading(),
      reading({ at: NOW + 60, temperatureC: -4 }),
    ]);
  });

  it('stand beside each other when they differ in unit, zone or origin', async () => {
    const { store } = await freshStore();
    const different = [
      reading(),
      reading({ unit: 'blue' }),
      reading({ unit: 'blue', zone: 'inside' }),
      reading({ origin: 'mqtt' }),
    ];
    expect(await store.addReadings(different, NOW)).toEqual({ added: 4, replaced: 0, known: 0 });
    const found = await store.readReadings('creek', 0);
    expect(found).toHaveLength(4);
    for (const one of different) expect(found).toContainEqual(one);
  });

  it('that are handed in twice at once count once, and the later value holds', async () => {
    const { store } = await freshStore();
    const counts = await store.addReadings([reading(), reading({ temperatureC: 1 })], NOW);
    expect(counts).toEqual({ added: 1, replaced: 0, known: 1 });
    expect(await store.readReadings('creek', 0)).toEqual([reading({ temperatureC: 1 })]);
  });

  it('come by the thousand in one go, and none is lost', async () => {
    const { store } = await freshStore();
    const many = Array.from({ length: 5000 }, (_, i) => reading({ at: NOW + i, temperatureC: i / 100 }));
    expect(await store.addReadings(many, NOW)).toEqual({ added: 5000, replaced: 0, known: 0 });
    expect(await store.readReadings('creek', 0)).toEqual(many);
  });

  it('all of them or none: one that is no number leaves nothing behind', async () => {
    const { store } = await freshStore();
    const many = Array.from({ length: 500 }, (_, i) => reading({ at: NOW + i }));
    const broken = [...many, reading({ at: NOW - 1, temperatureC: Number.NaN })];
    await expect(store.addReadings(broken, NOW)).rejects.toThrow(/NOT NULL/);
    expect(await store.readReadings('creek', 0)).toEqual([]);
  });

  it('are listed by the newest, of a place with its units or of one unit, also by a look', async () => {
    const { store, path } = await freshStore();
    const own = [0, 1, 2, 3].map((i) => reading({ at: NOW + i * HOUR, temperatureC: i }));
    const inside = reading({ unit: 'blue', zone: 'inside', at: NOW + HOUR / 2 });
    await store.addReadings([...own, inside], NOW);
    expect(await store.lastReadings({ place: 'creek', unit: null, limit: 3 })).toEqual(own.slice(1));
    const reader = await openReader(path);
    expect(await reader!.lastReadings({ place: 'creek', unit: 'blue', limit: 3 })).toEqual([inside]);
    expect(await reader!.lastReadings({ place: 'creek', unit: null, limit: 9 })).toHaveLength(5);
    await reader!.close();
  });
});

describe('what stations and archives say', () => {
  const truth = (over: Partial<Truth> = {}): Truth => ({
    place: 'creek',
    kind: 'station',
    name: 'KLXV',
    at: NOW,
    temperatureC: -8.3,
    ...over,
  });

  it('is kept by kind and name, the newest value of an instant, and nothing unknown', async () => {
    const { store } = await freshStore();
    const archive = truth({ kind: 'archive', name: 'era5', temperatureC: -6 });
    const unknown = truth({ at: NOW + HOUR, temperatureC: Number.NaN });
    expect(await store.addTruths([truth(), archive, unknown])).toBe(2);
    expect(await store.addTruths([truth(), truth({ at: NOW - HOUR }), truth({ place: 'meadow' })])).toBe(2);
    expect(await store.addTruths([{ ...archive, temperatureC: -6.5 }])).toBe(1);
    expect(await store.readTruths('creek', NOW)).toEqual([{ ...archive, temperatureC: -6.5 }, truth()]);
    expect(await store.readTruths('creek', 0)).toHaveLength(3);
  });
});
