import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import { bodyOf, tankOf } from '../../src/model/body.ts';
import { cylinderResistance, slabResistance } from '../../src/model/conduction.ts';
import { cylinderFilm } from '../../src/model/film.ts';
import { iceSheetThicknessM, suddenIceFraction } from '../../src/model/ice.ts';
import { TUBES, lineOf } from '../../src/model/tube.ts';

describe('a line', () => {
  it.each(TUBES)('%s is proportional to its length, except for what wind and ice see', (tube) => {
    const [one, ten] = [lineOf({ tube, lengthM: 1 }), lineOf({ tube, lengthM: 10 })];
    expect(ten.waterKg).toBeCloseTo(10 * one.waterKg, 9);
    expect(ten.conductanceWPerK).toBeCloseTo(10 * one.conductanceWPerK, 9);
    expect(ten.wallHeatCapacityJPerK).toBeCloseTo(10 * one.wallHeatCapacityJPerK, 6);
    expect(ten.fixedShare).toBeCloseTo(one.fixedShare, 12);
    expect(ten.iceLayerRatio).toBeCloseTo(one.iceLayerRatio, 12);
  });

  it.each(TUBES)('%s loses less under a sleeve, and wind can change less of it', (tube) => {
    const [bare, sleeved] = [lineOf({ tube, lengthM: 1 }), lineOf({ tube, lengthM: 1, sleeveM: 0.013 })];
    expect(sleeved.conductanceWPerK).toBeLessThan(0.65 * bare.conductanceWPerK);
    expect(sleeved.fixedShare).toBeGreaterThan(bare.fixedShare + 0.3);
    expect(sleeved.diameterM).toBeCloseTo(bare.diameterM + 0.026, 12);
    expect(sleeved.waterKg).toBe(bare.waterKg);
  });

  it('is refused when unknown, with the names there are', () => {
    expect(() => lineOf({ tube: 'pex-7/8', lengthM: 1 })).toThrow(/pex-1\/2.*hose-5\/8/s);
    expect(() => lineOf({ tube: 'toString', lengthM: 1 })).toThrow(ModelError);
  });
});

describe('a body', () => {
  it('much longer than wide becomes a line', () => {
    const line = lineOf({ tube: 'copper-1/2', lengthM: 10 });
    const body = bodyOf({ diameterM: 0.015875, lengthM: 10, wallM: 0.001016, wall: 'copper' });
    expect(body.conductanceWPerK / line.conductanceWPerK).toBeCloseTo(1, 2);
    expect(body.waterKg / line.waterKg).toBeCloseTo(1, 2);
    expect(body.wallHeatCapacityJPerK / line.wallHeatCapacityJPerK).toBeCloseTo(1, 2);
  });

  it('of thin metal gives off what its film lets through', () => {
    const body = bodyOf({ diameterM: 0.05, lengthM: 0.1, wallM: 1e-6, wall: 'copper' });
    const area = Math.PI * 0.05 * 0.1 + (Math.PI * 0.05 ** 2) / 2;
    expect(body.conductanceWPerK / (area * cylinderFilm(0, 0.05))).toBeCloseTo(1, 4);
    expect(body.fixedShare).toBeLessThan(1e-4);
  });

  it('under foam keeps most of its resistance in any wind', () => {
    const body = bodyOf({ diameterM: 0.3, lengthM: 0.36, wallM: 0.002, wall: 'copper', insulationM: 0.025 });
    expect(body.fixedShare).toBeGreaterThan(0.75);
  });
});

describe('a tank', () => {
  it('half full holds half and loses less, but not half', () => {
    const size = { lengthM: 1.5, widthM: 0.8, heightM: 0.15 };
    const [full, half] = [tankOf(size), tankOf({ ...size, fill: 0.5 })];
    expect(half.waterKg).toBeCloseTo(full.waterKg / 2, 9);
    expect(half.conductanceWPerK).toBeLessThan(full.conductanceWPerK);
    expect(half.conductanceWPerK).toBeGreaterThan(full.conductanceWPerK / 2);
    expect(half.iceLayerRatio).toBeLessThan(full.iceLayerRatio);
  });
});

it.each([
  ['a wall thicker than the body', () => bodyOf({ diameterM: 0.02, lengthM: 1, wallM: 0.01, wall: 'abs' })],
  ['an empty tank', () => tankOf({ lengthM: 1, widthM: 1, heightM: 0.2, fill: 0 })],
  ['a line of no length', () => lineOf({ tube: 'pex-1/2', lengthM: 0 })],
  ['a wall inside out', () => cylinderResistance(0.02, 0.01, 1)],
  ['a layer without conductivity', () => slabResistance(0.01, 0)],
  ['ice from warmth', () => iceSheetThicknessM({ coldKelvinSeconds: -1, filmWPerM2K: 10 })],
  ['water supercooled by 50 K', () => suddenIceFraction(50)],
])('%s is refused', (_what, call) => {
  expect(call).toThrow(ModelError);
});
