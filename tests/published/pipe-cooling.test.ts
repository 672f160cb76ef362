/**
 * Time to cool water in an insulated pipe to 0 °C: ASHRAE Handbook, Fundamentals (2021 SI), chapter 23, equations
 * (1) and (2) and Table 6 (found): ρ 1000, c 4200, from 5.5 °C in air of −28 °C, insulation 0.0432 W/(m·K), pipe
 * wall and films neglected. Bores and outside diameters of schedule 40 (memory).
 */
import { expect, it } from 'vitest';
import { freeze } from './body.ts';

const INCH = 0.0254;

const PIPES: readonly (readonly [size: string, boreIn: number, outsideIn: number])[] = [
  ['1/2 in', 0.622, 0.84],
  ['1 in', 1.049, 1.315],
  ['2 in', 2.067, 2.375],
  ['4 in', 4.026, 4.5],
  ['8 in', 7.981, 8.625],
];
const INSULATION_MM = [13, 25, 38, 50, 75, 100];
/** Hours by pipe and insulation; NaN: not tabled. */
const TABLE: readonly (readonly number[])[] = [
  [0.1, 0.2, 0.2, 0.3, NaN, NaN],
  [0.3, 0.4, 0.5, 0.6, 0.8, NaN],
  [0.6, 1.1, 1.4, 1.7, 2.2, 2.5],
  [1.3, 2.4, 3.3, 4.1, 5.5, 6.6],
  [NaN, 5.3, 7.6, 9.6, 13.7, 16.9],
];

/** Per metre of pipe. */
function hoursToZero(boreM: number, outsideM: number, insulationM: number): number {
  const resistance = Math.log((outsideM + 2 * insulationM) / outsideM) / (2 * Math.PI * 0.0432);
  const waterKg = (1000 * Math.PI * boreM ** 2) / 4;
  return freeze({ waterKg, conductanceWPerK: 1 / resistance }, 5.5, -28).zeroS / 3600;
}

PIPES.forEach(([size, bore, outside], row) => {
  it(`water in a ${size} pipe cools to 0 °C in the table's hours`, () => {
    INSULATION_MM.forEach((mm, column) => {
      const tabled = TABLE[row]?.[column] ?? Number.NaN;
      if (Number.isNaN(tabled)) return;
      const hours = hoursToZero(bore * INCH, outside * INCH, mm / 1000);
      // The table is rounded to 0.1 h and used the insulations' actual dimensions.
      expect(Math.abs(hours - tabled), `${mm} mm`).toBeLessThan(Math.max(0.16, 0.09 * tabled));
    });
  });
});
