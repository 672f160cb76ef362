import { assert, double, integer, property } from 'fast-check';
import { expect, it } from 'vitest';
import { claimTimes, isUsable, patienceEnds, retryDelay } from '../../src/outbox/schedule.ts';

it('waits ten seconds first, longer each time, and a quarter of an hour in the end', () => {
  const delays = [1, 2, 3, 4, 5, 6, 7, 8, 100].map((attempt) => retryDelay(attempt, 0.5));
  expect(delays).toEqual([10, 30, 60, 120, 300, 600, 900, 900, 900]);
});

it('spreads an attempt by at most a fifth to either side', () => {
  expect(retryDelay(3, 0)).toBeCloseTo(48, 9);
  expect(retryDelay(3, 0.999_999)).toBeCloseTo(72, 3);
  assert(
    property(integer({ min: 1, max: 1000 }), double({ min: 0, max: 1, noNaN: true }), (attempt, jitter) => {
      const ratio = retryDelay(attempt, jitter) / retryDelay(attempt, 0.5);
      expect(ratio).toBeGreaterThanOrEqual(0.8 - 1e-12);
      expect(ratio).toBeLessThanOrEqual(1.2 + 1e-12);
    }),
  );
});

it('holds a message for too late from its last instant on', () => {
  expect(isUsable(100, 99.9)).toBe(true);
  expect(isUsable(100, 100)).toBe(false);
});

it('relies on one way for half an hour where it cannot wait, for six hours where it can, and for a third of the time left', () => {
  const day = 86_400;
  expect(patienceEnds({ urgent: true, useBefore: 1000 + day }, 1000)).toBe(1000 + 1800);
  expect(patienceEnds({ urgent: false, useBefore: 1000 + day }, 1000)).toBe(1000 + 21_600);
  expect(patienceEnds({ urgent: true, useBefore: 1000 + 3600 }, 1000)).toBe(1000 + 1200);
  expect(patienceEnds({ urgent: false, useBefore: 1000 + 3600 }, 1000)).toBe(1000 + 1200);
  expect(patienceEnds({ urgent: true, useBefore: 900 }, 1000)).toBe(1000);
});

it('claims for a minute, never for longer than an attempt may take, and renews three times in it', () => {
  expect(claimTimes(900)).toEqual({ holds: 60, renewEvery: 20 });
  expect(claimTimes(5)).toEqual({ holds: 5, renewEvery: 5 / 3 });
});
