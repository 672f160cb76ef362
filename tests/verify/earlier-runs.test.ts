/**
 * What earlier runs said, dressed with the stated law of errors. Student's t with 5 degrees of freedom, one-sided:
 * 95 % at 2.015, 75 % at 0.727 (NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.2; the second from
 * memory), each times √(3/5) for a deviation of 1.
 */
import { describe, expect, it } from 'vitest';
import { keptOfEarlierRuns } from '../../src/verify/earlier-runs.ts';
import { seconds } from '../support/instants.ts';

const DAY = 86_400;
const FIRST = seconds('2026-11-01T00:00:00Z');
const LAW = { atStartK: 1, perDayK: 0.3, members: 51 };
const flat = (days: number, valueC: number): number[] => Array<number>(24 * days).fill(valueC);
const runs = (byLeadC: readonly (readonly number[])[]) => ({
  place: 'creek',
  source: 'meteo (earlier runs)',
  firstHour: FIRST,
  byLeadC,
});

describe('earlier runs', () => {
  it('are kept as if each had been looked at so many days before its day', () => {
    const kept = keptOfEarlierRuns(runs([flat(2, 1), flat(2, 2)]), LAW);
    expect(kept.map((k) => [k.validDay, k.leadDay, k.keptAt, k.meanC[5]])).toEqual([
      [FIRST, 1, FIRST - DAY, 1],
      [FIRST + DAY, 1, FIRST, 1],
      [FIRST, 2, FIRST - 2 * DAY, 2],
      [FIRST + DAY, 2, FIRST - DAY, 2],
    ]);
    expect(kept[0]).toMatchObject({ place: 'creek', source: 'meteo (earlier runs)' });
  });

  it('err by the law at their lead: 1.6 K two days ahead', () => {
    const [kept] = keptOfEarlierRuns(runs([flat(1, Number.NaN), flat(1, 1)]), LAW);
    const { deviationK, quantilesC, below0, atOrBelowMinus4 } = kept!;
    expect(deviationK[0]).toBeCloseTo(1.6, 9);
    const [at95, at75] = [2.015, 0.727].map((t) => 1.6 * Math.sqrt(3 / 5) * t);
    expect(quantilesC.q95[0]).toBeCloseTo(1 + at95!, 3);
    expect(quantilesC.q05[0]).toBeCloseTo(1 - at95!, 3);
    expect(quantilesC.q75[0]).toBeCloseTo(1 + at75!, 3);
    expect(quantilesC.q50[0]).toBeCloseTo(1, 9);
    // With a mean of 1 °C less the 95 % quantile's distance, 0 °C would lie there: chances follow the quantiles.
    const [cold] = keptOfEarlierRuns(runs([[], flat(1, at95!)]), LAW);
    expect(cold!.below0[0]).toBeCloseTo(0.05, 4);
    const [colder] = keptOfEarlierRuns(runs([[], flat(1, at75! - 4)]), LAW);
    expect(colder!.atOrBelowMinus4[0]).toBeCloseTo(0.25, 3);
    expect(below0[0]).toBeGreaterThan(atOrBelowMinus4[0]!);
  });

  it('say nothing of hours and days that they did not know', () => {
    const hole = [...flat(1, 1).slice(0, 23), Number.NaN, ...flat(1, Number.NaN)];
    const kept = keptOfEarlierRuns(runs([hole]), LAW);
    expect(kept).toHaveLength(1);
    const { meanC, deviationK, quantilesC, below0, atOrBelowMinus4 } = kept[0]!;
    for (const values of [meanC, deviationK, quantilesC.q05, below0, atOrBelowMinus4]) {
      expect(values[22]).not.toBeNaN();
      expect(values[23]).toBeNaN();
    }
  });

  it('are taken at their word where no law is stated', () => {
    const [kept] = keptOfEarlierRuns(runs([[...flat(1, -4).slice(0, 23), 0]]), null);
    expect([kept!.deviationK[0], kept!.below0[0], kept!.atOrBelowMinus4[0]]).toEqual([0, 1, 1]);
    expect([kept!.below0[23], kept!.atOrBelowMinus4[23]]).toEqual([0, 0]);
    expect(kept!.quantilesC.q95[0]).toBe(-4);
  });
});
