/** Work in the cold. Factors: common practice, no source. */
import { describe, expect, it } from 'vitest';
import { coldFactor, isSlowed } from '../../src/decision/cold-work.ts';
import { decide } from '../../src/decision/decide.ts';
import { EPOCH, situation } from './timeline.ts';

const DRAIN = { chances: { nothing: 0.6, drain: 0.1, winterize: 0 }, deadline: 48 };
const H = 3600;

/** Advice in air that is `before` until an hour, then `after`. */
function advised(
  hour: number,
  [before, after]: readonly [number, number],
  slowedByCold = ['drain'] as const,
) {
  const asked = situation(0, DRAIN);
  const coldestAir = (_from: number, to: number): number => (to > EPOCH + hour * H ? after : before);
  return decide({ ...asked, coldestAir, work: { ...asked.work, slowedByCold } }).advice;
}

describe('cold', () => {
  it('makes work last 1.3 times as long below −5 °C and 1.6 times below −12 °C', () => {
    expect([0, -5, -5.1, -12, -12.1].map(coldFactor)).toEqual([1, 1, 1.3, 1.3, 1.6]);
  });

  it('moves the start forward by what the work takes longer', () => {
    // 48 h less margin 2 h, travel 15 min and 45 min of work.
    expect(advised(999, [0, 0])).toMatchObject({ startBy: EPOCH + 45 * H, workMinutes: 45 });
    expect(advised(999, [-6, -6])).toMatchObject({
      startBy: EPOCH + 45 * H - 14 * 60,
      workMinutes: 59,
      slowed: { factor: 1.3, airC: -6 },
    });
    expect(advised(999, [-13, -13]).workMinutes).toBe(72);
  });

  it('counts in the air of the time when it is done, not of now', () => {
    expect(advised(24, [0, -13]).workMinutes).toBe(72);
    expect(advised(24, [-13, 0])).toMatchObject({ workMinutes: 45, startBy: EPOCH + 45 * H });
  });

  it('leaves minutes that a person states as they are', () => {
    const asked = situation(0, DRAIN);
    const { advice } = decide({ ...asked, coldestAir: () => -20 });
    expect(advice).toMatchObject({ workMinutes: 45, startBy: EPOCH + 45 * H });
    expect(advice.slowed).toBeUndefined();
  });

  it('slows what is done to a trap and more', () => {
    const work = { ...situation(0, DRAIN).work, slowedByCold: ['drain'] as const };
    expect(isSlowed(work, 'drain', ['trap-kitchen', 'flush'])).toBe(true);
    expect(isSlowed(work, 'drain', ['trap-kitchen', 'trap-bath'])).toBe(false);
    expect(isSlowed(work, 'drain', null)).toBe(true);
    expect(isSlowed(work, 'winterize', null)).toBe(false);
  });

  it('does not slow what is poured into traps', () => {
    const asked = situation(0, DRAIN);
    const candidates = asked.candidates.map((c) =>
      c.action === 'drain' ? { ...c, circuits: ['trap-kitchen'], workMinutes: 5 } : c,
    );
    const work = { ...asked.work, slowedByCold: ['drain'] as const };
    expect(decide({ ...asked, candidates, work, coldestAir: () => -20 }).advice.workMinutes).toBe(5);
  });
});
