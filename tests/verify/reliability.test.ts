/** Chances against sums done by hand, and Murphy's partition (1973) against the score itself. */
import { describe, expect, it } from 'vitest';
import {
  brierParts,
  brierScore,
  brierSkill,
  reliabilityTable,
  type ChanceCase,
} from '../../src/verify/reliability.ts';
import { Random } from '../support/random.ts';

const DAY = 86_400;

/** Ten cases: 0.2 given five times and right once, 0.8 given five times and right four times. */
const TEN: readonly ChanceCase[] = [
  ...Array.from({ length: 5 }, (_, i) => ({ chance: 0.2, happened: i === 0 })),
  ...Array.from({ length: 5 }, (_, i) => ({ chance: 0.8, happened: i !== 0 })),
];

describe('the Brier score', () => {
  it('of the ten cases: (0.64 + 4·0.04 + 4·0.04 + 0.64)/10 = 0.16', () => {
    expect(brierScore(TEN)).toBeCloseTo(0.16, 12);
  });

  it('falls into reliability 0, resolution 0.09 and uncertainty 0.25', () => {
    // Frequencies are 1/5 and 4/5, just as said; each is 0.3 from the base rate 5/10: 0.3² = 0.09; ½·½ = 0.25.
    const parts = brierParts(TEN);
    expect(parts.reliability).toBeCloseTo(0, 12);
    expect(parts.resolution).toBeCloseTo(0.09, 12);
    expect(parts.uncertainty).toBeCloseTo(0.25, 12);
    expect(brierSkill(TEN)).toBeCloseTo(1 - 0.16 / 0.25, 12);
  });

  it('of 0.9 given four times and right twice: 0.41 = 0.16 − 0 + 0.25', () => {
    const cases = Array.from({ length: 4 }, (_, i) => ({ chance: 0.9, happened: i < 2 }));
    expect(brierScore(cases)).toBeCloseTo((2 * 0.01 + 2 * 0.81) / 4, 12);
    expect(brierParts(cases).reliability).toBeCloseTo(0.4 ** 2, 12);
    expect(brierParts(cases).resolution).toBe(0);
    // Worse than saying one half each time, whose score is 0.25.
    expect(brierSkill(cases)).toBeCloseTo(1 - 0.41 / 0.25, 12);
  });

  it('is its parts, whatever the chances', () => {
    const random = new Random(7);
    for (let round = 0; round < 50; round++) {
      const cases = Array.from({ length: 200 }, () => {
        const chance = random.whole(0, 51) / 51;
        return { chance, happened: random.chance(chance ** 2) };
      });
      const { reliability, resolution, uncertainty } = brierParts(cases);
      expect(reliability - resolution + uncertainty).toBeCloseTo(brierScore(cases), 12);
    }
  });

  it('has no skill to speak of where all happened, or none did', () => {
    expect(brierSkill([{ chance: 0.1, happened: false }])).toBeNull();
    expect(brierSkill([{ chance: 0.1, happened: true }])).toBeNull();
    expect(brierSkill([])).toBeNull();
    expect(brierScore([])).toBeNaN();
  });
});

describe('the reliability table', () => {
  it('counts by tenths, and days apart from hours', () => {
    const hour = (chance: number, happened: boolean, day: number) => ({ chance, happened, day: day * DAY });
    const table = reliabilityTable([
      hour(0.25, true, 0),
      hour(0.21, false, 0),
      hour(0.29, false, 1),
      hour(1, true, 1),
      hour(0.9, true, 2),
      hour(0, false, 3),
    ]);
    expect(table.map(({ from, to, n, days }) => [from, to, n, days])).toEqual([
      [0, 0.1, 1, 1],
      [0.2, 0.3, 3, 2],
      [0.9, 1, 2, 2],
    ]);
    expect(table[1]!.meanChance).toBeCloseTo(0.25, 12);
    expect(table[1]!.frequency).toBeCloseTo(1 / 3, 12);
  });

  it('puts a sum of weights that misses its tenth by a digit where it belongs', () => {
    const chance = Array.from({ length: 8 }, () => 0.1).reduce((sum, w) => sum + w, 0);
    expect(chance).toBeLessThan(0.8);
    expect(reliabilityTable([{ chance, happened: true, day: 0 }])[0]!.from).toBe(0.8);
  });
});
