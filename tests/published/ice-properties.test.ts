/**
 * Properties of ice and of its melting.
 *
 * - CRC Handbook of Chemistry and Physics (found): 333.6 J/g, ice 0.9167 g/cm³, 2.11 J/(g·K) at 0 °C and 2.03 at
 *   −10 °C, 2.14 W/(m·K) at 0 °C and 2.3 at −10 °C.
 * - A handbook's appendix at 273.15 K and 100 kPa (found): 6012 J/mol, ice 2101 J/(kg·K), 2.24 W/(m·K).
 * - A table of ice by temperature (found): 0 °C 2.22 W/(m·K), 2.050 kJ/(kg·K), 916.2 kg/m³; −5 °C 2.25,
 *   2.027, 917.5; −10 °C 2.30, 2.000, 918.9.
 *
 * One number stands for 0 to −10 °C, where ice in a part stays: each source's spread is the tolerance.
 */
import { expect, it } from 'vitest';
import {
  ICE_CONDUCTIVITY_W_PER_M_K,
  ICE_DENSITY_KG_PER_M3,
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
} from '../../src/model/water.ts';
import { relativeError } from './relative.ts';

it.each([
  ['CRC', 333_600],
  ['an appendix, per mole of 18.015 g', (6012 / 18.015) * 1000],
])('melts with the latent heat of %s within 0.1 %%', (_source, joulesPerKg) => {
  expect(relativeError(LATENT_HEAT_J_PER_KG, joulesPerKg)).toBeLessThan(0.001);
});

it.each([
  ['CRC, 0 °C', 2.14],
  ['CRC, −10 °C', 2.3],
  ['the appendix, 0 °C', 2.24],
  ['the table, 0 °C', 2.22],
  ['the table, −5 °C', 2.25],
  ['the table, −10 °C', 2.3],
])('conducts as ice of %s within 4 %%', (_source, conductivity) => {
  expect(relativeError(ICE_CONDUCTIVITY_W_PER_M_K, conductivity)).toBeLessThan(0.04);
});

it.each([
  ['CRC, −10 °C', 2030],
  ['the appendix, 0 °C', 2101],
  ['the table, 0 °C', 2050],
  ['the table, −10 °C', 2000],
])('holds heat as ice of %s within 6 %%', (_source, capacity) => {
  expect(relativeError(ICE_HEAT_CAPACITY_J_PER_KG_K, capacity)).toBeLessThan(0.06);
});

it.each([
  ['the table, 0 °C', 916.2],
  ['the table, −10 °C', 918.9],
])('is as dense as ice of %s within 0.3 %%', (_source, density) => {
  expect(relativeError(ICE_DENSITY_KG_PER_M3, density)).toBeLessThan(0.003);
});
