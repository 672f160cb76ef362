/**
 * Time to cool water in an insulated pipe to 0 °C: ASHRAE Handbook, Fundamentals (2021 SI), chapter 23, equations
 * (1) and (2) and Table 6 (found): ρ 1000, c 4200, from 5.5 °C in air of −28 °C, insulation 0.0432 W/(m·K), pipe
 * wall and films neglected. Bores and outside diameters of schedule 40 (memory).
 */
import { expect, it } from 'vitest';
import { cylinderResistance } from '../../src/model/conduction.ts';
import { freeze } from './body.ts';

const INCH_M = 0.0254;
const INSULATION_MM = [13, 25, 38, 50, 75, 100];

/** Hours by insulation; null: not tabled. */
const TABLE: readonly (readonly [
  size: string,
  bore: number,
  outside: number,
  ...hours: (number | null)[],
])[] = [
  ['1/2 in', 0.622, 0.84, 0.1, 0.2, 0.2, 0.3, null, null],
  ['1 in', 1.049, 1.315, 0.3, 0.4, 0.5, 0.6, 0.8, null],
  ['2 in', 2.067, 2.375, 0.6, 1.1, 1.4, 1.7, 2.2, 2.5],
  ['4 in', 4.026, 4.5, 1.3, 2.4, 3.3, 4.1, 5.5, 6.6],
  ['8 in', 7.981, 8.625, null, 5.3, 7.6, 9.6, 13.7, 16.9],
];

const ROWS = TABLE.flatMap(([size, boreIn, outsideIn, ...hours]) =>
  hours.flatMap((tabled, i) => {
    const mm = INSULATION_MM[i];
    return tabled === null || mm === undefined ? [] : [{ size, boreIn, outsideIn, mm, tabled }];
  }),
);

it('has all 26 values of the table', () => {
  expect(ROWS).toHaveLength(26);
});

it.each(ROWS)('cools a $size pipe under $mm mm to 0 °C in $tabled h', (row) => {
  const outsideM = row.outsideIn * INCH_M;
  const resistance = cylinderResistance(outsideM, outsideM + (2 * row.mm) / 1000, 0.0432);
  const waterKg = (1000 * Math.PI * (row.boreIn * INCH_M) ** 2) / 4;
  const hours = freeze({ waterKg, conductanceWPerK: 1 / resistance }, 5.5, -28).zeroS / 3600;
  // The table is rounded to 0.1 h and used the insulations' actual dimensions.
  expect(Math.abs(hours - row.tabled)).toBeLessThan(Math.max(0.16, 0.09 * row.tabled));
});
