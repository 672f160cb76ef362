/**
 * Cylinder in cross flow.
 *
 * - Churchill and Bernstein 1977: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, example 7.4 (memory,
 *   agrees); Çengel, Heat Transfer, solutions 7-53 and 7-100, and Çengel and Turner 19-35 (found).
 * - Other correlations at Re 6071, Pr 0.7, and Žukauskas from Re 1 to 1e6 at Pr 0.707: values of the tests of the
 *   open-source Python package `ht` (found).
 */
import { describe, expect, it } from 'vitest';
import { crossFlowNusselt } from '../../src/model/film.ts';
import { relativeError } from './relative.ts';

it.each([
  ['Incropera and DeWitt, example 7.4', 6071, 0.7, 40.6],
  ['Çengel, 7-53', 1.632e4, 0.7255, 71.19],
  ['Çengel, 7-100', 3.254e4, 0.7336, 107],
  ['Çengel and Turner, 19-35', 6.228e4, 0.7232, 159.1],
  ['the package ht', 6071, 0.7, 40.637],
])('has the Nusselt number of %s', (_source, reynolds, prandtl, nusselt) => {
  // Printed to three or four digits.
  expect(relativeError(crossFlowNusselt(reynolds, prandtl), nusselt)).toBeLessThan(0.0012);
});

it.each([
  ['example 7.4, k 0.030, 12.7 mm', 6071, 0.7, 0.03 / 0.0127, 96],
  ['7-53, k 0.02662, 0.1 m', 1.632e4, 0.7255, 0.02662 / 0.1, 18.95],
])('has the film coefficient of %s', (_source, reynolds, prandtl, perNusselt, h) => {
  expect(relativeError(crossFlowNusselt(reynolds, prandtl) * perNusselt, h)).toBeLessThan(0.001);
});

it('lies within 10 % of the coefficient measured in example 7.4, 102 W/(m²·K)', () => {
  // Of 46 W, 15 % are lost by conduction and radiation, an estimate: the experiment is no better than 10 %.
  expect(relativeError((crossFlowNusselt(6071, 0.7) * 0.03) / 0.0127, 102)).toBeLessThan(0.1);
});

describe('next to other correlations', () => {
  // oxlint-disable-next-line approx-constant -- a Prandtl number, no root.
  const AIR_PRANDTL = 0.707;

  it.each([
    ['Sanitjai and Goldstein', 40.38],
    ['Fand', 45.2],
    ['Whitaker', 45.95],
    ['McAdams', 46.98],
  ])('is within 15 %% of %s at Re 6071, Pr 0.7', (_author, nusselt) => {
    // Correlations of one another's data differ by as much (Incropera and DeWitt, section 7.4.2: 20 %).
    expect(relativeError(crossFlowNusselt(6071, 0.7), nusselt)).toBeLessThan(0.15);
  });

  it.each([
    [0, 0.6637],
    [6 / 7, 1.4617],
    [12 / 7, 3.2482],
    [18 / 7, 8.7139],
    [24 / 7, 26.2448],
    [30 / 7, 85.7689],
    [36 / 7, 280.295],
    [6, 1065.96],
  ])('is within 20 %% of Žukauskas at Re 10^%f', (exponent, nusselt) => {
    expect(relativeError(crossFlowNusselt(10 ** exponent, AIR_PRANDTL), nusselt)).toBeLessThan(0.2);
  });
});
