/**
 * Heat transfer at surfaces.
 *
 * - Churchill and Bernstein, cylinder in cross flow: Incropera and DeWitt, example 7.4 (memory, agrees).
 * - Churchill and Chu, horizontal cylinder (found in form); Morgan 1975, 0.48·Ra^¼ for 10⁴ < Ra < 10⁷ (memory).
 * - ISO 6946 outside resistance by wind, h_c = 4 + 4v, ε 0.9 at 0 °C (memory, agrees).
 */
import { describe, expect, it } from 'vitest';
import {
  crossFlowNusselt,
  naturalNusselt,
  radiationCoefficient,
  windClass,
  windFactor,
  windOfClass,
} from '../../src/model/film.ts';

describe('a cylinder in cross flow', () => {
  it('example 7.4: 12.7 mm, 10 m/s, Re 6071, Pr 0.70 gives Nu 40.6 and h 96.0', () => {
    const nusselt = crossFlowNusselt(6071, 0.7);
    expect(Math.abs(nusselt - 40.6)).toBeLessThan(0.05);
    expect(Math.abs((nusselt * 0.03) / 0.0127 - 96)).toBeLessThan(0.1);
  });
});

describe('a horizontal cylinder in still air', () => {
  it('follows Churchill and Chu', () => {
    for (const [ra, pr] of [
      [1e2, 0.71],
      [1e4, 0.71],
      [1e6, 0.69],
    ] as const) {
      const inner = (1 + (0.559 / pr) ** (9 / 16)) ** (8 / 27);
      expect(naturalNusselt(ra, pr)).toBeCloseTo((0.6 + (0.387 * ra ** (1 / 6)) / inner) ** 2, 10);
    }
  });

  it('is within 15 % of Morgan’s power law in the middle of its range', () => {
    for (const ra of [2e4, 1e5, 1e6]) {
      expect(Math.abs(naturalNusselt(ra, 0.71) / (0.48 * ra ** 0.25) - 1)).toBeLessThan(0.15);
    }
  });
});

describe('radiation', () => {
  it('gives the outside resistances of ISO 6946 with its wind term', () => {
    for (const [wind, resistance] of [
      [1, 0.08],
      [2, 0.06],
      [3, 0.05],
      [4, 0.04],
      [5, 0.04],
      [7, 0.03],
      [10, 0.02],
    ] as const) {
      const found = 1 / (4 + 4 * wind + radiationCoefficient(0.9));
      expect(Math.round(found * 100) / 100).toBe(resistance);
    }
  });
});

describe('wind on a small body', () => {
  it('is no matter in calm air, never falls and rises without a jump', () => {
    expect(windFactor(0)).toBeCloseTo(1, 12);
    for (let wind = 0; wind < 30; wind += 0.1) {
      expect(windFactor(wind + 0.1)).toBeGreaterThanOrEqual(windFactor(wind));
      expect(windFactor(wind + 0.1) / windFactor(wind)).toBeLessThan(1.25);
    }
  });

  it('is taken in classes within 2.5 % of 1 + w', () => {
    for (let wind = 0; wind < 40; wind += 0.07) {
      const taken = windOfClass(windClass(wind));
      expect(Math.abs((1 + taken) / (1 + wind) - 1)).toBeLessThan(0.025);
    }
    expect(windOfClass(windClass(0))).toBe(0);
  });
});
