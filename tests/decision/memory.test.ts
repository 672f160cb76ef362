/** What a clock that was ahead leaves behind, and what stays. */
import { describe, expect, it } from 'vitest';
import { EMPTY_MEMORY, hasActed, withoutFuture, type Memory, type Said } from '../../src/decision/memory.ts';

const NOW = 1_000_000;
const HOUR = 3600;
const SLACK = NOW + HOUR;
const AHEAD = SLACK + 1;

const said = (at: number): Said => ({ kind: 'act', action: 'drain', at, startBy: null });
const full = (at: number): Memory => ({
  episode: { id: 'blue.1', since: at, heard: ['ann'] },
  advice: { action: 'drain', method: null, startBy: null, since: at },
  relaxing: [{ forecast: 'one', at, action: 'nothing' }],
  told: [said(at)],
  suspectSince: at,
  lastKnown: { asOf: at, lowestOutsideC: -7, lowestAt: at + 30 * HOUR },
  blindSince: at,
});

it('an hour’s difference between two clocks is no wrong clock', () => {
  expect(withoutFuture(full(NOW), NOW)).toEqual(full(NOW));
  expect(withoutFuture(full(SLACK), NOW)).toEqual(full(SLACK));
});

it('a memory of nothing stays so', () => {
  expect(withoutFuture(EMPTY_MEMORY, NOW)).toEqual(EMPTY_MEMORY);
  expect(EMPTY_MEMORY).toMatchObject({ told: [], relaxing: [] });
});

describe('what is written for later than an hour from now', () => {
  it('is forgotten, but for the advice and the suspicion, which hold from now on', () => {
    expect(withoutFuture(full(AHEAD), NOW)).toEqual({
      episode: { id: 'blue.1', since: AHEAD, heard: ['ann'], over: true },
      advice: { action: 'drain', method: null, startBy: null, since: NOW },
      relaxing: [],
      told: [],
      suspectSince: NOW,
      lastKnown: null,
      blindSince: NOW,
    });
  });

  it('ends the episode where only one of its messages is from then', () => {
    const mixed = { ...full(NOW), told: [said(NOW - HOUR), said(AHEAD)] };
    const kept = withoutFuture(mixed, NOW);
    expect(kept.told).toEqual([said(NOW - HOUR)]);
    expect(kept.episode).toMatchObject({ id: 'blue.1', over: true });
    expect(kept.advice).toEqual(mixed.advice);
  });

  it('ends the episode that began then, although nothing was told in it since', () => {
    const opened = { ...full(NOW), episode: { id: 'blue.9', since: AHEAD } };
    expect(withoutFuture(opened, NOW).episode?.over).toBe(true);
  });

  it('opens no episode where there is none', () => {
    expect(withoutFuture({ ...full(AHEAD), episode: null }, NOW).episode).toBeNull();
  });

  it('takes nothing from the forecasts that spoke before', () => {
    const { relaxing } = full(NOW);
    const both = { ...full(NOW), relaxing: [...relaxing, ...full(AHEAD).relaxing] };
    expect(withoutFuture(both, NOW).relaxing).toEqual(relaxing);
  });
});

describe('somebody acted since the advice was given', () => {
  const given = (waterAt?: number | null): Pick<Memory, 'advice'> => ({
    advice: {
      action: 'winterize',
      method: 'antifreeze',
      startBy: null,
      since: NOW,
      ...(waterAt === undefined ? {} : { waterAt }),
    },
  });

  it('where the mark is newer than what the advice was given for, in the same second, too', () => {
    expect(hasActed(given(NOW - HOUR), NOW)).toBe(true);
    expect(hasActed(given(null), NOW)).toBe(true);
    expect(hasActed(given(NOW), NOW)).toBe(false);
    expect(hasActed(given(NOW - HOUR), NOW - HOUR)).toBe(false);
  });

  it('by the instant alone where an older version did not keep it', () => {
    expect(hasActed(given(), NOW)).toBe(false);
    expect(hasActed(given(), NOW + 1)).toBe(true);
  });

  it('not where there is no advice, or nobody said anything', () => {
    expect(hasActed({ advice: null }, NOW)).toBe(false);
    expect(hasActed(given(null), null)).toBe(false);
    expect(hasActed(given(null), NOW - 1)).toBe(false);
  });
});
