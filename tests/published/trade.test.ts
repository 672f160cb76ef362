/**
 * Numbers of the trade (practice) against the same from dimensions. The trade's conductances hold brackets and pipes
 * that carry heat away; bare geometry lies below them, within a factor 2.
 */
import { expect, it } from 'vitest';
import { bodyOf, tankOf, type Vessel } from '../../src/model/body.ts';
import { relativeError } from './relative.ts';

const BODIES: readonly (readonly [name: string, body: Vessel, waterKg: number, conductanceWPerK: number])[] =
  [
    ['trap, 1½-in ABS', bodyOf({ diameterM: 0.0483, lengthM: 0.27, wallM: 0.0034, wall: 'abs' }), 0.35, 0.5],
    ['fresh tank of 32 gal', tankOf({ lengthM: 1.4, widthM: 0.75, heightM: 0.13 }), 120, 20],
  ];

it.each(BODIES)(
  'a %s holds what the trade says, and gives it off within a factor 2',
  (_name, body, ...row) => {
    const [waterKg, conductance] = row;
    // The trade rounds to what a hand remembers, and outside measures of tanks and traps differ by as much.
    expect(relativeError(body.waterKg, waterKg)).toBeLessThan(0.3);
    expect(Math.abs(Math.log2(body.conductanceWPerK / conductance))).toBeLessThan(1);
  },
);

/** Of the trade's range for a heater tank of 6 gal, 1 to 2.2 W/K, foam alone gives the low end. */
it('a heater tank of 6 gal in 15 mm of foam loses 1 to 2.2 W/K', () => {
  const tank = bodyOf({ diameterM: 0.3, lengthM: 0.34, wallM: 0.002, wall: 'copper', insulationM: 0.015 });
  // 6 gal by name; dip tube, element and the dished ends take their part.
  expect(relativeError(tank.waterKg, 22.7)).toBeLessThan(0.08);
  expect(tank.conductanceWPerK).toBeGreaterThan(1);
  expect(tank.conductanceWPerK).toBeLessThan(2.2);
});
