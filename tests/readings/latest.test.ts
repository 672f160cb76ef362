import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Latest } from '../../src/readings/latest.ts';
import type { Reported } from '../../src/readings/parse.ts';
import { NOW } from '../support/letter.ts';

function reported(temperature: number): Reported {
  return { place: 'creek', unit: null, zone: null, temperature, scale: 'C', at: NOW };
}

/** A sensor whose values are of the time at which they come. */
const live = (id: string): { id: string; at: null } => ({ id, at: null });

function collect(write?: (values: readonly number[]) => Promise<void>) {
  const written: number[][] = [];
  const troubles: unknown[] = [];
  const latest = new Latest({
    write: async (all) => {
      const values = all.map(({ temperature }) => temperature);
      written.push(values);
      await write?.(values);
      return { ok: true };
    },
    onMistake: () => undefined,
    onTrouble: (error) => troubles.push(error),
    everyMs: 60_000,
  });
  return { latest, written, troubles };
}

describe('values that come every second', () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  it('are written once a minute, the last of each sensor', async () => {
    const { latest, written } = collect();
    for (let second = 0; second < 180; second++) {
      latest.put(live('porch'), reported(second));
      if (second % 60 === 0) latest.put(live('belly'), reported(-second));
      await vi.advanceTimersByTimeAsync(1000);
    }
    expect(written).toEqual([
      [59, -0],
      [119, -60],
      [179, -120],
    ]);
  });

  it('and stop leave nothing behind: no writing, no timer', async () => {
    const { latest, written } = collect();
    latest.put(live('porch'), reported(1));
    await vi.advanceTimersByTimeAsync(600_000);
    expect(written).toEqual([[1]]);
    expect(vi.getTimerCount()).toBe(0);
    await latest.close();
    expect(written).toEqual([[1]]);
  });

  it('that come while others are written are written the next time', async () => {
    const { latest, written } = collect(async (values) => {
      if (values.includes(1)) latest.put(live('porch'), reported(2));
    });
    latest.put(live('porch'), reported(1));
    await vi.advanceTimersByTimeAsync(120_000);
    expect(written).toEqual([[1], [2]]);
  });

  it('that cannot be written are tried again each minute, the newest of them', async () => {
    let isLocked = true;
    const { latest, written, troubles } = collect(async () => {
      if (isLocked) throw new Error('locked');
    });
    latest.put(live('porch'), reported(1));
    await vi.advanceTimersByTimeAsync(120_000);
    latest.put(live('porch'), reported(2));
    isLocked = false;
    await vi.advanceTimersByTimeAsync(120_000);
    expect([written, troubles.length]).toEqual([[[1], [1], [2]], 2]);
  });

  it('are taken no more once it is closed', async () => {
    const { latest, written } = collect();
    latest.put(live('porch'), reported(1));
    await latest.close();
    latest.put(live('porch'), reported(2));
    await vi.advanceTimersByTimeAsync(120_000);
    expect(written).toEqual([[1]]);
  });

  it('that carry times of their own are all written, the last of each time', async () => {
    const { latest, written } = collect();
    for (let minute = 0; minute < 90; minute++)
      latest.put({ id: 'porch', at: NOW - minute * 60 }, reported(minute));
    latest.put({ id: 'porch', at: NOW }, reported(-1));
    latest.put(live('porch'), reported(5));
    await vi.advanceTimersByTimeAsync(60_000);
    expect(written).toEqual([[-1, ...Array.from({ length: 89 }, (_, i) => i + 1), 5]]);
  });

  it('from sensors without end fill no memory, are written as soon as the hand is full, and refused till then', async () => {
    const { latest, written } = collect();
    const kept = Array.from({ length: 3000 }, (_, i) => latest.put(live(`sensor ${i}`), reported(i)));
    expect(kept.filter(Boolean)).toHaveLength(1000);
    expect(latest.put(live('sensor 0'), reported(-7))).toBe(true);
    await vi.advanceTimersByTimeAsync(0);
    expect(written.map(({ length }) => length)).toEqual([1000]);
    expect(latest.put(live('sensor 2000'), reported(2000))).toBe(true);
    await latest.close();
    expect(written.flat()).toContain(-7);
    expect(written.flat()).toContain(2000);
  });
});
