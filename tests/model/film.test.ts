import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import {
  crossFlowNusselt,
  cylinderFilm,
  flatFilm,
  naturalNusselt,
  plateNusselt,
  radiationCoefficient,
  windClass,
  windFactor,
  windOfClass,
} from '../../src/model/film.ts';
import { lineOf } from '../../src/model/tube.ts';

describe('wind on a body', () => {
  const FILMS = [
    undefined,
    lineOf({ tube: 'pex-1/2', lengthM: 1 }),
    lineOf({ tube: 'hose-5/8', lengthM: 1, sleeveM: 0.02 }),
    { diameterM: 0.3, fixedShare: 0.5 },
  ];

  it.each(FILMS)('is no matter in calm air, never falls and rises without a jump (%#)', (film) => {
    expect(windFactor(0, film)).toBeCloseTo(1, 12);
    for (let wind = 0; wind < 30; wind += 0.1) {
      expect(windFactor(wind + 0.1, film)).toBeGreaterThan(windFactor(wind, film));
      expect(windFactor(wind + 0.1, film) / windFactor(wind, film)).toBeLessThan(1.45);
    }
  });

  it('starts from calm air without a step', () => {
    expect(windFactor(1e-6)).toBeLessThan(1.001);
  });

  it('never exceeds what the wall lets through', () => {
    for (const fixedShare of [0.05, 0.25, 0.9, 1]) {
      expect(windFactor(60, { diameterM: 0.02, fixedShare })).toBeLessThanOrEqual(1 / fixedShare);
    }
  });

  it('does more to a thin bare line than to a hose, and more to a hose than to a sleeved one', () => {
    const at = (line: { diameterM: number; fixedShare: number }) => windFactor(5, line);
    const hose = lineOf({ tube: 'hose-5/8', lengthM: 1 });
    expect(at(lineOf({ tube: 'pex-1/2', lengthM: 1 }))).toBeGreaterThan(at(hose));
    expect(at(hose)).toBeGreaterThan(1.5 * at(lineOf({ tube: 'hose-5/8', lengthM: 1, sleeveM: 0.02 })));
  });

  it('is taken in classes within 2.5 % of 1 + w', () => {
    for (let wind = 0; wind < 40; wind += 0.07) {
      const taken = windOfClass(windClass(wind));
      expect(Math.abs((1 + taken) / (1 + wind) - 1)).toBeLessThan(0.025);
    }
    expect(windOfClass(windClass(0))).toBe(0);
    // A hurricane and all beyond it.
    expect([98, 98.2, 150, 1000].map(windClass)).toEqual([94, 94, 94, 94]);
  });
});

/** Çengel, Heat Transfer, Table A-15, air at 1 atm (memory; its row of 10 °C found): k, ν, Pr. */
describe('air properties of 0 °C', () => {
  type Row = readonly [celsius: number, k: number, nu: number, pr: number];
  const TABLE = [
    [-20, 0.02211, 1.169e-5, 0.7408],
    [0, 0.02364, 1.338e-5, 0.7362],
    [10, 0.02439, 1.426e-5, 0.7336],
  ] as const satisfies readonly Row[];
  const film = ([celsius, k, nu, pr]: Row, wind: number): number => {
    const diameterM = 0.025;
    const rayleigh = (9.81 * 5 * diameterM ** 3 * pr) / ((celsius + 273.15) * nu ** 2);
    const forced = wind === 0 ? 0 : crossFlowNusselt((wind * diameterM) / nu, pr);
    const nusselt = (naturalNusselt(rayleigh, pr) ** 4 + forced ** 4) ** 0.25;
    return (k * nusselt) / diameterM + radiationCoefficient(0.9, celsius);
  };

  it.each(TABLE)('serve a film of %d °C in calm air within −5 and +11 %%', (...row) => {
    const ratio = cylinderFilm(0, 0.025) / film(row, 0);
    expect(ratio).toBeGreaterThan(0.95);
    expect(ratio).toBeLessThan(1.11);
  });

  it.each(TABLE)('serve a film of %d °C in wind within 4 %%', (...row) => {
    for (const wind of [1, 5, 15]) {
      expect(Math.abs(cylinderFilm(wind, 0.025) / film(row, wind) - 1)).toBeLessThan(0.04);
    }
  });
});

describe('outside its range', () => {
  it('a slow flow is taken at Re·Pr = 0.2, never slower', () => {
    expect(crossFlowNusselt(0, 0.71)).toBe(crossFlowNusselt(0.2 / 0.71, 0.71));
    expect(crossFlowNusselt(1, 0.71)).toBeGreaterThan(crossFlowNusselt(0, 0.71));
  });

  it('still air without a difference keeps the limit of conduction', () => {
    expect(naturalNusselt(0, 0.71)).toBeCloseTo(0.36, 12);
    expect(plateNusselt(0, 0.71)).toBeCloseTo(0.825 ** 2, 12);
  });

  it.each([
    ['Re 2e7', () => crossFlowNusselt(2e7, 0.71)],
    ['Ra 2e12, cylinder', () => naturalNusselt(2e12, 0.71)],
    ['Ra 2e12, plate', () => plateNusselt(2e12, 0.71)],
    ['an unknown wind', () => windFactor(Number.NaN)],
    ['wind from nowhere', () => flatFilm(-1)],
    ['an emissivity of 1.2', () => radiationCoefficient(1.2)],
    ['a share above 1', () => windFactor(1, { diameterM: 0.02, fixedShare: 1.1 })],
  ])('%s is refused', (_what, call) => {
    expect(call).toThrow(ModelError);
  });
});
