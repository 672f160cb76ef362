/**
 * Flat surfaces and their radiation.
 *
 * - ISO 6946: outside resistance by wind with h_c = 4 + 4v, ε 0.9 at 0 °C; black-body coefficients h_r0 of −10 to
 *   30 °C; inside resistance up, level and down with h_c 5.0, 2.5 and 0.7, ε 0.9 at 20 °C (memory, agree).
 * - ASHRAE Handbook, Fundamentals, surface conductances at ε 0.9: still air, vertical 8.29; winter, 6.7 m/s, 34.0;
 *   summer, 3.4 m/s, 22.7 W/(m²·K) (memory).
 * - Swinbank 1963, clear sky 0.0552·T^1.5: 273.15 K gives 249.2 K (found). Duffie and Beckman, Solar Engineering of
 *   Thermal Processes, section 3.9: below air by 5 °C in hot, moist climate to 30 °C in cold, dry (memory).
 */
import { describe, expect, it } from 'vitest';
import { clearSkyTemperatureC, flatFilm, radiationCoefficient } from '../../src/model/film.ts';
import { relativeError } from './relative.ts';

describe('ISO 6946', () => {
  it.each([
    [1, 0.08],
    [2, 0.06],
    [3, 0.05],
    [4, 0.04],
    [5, 0.04],
    [7, 0.03],
    [10, 0.02],
  ])('outside at %d m/s: %d m²·K/W', (wind, resistance) => {
    expect(Math.round(100 / flatFilm(wind)) / 100).toBe(resistance);
  });

  it.each([
    [-10, 4.1],
    [0, 4.6],
    [10, 5.1],
    [20, 5.7],
    [30, 6.3],
  ])('a black body at %d °C: %d W/(m²·K)', (celsius, coefficient) => {
    expect(Math.abs(radiationCoefficient(1, celsius) - coefficient)).toBeLessThan(0.05);
  });

  it.each([
    ['up', 5, 0.1],
    ['level', 2.5, 0.13],
    ['down', 0.7, 0.17],
  ])('inside, heat going %s: h_c %d, %d m²·K/W', (_direction, convection, resistance) => {
    const found = 1 / (convection + radiationCoefficient(0.9, 20));
    expect(Math.round(found * 100) / 100).toBe(resistance);
  });
});

it.each([
  ['still air, vertical', 0, 8.29],
  ['winter, 6.7 m/s', 6.7, 34],
  ['summer, 3.4 m/s', 3.4, 22.7],
])('lies within 5 %% of ASHRAE’s surface conductance, %s', (_what, wind, conductance) => {
  // Round design values for another surface roughness.
  expect(relativeError(flatFilm(wind), conductance)).toBeLessThan(0.05);
});

describe('a clear sky', () => {
  it('is at 249.2 K over air of 273.15 K', () => {
    expect(Math.abs(clearSkyTemperatureC(0) + 273.15 - 249.2)).toBeLessThan(0.05);
  });

  it.each([
    ['hot and moist', 30],
    ['mild', 10],
    ['cold and dry', -15],
  ])('stands 5 to 30 K below air that is %s, %d °C', (_climate, airC) => {
    expect(airC - clearSkyTemperatureC(airC)).toBeGreaterThan(5);
    expect(airC - clearSkyTemperatureC(airC)).toBeLessThan(30);
  });
});
