/**
 * Propylene glycol in water, per cent by volume to freezing point: Lange's Handbook of Chemistry, 15th ed., Table
 * 5.13 (found). The trade's ready-to-use fluid, about 28 % glycol, bursts at −23 °C (practice); diluted one to one
 * it freezes near −4 °C (derived).
 */
import { expect, it } from 'vitest';
import { READY_TO_USE_PERCENT, burstPointC, glycolFreezingPointC } from '../../src/model/damage.ts';

const TABLE = [
  [10, -2.2],
  [20, -6.7],
  [25, -8.9],
  [30, -12.8],
  [40, -20.6],
  [50, -33.3],
] as const;

it('freezes where the table says', () => {
  for (const [percent, celsius] of TABLE) expect(glycolFreezingPointC(percent)).toBeCloseTo(celsius, 12);
  expect(glycolFreezingPointC(0)).toBe(0);
});

it('freezes lower the more there is, and no lower than the table’s end', () => {
  for (let percent = 0; percent < 50; percent++) {
    expect(glycolFreezingPointC(percent + 1)).toBeLessThan(glycolFreezingPointC(percent));
  }
  expect(glycolFreezingPointC(60)).toBe(-33.3);
});

it('freezes near −4 °C when ready-to-use fluid is diluted one to one', () => {
  expect(Math.abs(glycolFreezingPointC(READY_TO_USE_PERCENT / 2) + 4)).toBeLessThan(0.3);
});

it('bursts below its freezing point, ready to use at −23 °C', () => {
  expect(burstPointC(READY_TO_USE_PERCENT)).toBeCloseTo(-23, 12);
  for (const [percent] of TABLE) expect(burstPointC(percent)).toBeLessThan(glycolFreezingPointC(percent));
});
