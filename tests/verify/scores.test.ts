/**
 * Scores of temperatures against sums done by hand, and the CRPS against the closed form of a normal law:
 * σ·(z·(2Φ(z) − 1) + 2φ(z) − 1/√π), z = (observed − μ)/σ (Gneiting and others 2005, Monthly Weather Review
 * 133:1098-1118, equation 5; from memory, and held against numerical integration below).
 */
import { describe, expect, it } from 'vitest';
import { QUANTILES, crpsOfStair, crpsOfQuantiles, errorScores } from '../../src/verify/scores.ts';
import { normalDistribution, normalQuantile } from '../../src/weather/error-law.ts';

const DENSITY = (z: number): number => Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI);

function crpsOfNormal(meanC: number, deviationK: number, observedC: number): number {
  const z = (observedC - meanC) / deviationK;
  return deviationK * (z * (2 * normalDistribution(z) - 1) + 2 * DENSITY(z) - 1 / Math.sqrt(Math.PI));
}

describe('errors', () => {
  it('of 1, −2, 3 and 2 K: bias 4/4, RMSE √(18/4), MAE 8/4', () => {
    const scores = errorScores([1, -2, 3, 2]);
    expect(scores).toEqual({ n: 4, biasK: 1, rmseK: Math.sqrt(4.5), maeK: 2 });
  });

  it('of nothing are unknown, not 0', () => {
    expect(errorScores([])).toEqual({ n: 0, biasK: NaN, rmseK: NaN, maeK: NaN });
  });
});

describe('CRPS of members', () => {
  it('of one member is its absolute error', () => {
    expect(crpsOfStair([{ weight: 1, valueC: -3 }], 1.5)).toBe(4.5);
    expect(crpsOfStair([{ weight: 1, valueC: 3 }], 1.5)).toBe(1.5);
  });

  it('of 1, 2 and 5 °C with weights ½, ¼ and ¼, observed 3 °C: ¼·1 + (9/16)·1 + (1/16)·2 = 15/16', () => {
    // P is ½ from 1 to 2, ¾ from 2 to 5; H steps at 3: (½)²·1 + (¾)²·1 + (¼)²·2.
    const members = [
      { weight: 0.5, valueC: 1 },
      { weight: 0.25, valueC: 2 },
      { weight: 0.25, valueC: 5 },
    ];
    expect(crpsOfStair(members, 3)).toBeCloseTo(15 / 16, 12);
    // The same by the mean absolute error less half the mean distance of the members:
    // ½·2 + ¼·1 + ¼·2 = 7/4; ½·2·(½·¼·1 + ½·¼·4 + ¼·¼·3) = 13/16.
    expect(7 / 4 - 13 / 16).toBe(15 / 16);
  });

  it('observed below and above all members: the way to the nearest counts in full', () => {
    const members = [
      { weight: 0.5, valueC: 0 },
      { weight: 0.5, valueC: 2 },
    ];
    // ¼·2 between the members, and 3 to the nearest.
    expect(crpsOfStair(members, -3)).toBe(3.5);
    expect(crpsOfStair(members, 5)).toBe(3.5);
  });

  it.each([0, 0.7, -1.8, 4])(
    'of 2,000 members of a normal law, observed %d deviations off: the closed form',
    (z) => {
      const members = Array.from({ length: 2000 }, (_, i) => ({
        weight: 1 / 2000,
        valueC: -4 + 2.5 * normalQuantile((i + 0.5) / 2000),
      }));
      const observed = -4 + 2.5 * z;
      // 2,000 steps leave 1e-3 of a deviation in the tails.
      expect(Math.abs(crpsOfStair(members, observed) - crpsOfNormal(-4, 2.5, observed))).toBeLessThan(0.002);
    },
  );

  it('holds the closed form against the area of (P − H)² summed up', () => {
    const step = 0.001;
    let sum = 0;
    for (let x = -9 + step / 2; x < 9; x += step)
      sum += (normalDistribution(x) - Number(x >= 0.7)) ** 2 * step;
    expect(Math.abs(sum - crpsOfNormal(0, 1, 0.7))).toBeLessThan(1e-5);
  });

  it('is unknown without members or without an observation', () => {
    expect(crpsOfStair([], 1)).toBeNaN();
    expect(crpsOfStair([{ weight: 1, valueC: 1 }], NaN)).toBeNaN();
  });
});

describe('CRPS of quantiles', () => {
  it.each([0, 0.5, -1, 1.6, -2.2, 3, -5])(
    'of a normal law, observed %d deviations off: within 0.5 % of a deviation',
    (z) => {
      const quantilesC = QUANTILES.map((probability) => 2 * normalQuantile(probability) - 1);
      const error = crpsOfQuantiles(quantilesC, 2 * z - 1) - crpsOfNormal(-1, 2, 2 * z - 1);
      expect(Math.abs(error)).toBeLessThan(0.01);
    },
  );

  it('of quantiles that are one value is the absolute error', () => {
    expect(crpsOfQuantiles([-2, -2, -2, -2, -2], 1)).toBe(3);
    expect(crpsOfQuantiles([-2, -2, -2, -2, -2], -2)).toBe(0);
  });

  it('is unknown where a quantile or the observation is', () => {
    expect(crpsOfQuantiles([0, 1, NaN, 3, 4], 1)).toBeNaN();
    expect(crpsOfQuantiles([0, 1, 2, 3], 1)).toBeNaN();
    expect(crpsOfQuantiles([0, 1, 2, 3, 4], NaN)).toBeNaN();
  });
});
