/**
 * Ice growing from one face of still water.
 *
 * - One-phase Stefan problem, exact: front 2λ√(αt), λ·e^(λ²)·erf λ = c·ΔT/(L√π); k 2.22, c 2100, ρ 917, L 333.55
 *   kJ/kg (derived; Carslaw and Jaeger, Conduction of Heat in Solids): −10 °C λ 0.175607, 110.84 mm after 24 h;
 *   −5 °C λ 0.124808, 78.78 mm.
 * - Worked problem, algebra.com 682219 (found): 6.00 cm thick, air −17 °C, k 0.0040 cal/(s·cm·°C), ρ 0.92, L 80
 *   cal/g: 0.554 cm/h.
 * - Stefan's bare formula as quoted in forums of ice fishers and cold-climate engineering, 0.983·√AFDD in, and USACE
 *   CRREL, Ice Engineering technical note 04-3, C·√AFDD in with AFDD in °F·day, C 0.8 windy lake without snow,
 *   0.5-0.7 average lake with snow (found).
 * - Supercooled water turns to ice at 4.218·ΔT/333.55 (derived): 5 K, 6.3 %.
 */
import { describe, expect, it } from 'vitest';
import { flatFilm } from '../../src/model/film.ts';
import { iceSheetThicknessM, suddenIceFraction } from '../../src/model/ice.ts';
import { grow } from './body.ts';
import { relativeError } from './relative.ts';

const DAY_S = 86_400;
const INCH_M = 0.0254;

/** One square metre of water, so deep that it never freezes through. */
function sheet(h: number, k: number, density: number) {
  return { waterKg: density, conductanceWPerK: h, iceLayerRatio: h / k };
}

describe('a sheet whose face is as cold as the air', () => {
  it.each([
    [-10, 110.84],
    [-5, 78.78],
  ])('is in air of %d °C as thick as Stefan’s solution after 24 h, %d mm, to 1.2 %%', (airC, mm) => {
    const h = 1e7;
    // The layer's own heat is neglected: too thick by a sixth of c·ΔT/L, 1.05 % at −10 °C. Never too thin.
    const byPart = grow(sheet(h, 2.22, 917), { fromFraction: 0, airC, seconds: DAY_S }) * 1000;
    const byFormula = iceSheetThicknessM({ coldKelvinSeconds: -airC * DAY_S, filmWPerM2K: h }) * 1000;
    for (const found of [byPart, byFormula]) {
      expect(found).toBeGreaterThan(mm);
      expect(relativeError(found, mm)).toBeLessThan(0.012);
    }
  });
});

it.each([5, 25, 100])('is by the formula as thick as the part has it, at h %d', (h) => {
  const byPart = grow(sheet(h, 2.22, 916.7), { fromFraction: 0, airC: -8, seconds: 10 * DAY_S });
  const byFormula = iceSheetThicknessM({ coldKelvinSeconds: 80 * DAY_S, filmWPerM2K: h });
  expect(relativeError(byFormula, byPart)).toBeLessThan(1e-9);
});

it('grows by 0.554 cm/h when 6.00 cm thick at −17 °C', () => {
  const k = 0.004 * 418.68;
  const to = grow(sheet(1e7, k, 920), { fromFraction: 0.06, airC: -17, seconds: 60 });
  // Its L is 80 cal/g, 0.35 % above ours.
  expect(relativeError((to - 0.06) * 100 * 60, 0.554)).toBeLessThan(0.006);
});

describe('a lake after so many freezing degree-days', () => {
  const thicknessIn = (afdd: number, filmWPerM2K: number, coverM2KPerW: number): number =>
    iceSheetThicknessM({ coldKelvinSeconds: (afdd / 1.8) * DAY_S, filmWPerM2K, coverM2KPerW }) / INCH_M;

  it.each([100, 400, 900])('has %d °F·day Stefan’s ice when its face is as cold as the air', (afdd) => {
    // The quoted 0.983 stands for another k and L: ours with 2.22 and 333.55 is 1.04.
    expect(relativeError(thicknessIn(afdd, 1e7, 0) / Math.sqrt(afdd), 0.983)).toBeLessThan(0.06);
  });

  it.each([100, 200, 300])('has after %d °F·day C 0.8 in wind without snow', (afdd) => {
    // Windy: 4 m/s at the ice. C is a constant only about the middle of a winter, 10 % off it here.
    expect(relativeError(thicknessIn(afdd, flatFilm(4), 0) / Math.sqrt(afdd), 0.8)).toBeLessThan(0.1);
  });

  it.each([300, 500, 800])('has after %d °F·day C 0.5 to 0.7 under 2 cm of snow', (afdd) => {
    const c = thicknessIn(afdd, flatFilm(2), 0.02 / 0.2) / Math.sqrt(afdd);
    expect(c).toBeGreaterThan(0.5);
    expect(c).toBeLessThan(0.7);
  });
});

it.each([
  [5, 0.0632],
  [2, 0.0253],
])('turns at once to so much ice when supercooled by %d K: %d', (kelvin, fraction) => {
  // Our round heat capacity is 0.4 % below the 4.218 of 0 °C.
  expect(relativeError(suddenIceFraction(kelvin), fraction)).toBeLessThan(0.005);
});
