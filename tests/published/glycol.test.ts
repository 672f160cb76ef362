/**
 * Propylene glycol in water, percent by volume.
 *
 * - Lange's Handbook of Chemistry, 15th ed., Table 5.13 (found): the table the model interpolates.
 * - ASHRAE Handbook, Fundamentals 2001, freezing points by volume, as carried by the open-source CoolProp (found).
 * - A maker's freeze protection by volume, from a cooling manual (found): 18 % to 20 °F, 29 to 10, 36 to 0, 42 to
 *   −10, 46 to −20, 50 to −30.
 * - Burst: 28 %, undiluted ready-to-use fluid, −23 °C (practice); 30 % slush down to −20 °F, a maker's answers (found);
 *   30 % about −10 °F and 20 % about +5 °F, a trade guide (found). With 35 % there is no expansion as it freezes, hard and
 *   not to be pumped below 1 °F, a fluid maker's article on freezing points (found, g2solutionsco.com/technical-articles/
 *   freeze-point); 35 % to −60 °F, makers' guides (memory).
 */
import { describe, expect, it } from 'vitest';
import {
  READY_TO_USE_PERCENT,
  burstPointC,
  freezingPointC,
  mixedPercent,
} from '../../src/model/antifreeze.ts';

const celsius = (fahrenheit: number): number => (fahrenheit - 32) / 1.8;

it.each([
  [10, -2.2],
  [20, -6.7],
  [25, -8.9],
  [30, -12.8],
  [40, -20.6],
  [50, -33.3],
])('freezes with %d %% at %d °C', (percent, freezingC) => {
  expect(freezingPointC('glycol', percent)).toBeCloseTo(freezingC, 9);
});

describe('ASHRAE’s freezing points', () => {
  it.each([
    [4.8, -1.6],
    [9.6, -3.3],
    [14.5, -5.1],
    [19.4, -7.1],
    [23.4, -9.1],
    [27.4, -11.4],
    [31.4, -14.1],
    [35.5, -17.3],
    [39.6, -21.1],
    [43.7, -25.5],
    [47.8, -30.6],
    [49.9, -33.5],
  ])('with %d %%, %d °C, lie at most 1.6 K colder and never warmer', (percent, freezingC) => {
    // Lange's is the older, warmer table: the cautious one. Both are printed to 0.1 K.
    expect(freezingPointC('glycol', percent)).toBeGreaterThan(freezingC - 0.1);
    expect(freezingPointC('glycol', percent) - freezingC).toBeLessThan(1.6);
  });
});

it.each([
  [18, 20],
  [29, 10],
  [36, 0],
  [42, -10],
  [46, -20],
  [50, -30],
])('protects with %d %% from ice down to a maker’s %d °F within 1.2 K, on the warm side', (percent, f) => {
  expect(freezingPointC('glycol', percent)).toBeGreaterThan(celsius(f) - 0.1);
  expect(freezingPointC('glycol', percent) - celsius(f)).toBeLessThan(1.2);
});

describe('bursting', () => {
  it.each([
    ['the label of ready-to-use fluid', READY_TO_USE_PERCENT, -23, 0.5],
    ['a maker’s answers', 30, celsius(-20), 0.5],
    // "About", and 4 K warmer than the makers at 20 %.
    ['a trade guide', 20, celsius(5), 3],
  ])('agrees with %s: %d %%, %d °C', (_source, percent, burstC, tolerance) => {
    expect(Math.abs(burstPointC(percent) - burstC)).toBeLessThan(tolerance);
  });

  it('is no matter of −40 °C for fluid that no longer expands, down to where the makers’ guides end', () => {
    for (const percent of [36, 40, 50, 60]) expect(burstPointC(percent)).toBeCloseTo(celsius(-60), 1);
    // Of 35 % the colder end is not taken on a reading's error.
    expect(burstPointC(35)).toBeCloseTo(-40, 9);
  });

  it('comes below the freezing point at every strength in use', () => {
    for (let percent = 1; percent <= 60; percent++) {
      expect(burstPointC(percent)).toBeLessThan(freezingPointC('glycol', percent));
    }
  });
});

it('freezes near −4 °C when fluid of 30 % is diluted one to one', () => {
  const percent = mixedPercent({ fluidPercent: 30, addedLitres: 1, leftLitres: 1 });
  expect(Math.abs(freezingPointC('glycol', percent) + 4)).toBeLessThan(0.2);
});
