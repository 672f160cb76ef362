/**
 * The law of a single forecast's errors. Its growth and memory are from memory, no table found; the fat tail is
 * Brooks and Doswell 1996, Weather and Forecasting 11:288-303: RMSE/MAE 1.357 (found).
 */
import { describe, expect, it } from 'vitest';
import {
  errorDeviationK,
  normalDistribution,
  normalQuantile,
  t5Distribution,
  t5Quantile,
} from '../../src/weather/error-law.ts';
import { standardErrors } from '../../src/weather/error-lattice.ts';

const HOURS = 385;
const SETS = [51, 101, 401].map((members) => ({ members, errors: standardErrors(members, HOURS) }));

/** All dressed members; the first is the forecast itself. */
function dressed(errors: readonly Float64Array[]): readonly Float64Array[] {
  return errors.slice(1);
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}

describe('Student’s t with 5 degrees of freedom', () => {
  // Standard table of the t distribution, two-sided 90, 95, 98, 99 % (memory).
  for (const [p, t] of [
    [0.95, 2.015],
    [0.975, 2.571],
    [0.99, 3.365],
    [0.995, 4.032],
  ] as const) {
    it(`has its ${p} quantile at ${t}`, () => {
      expect(Math.abs(t5Quantile(p) - t)).toBeLessThan(0.0006);
      expect(Math.abs(t5Quantile(1 - p) + t)).toBeLessThan(0.0006);
      expect(t5Distribution(t5Quantile(p))).toBeCloseTo(p, 10);
    });
  }
});

describe('the normal law', () => {
  // Standard table of the normal distribution (memory); the approximation errs by 1.5e-7 in probability.
  for (const [z, p] of [
    [0, 0.5],
    [1, 0.8413447],
    [1.959964, 0.975],
    [2.575829, 0.995],
  ] as const) {
    it(`is ${p} at ${z}`, () => {
      expect(Math.abs(normalDistribution(z) - p)).toBeLessThan(3e-7);
      expect(Math.abs(normalDistribution(-z) - (1 - p))).toBeLessThan(3e-7);
      expect(Math.abs(normalQuantile(p) - z)).toBeLessThan(1e-4);
    });
  }
});

describe('the deviation', () => {
  it('is that of the present hour at the start and grows by the day', () => {
    const law = { atStartK: 1, perDayK: 0.3, members: 51 };
    expect(errorDeviationK(law, 0)).toBe(1);
    expect(errorDeviationK(law, 86_400)).toBeCloseTo(1.3, 12);
    expect(errorDeviationK(law, 5 * 86_400)).toBeCloseTo(2.5, 12);
    expect(errorDeviationK(law, -3600)).toBe(1);
  });

  for (const { members, errors } of SETS) {
    it(`of ${members} members is the law’s at every lead, between knots too, to 5 %`, () => {
      for (const hour of [0, 1, 6, 12, 17, 24, 30, 48, 66, 72, 120, 240, 384]) {
        const square = meanOf(dressed(errors).map((e) => e[hour]! ** 2));
        expect(Math.abs(Math.sqrt(square) - 1)).toBeLessThan(0.05);
      }
    });
  }
});

describe('the members of an error law', () => {
  for (const { members, errors } of SETS) {
    it(`are ${members}: the forecast itself and pairs of opposites, with mean zero`, () => {
      expect(errors).toHaveLength(members);
      expect(errors[0]?.every((e) => e === 0)).toBe(true);
      for (let k = 1; k < members; k += 2) {
        errors[k]!.forEach((e, hour) => expect(errors[k + 1]![hour]! + e).toBe(0));
      }
    });

    it(`${members} in number: all differ, and none is out of the ordinary for good`, () => {
      const finals = new Set(dressed(errors).map((e) => e[72]));
      expect(finals.size).toBe(members - 1);
      const worst = Math.max(...dressed(errors).map((e) => Math.abs(meanOf([...e]))));
      expect(worst).toBeLessThan(2);
    });

    it(`${members} in number have fatter tails than a normal law`, () => {
      const all = dressed(errors).flatMap((e) => [...e]);
      const rmse = Math.sqrt(meanOf(all.map((e) => e * e)));
      const mae = meanOf(all.map(Math.abs));
      // The normal law has 1.253. Few members have few in the tails: 0.06 of the published 1.357 covers 51.
      expect(rmse / mae).toBeGreaterThan(1.28);
      expect(Math.abs(rmse / mae - 1.357)).toBeLessThan(0.06);
      expect(meanOf(all.map((e) => e ** 4)) / rmse ** 4).toBeGreaterThan(3.3);
    });
  }

  it.each([3, 5, 7])('are numbers throughout, though only %i', (members) => {
    for (const course of standardErrors(members, HOURS)) expect(course.some(Number.isNaN)).toBe(false);
  });

  it('are the same, to the byte, every time, and the nearer hours do not hang on the further ones', () => {
    expect(standardErrors(51, HOURS)).toEqual(standardErrors(51, HOURS));
    const short = standardErrors(51, 49);
    const long = standardErrors(51, 385);
    short.forEach((e, i) => expect([...e]).toEqual([...long[i]!.subarray(0, 49)]));
  });
});
