/**
 * Natural convection in air.
 *
 * - Churchill and Chu, horizontal cylinder and vertical plate: Incropera and DeWitt, examples 9.4 (0.1 m, 165 °C in
 *   23 °C: Ra 5.073e6, Nu 23.3, h 7.29) and 9.2 (0.71 m, 232 °C in 23 °C: Ra 1.813e9, Nu 147, h 7.0) (memory, agree);
 *   Çengel, Heat Transfer, example 9-1 (8 cm, 70 °C in 20 °C: Ra 1.869e6, Nu 17.40, h 5.869) (memory, agrees; its
 *   inputs found).
 * - The same at Pr 0.69, Gr 2.63e9, and Morgan's and Kuehn and Goldstein's horizontal cylinder: values of the tests of
 *   the open-source Python package `ht` (found).
 * - Morgan 1975, 0.48·Ra^¼ for 1e4 < Ra < 1e7 (memory).
 */
import { describe, expect, it } from 'vitest';
import { airRayleigh, naturalNusselt, plateNusselt } from '../../src/model/film.ts';
import { relativeError } from './relative.ts';

describe('a horizontal cylinder', () => {
  it.each([
    // Read with rounded powers in the book: 0.9 % apart.
    ['Incropera and DeWitt, example 9.4', 5.073e6, 0.697, 23.3, 0.01],
    ['Çengel, example 9-1', 1.869e6, 0.7241, 17.4, 0.001],
    ['the package ht', 0.69 * 2.63e9, 0.69, 139.135, 1e-5],
  ])('has the Nusselt number of %s', (_source, rayleigh, prandtl, nusselt, tolerance) => {
    expect(relativeError(naturalNusselt(rayleigh, prandtl), nusselt)).toBeLessThan(tolerance);
  });

  it.each([
    ['example 9.4, k 0.0313, 0.1 m', 5.073e6, 0.697, 0.0313 / 0.1, 7.29],
    ['example 9-1, k 0.02699, 8 cm', 1.869e6, 0.7241, 0.02699 / 0.08, 5.869],
  ])('has the film coefficient of %s within 1 %%', (_source, rayleigh, prandtl, perNusselt, h) => {
    expect(relativeError(naturalNusselt(rayleigh, prandtl) * perNusselt, h)).toBeLessThan(0.01);
  });

  it.each([
    ['Morgan, Gr 0.01', 0.9e-2, 0.9, 0.5136],
    ['Morgan, Gr 100', 90, 0.9, 1.9853],
    ['Morgan, Gr 1e4', 9e3, 0.9, 4.7078],
    ['Morgan, Gr 1e7', 9e6, 0.9, 26.2907],
    ['Morgan, Gr 1e10', 9e9, 0.9, 258.03],
    ['Kuehn and Goldstein, Gr 2.63e9', 0.69 * 2.63e9, 0.69, 122.99],
  ])('is within 18 %% of %s', (_source, rayleigh, prandtl, nusselt) => {
    // Morgan himself gives 5 to 15 % for his ranges, which do not join smoothly.
    expect(relativeError(naturalNusselt(rayleigh, prandtl), nusselt)).toBeLessThan(0.18);
  });

  it.each([2e4, 1e5, 1e6])('is within 15 %% of Morgan’s power law at Ra %d', (rayleigh) => {
    expect(relativeError(naturalNusselt(rayleigh, 0.71), 0.48 * rayleigh ** 0.25)).toBeLessThan(0.15);
  });
});

describe('a vertical plate', () => {
  it.each([
    // The book rounds to a whole number.
    ['Incropera and DeWitt, example 9.2', 1.813e9, 0.69, 147, 0.005],
    ['the package ht', 0.69 * 2.63e9, 0.69, 147.162, 1e-5],
  ])('has the Nusselt number of %s', (_source, rayleigh, prandtl, nusselt, tolerance) => {
    expect(relativeError(plateNusselt(rayleigh, prandtl), nusselt)).toBeLessThan(tolerance);
  });

  it('has the film coefficient of example 9.2, k 0.0338, 0.71 m: 7.0', () => {
    expect(relativeError((plateNusselt(1.813e9, 0.69) * 0.0338) / 0.71, 7)).toBeLessThan(0.005);
  });

  it('gives a tank’s wall of 0.3 m within 30 % of the 2.5 W/(m²·K) that ISO 6946 takes inside', () => {
    // The standard takes one number for every height and difference.
    const h = (plateNusselt(airRayleigh(0.3), 0.71) * 0.0241) / 0.3;
    expect(relativeError(h, 2.5)).toBeLessThan(0.3);
  });
});
