/**
 * Ethanol in water, percent by volume.
 *
 * - Melinder, Properties of Secondary Working Fluids, percent by mass, as carried by the open-source CoolProp (found),
 *   with mass to volume at 15.6 °C from a table of ethanol in water (found).
 * - CRC Handbook, concentrative properties of aqueous solutions, by mass: 10 % −4.47, 20 % −10.92, 30 % −20.47, 40 %
 *   −29.26 °C (memory).
 * - Engineering table, by volume, rounded to 5 °F: 10 % −4, 20 −9, 30 −15, 40 −23, 50 −32 °C (found).
 *
 * The model interpolates Lange's Handbook, Table 5.13, the warmest of them.
 */
import { expect, it } from 'vitest';
import { burstPointC, freezingPointC } from '../../src/model/antifreeze.ts';

/** Mass to volume percent. */
const VOLUME = [
  [5, 6.2],
  [10, 12.4],
  [15, 18.5],
  [20, 24.5],
  [25, 30.3],
  [30, 36.2],
  [35, 41.8],
  [40, 47.3],
  [45, 52.7],
  [50, 57.8],
] as const;

function byVolume(mass: number): number {
  const upper = VOLUME.findIndex(([m]) => m >= mass);
  const [m1, v1] = VOLUME[upper]!;
  const [m0, v0] = VOLUME[upper - 1]!;
  return v0 + ((v1 - v0) * (mass - m0)) / (m1 - m0);
}

it.each([
  ['Melinder', 11, -5],
  ['Melinder', 16, -7.66],
  ['Melinder', 21, -11.84],
  ['Melinder', 26, -16.58],
  ['Melinder', 31, -21.34],
  ['Melinder', 36, -25.88],
  ['Melinder', 41, -30.18],
  ['Melinder', 46, -34.32],
  ['CRC', 10, -4.47],
  ['CRC', 20, -10.92],
  ['CRC', 30, -20.47],
  ['CRC', 40, -29.26],
])('freezes at %s’s point for %d %% by mass, %d °C, or up to 1.5 K warmer', (_source, mass, celsius) => {
  const found = freezingPointC('ethanol', byVolume(mass));
  // The tables disagree by that much among themselves; 0.2 K for the conversion.
  expect(found).toBeGreaterThan(celsius - 0.2);
  expect(found - celsius).toBeLessThan(1.5);
});

it.each([
  [10, -4],
  [20, -9],
  [30, -15],
  [40, -23],
  [50, -32],
])('freezes with %d %% by volume within a rounding to 5 °F of %d °C', (percent, celsius) => {
  expect(Math.abs(freezingPointC('ethanol', percent) - celsius)).toBeLessThan(5 / 1.8 / 2 + 0.3);
});

it('is given no credit for slush: it bursts where it freezes', () => {
  expect(burstPointC(30, 'ethanol')).toBe(freezingPointC('ethanol', 30));
});
