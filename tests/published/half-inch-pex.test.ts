/**
 * Half-inch PEX, bore 12.065 mm, outside 15.875 mm, wall 0.41 W/(m·K), heat of the wall neglected (derived from
 * these): h 10: R 2.112 m·K/W, 10 → 0 °C at −5 °C in 0.311 h, solid in 4.47 h more, 22.4 K·h; h 20: 1.109, 0.163 h,
 * 2.35 h, 11.7 K·h.
 */
import { describe, expect, it } from 'vitest';
import { cylinderResistance } from '../../src/model/conduction.ts';
import { lineOf } from '../../src/model/tube.ts';
import { freeze } from './body.ts';
import { relativeError } from './relative.ts';

const ROWS = [
  [10, 2.112, 0.311, 4.47, 22.4],
  [20, 1.109, 0.163, 2.35, 11.7],
] as const;

describe('half-inch PEX at −5 °C, from 10 °C', () => {
  it.each(ROWS)('with h %d has a resistance of %d m·K/W', (h, resistance) => {
    const wall = cylinderResistance(0.012065, 0.015875, 0.41);
    expect(relativeError(1 / (h * Math.PI * 0.015875) + wall, resistance)).toBeLessThan(0.001);
  });

  it.each(ROWS)(
    'with h %d, %d m·K/W, is at 0 °C after %d h and solid %d h later',
    (h, _resistance, ...row) => {
      const [zeroH, solidH, kelvinHours] = row;
      const { waterKg } = lineOf({ tube: 'pex-1/2', lengthM: 1 });
      const resistance = 1 / (h * Math.PI * 0.015875) + cylinderResistance(0.012065, 0.015875, 0.41);
      const { zeroS, solidS } = freeze({ waterKg, conductanceWPerK: 1 / resistance }, 10, -5);
      // Rounded to three digits; their density and heat capacity are those at 10 °C, within 0.2 %.
      expect(relativeError(zeroS / 3600, zeroH)).toBeLessThan(0.008);
      expect(relativeError((solidS - zeroS) / 3600, solidH)).toBeLessThan(0.005);
      expect(relativeError((5 * (solidS - zeroS)) / 3600, kelvinHours)).toBeLessThan(0.005);
    },
  );
});
