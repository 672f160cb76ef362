/**
 * Properties of liquid water at 1 atm by IAPWS-IF97, kg/m³ and kJ/(kg·K), computed with the npm package
 * `neutriumjs.thermo.iapws97` 1.2.2 (found).
 */
import { expect, it } from 'vitest';
import { WATER_DENSITY_KG_PER_M3, WATER_HEAT_CAPACITY_J_PER_KG_K } from '../../src/model/water.ts';
import { relativeError } from './relative.ts';

const IF97 = [
  [0, 999.844, 4.2194],
  [5, 999.967, 4.2049],
  [10, 999.702, 4.1954],
  [15, 999.101, 4.1891],
  [20, 998.206, 4.1848],
  [25, 997.048, 4.1819],
  [30, 995.652, 4.18],
] as const;

it.each(IF97)('takes the round density for water of %d °C within 0.5 %%, %d kg/m³', (_celsius, density) => {
  expect(relativeError(WATER_DENSITY_KG_PER_M3, density)).toBeLessThan(0.005);
});

it.each(IF97)(
  'takes the round heat capacity for water of %d °C within 0.5 %%',
  (_celsius, _density, heat) => {
    expect(relativeError(WATER_HEAT_CAPACITY_J_PER_KG_K, heat * 1000)).toBeLessThan(0.005);
  },
);
