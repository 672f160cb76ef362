/**
 * Resistances of insulated pipes, each in its source's own units.
 *
 * - Çengel, Heat Transfer, example 3-8: cast iron 5.0/5.5 cm, k 80, 3 cm of glass wool, k 0.05, h 60 inside and 18
 *   outside, 1 m, 315 K: 0.106, 0.0002, 2.35, 0.154, together 2.61 K/W, 121 W (memory, agrees).
 * - Çengel and Turner, solution 3-75E: steel 3.5/4 in, k 8.7, 2 in of fibreglass, k 0.020, h 30 and 5, 1 ft: 0.036,
 *   0.002, 5.516, 0.096, together 5.65 h·°F/Btu (found).
 * - Worked exercise on a steam pipe, homework site, no. 207239817: steel 5/6 cm, k 43, 1.2 cm, k 0.11, h 500 and 17, 6 m: 0.1204 K/W (found).
 * - Incropera and DeWitt, example 3.5: copper tube of radius 5 mm, cellular glass k 0.055, h 5: most heat at radius
 *   k/h = 11 mm; 6.37 m·K/W bare, 5.17 there (memory, agrees).
 */
import { describe, expect, it } from 'vitest';
import { cylinderResistance, seriesConductance } from '../../src/model/conduction.ts';
import { relativeError } from './relative.ts';

interface Pipe {
  readonly source: string;
  /** Diameters of bore, pipe and insulation; one length unit. */
  readonly bore: number;
  readonly pipe: number;
  readonly outside: number;
  readonly kPipe: number;
  readonly kInsulation: number;
  readonly hInside: number;
  readonly hOutside: number;
  readonly length: number;
  readonly total: number;
}

const PIPES: readonly Pipe[] = [
  {
    source: 'Çengel 3-8',
    bore: 0.05,
    pipe: 0.055,
    outside: 0.115,
    kPipe: 80,
    kInsulation: 0.05,
    hInside: 60,
    hOutside: 18,
    length: 1,
    total: 2.61,
  },
  {
    source: 'Çengel and Turner 3-75E',
    bore: 3.5 / 12,
    pipe: 4 / 12,
    outside: 8 / 12,
    kPipe: 8.7,
    kInsulation: 0.02,
    hInside: 30,
    hOutside: 5,
    length: 1,
    total: 5.65,
  },
  {
    source: 'exercise 207239817',
    bore: 0.05,
    pipe: 0.06,
    outside: 0.084,
    kPipe: 43,
    kInsulation: 0.11,
    hInside: 500,
    hOutside: 17,
    length: 6,
    total: 0.1204,
  },
];

function resistances(p: Pipe): number[] {
  return [
    1 / (p.hInside * Math.PI * p.bore * p.length),
    cylinderResistance(p.bore, p.pipe, p.kPipe) / p.length,
    cylinderResistance(p.pipe, p.outside, p.kInsulation) / p.length,
    1 / (p.hOutside * Math.PI * p.outside * p.length),
  ];
}

it.each(PIPES)('adds up to the resistance of $source, $total', (pipe) => {
  // Three digits.
  expect(relativeError(1 / seriesConductance(resistances(pipe)), pipe.total)).toBeLessThan(0.002);
});

it.each([
  ['Çengel 3-8, pipe', 0.05, 0.055, 80, 0.0002, 0.06],
  ['Çengel 3-8, glass wool', 0.055, 0.115, 0.05, 2.35, 0.002],
  ['3-75E, pipe', 3.5, 4, 8.7, 0.00244, 0.002],
  ['3-75E, fibreglass', 4, 8, 0.02, 5.516, 0.0005],
])('has the wall resistance of %s', (_source, inside, outside, k, published, tolerance) => {
  expect(relativeError(cylinderResistance(inside, outside, k), published)).toBeLessThan(tolerance);
});

it('loses 121 W in example 3-8', () => {
  expect(relativeError(315 * seriesConductance(resistances(PIPES[0]!)), 121)).toBeLessThan(0.003);
});

describe('a thin tube under a thin sleeve', () => {
  const total = (radiusM: number): number =>
    cylinderResistance(0.01, 2 * radiusM, 0.055) + 1 / (5 * Math.PI * 2 * radiusM);

  it.each([
    [5, 6.37],
    [11, 5.17],
  ])('has at a radius of %d mm a resistance of %d m·K/W', (mm, resistance) => {
    expect(relativeError(total(mm / 1000), resistance)).toBeLessThan(0.002);
  });

  it('loses most at 11 mm, more than bare', () => {
    for (const mm of [5, 8, 10, 12, 15, 20]) expect(total(mm / 1000)).toBeGreaterThan(total(0.011));
  });
});
