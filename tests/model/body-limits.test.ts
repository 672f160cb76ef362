/** Bodies of simple shape worked by hand, and what cannot be one. */
import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import { bodyOf, tankOf, type BoxTank, type CylinderBody } from '../../src/model/body.ts';
import {
  MATERIALS,
  cylinderResistance,
  seriesConductance,
  slabResistance,
} from '../../src/model/conduction.ts';
import { cylinderFilm, flatFilm } from '../../src/model/film.ts';
import { iceSheetThicknessM, suddenIceFraction } from '../../src/model/ice.ts';
import { lineOf } from '../../src/model/tube.ts';

/** A filter bowl of ABS, 10 cm across and 20 cm long outside, 5 mm thick. */
const BOWL: CylinderBody = { diameterM: 0.1, lengthM: 0.2, wallM: 0.005, wall: 'abs' };
/** A tank of 0.8 m by 0.5 m by 0.2 m outside. */
const TANK: BoxTank = { lengthM: 0.8, widthM: 0.5, heightM: 0.2 };

describe('a filter bowl', () => {
  const water = (Math.PI / 4) * 0.09 ** 2 * 0.19;

  it('holds what its inside measures hold, or its share of that', () => {
    expect(bodyOf(BOWL).waterKg).toBeCloseTo(1000 * water, 9);
    expect(bodyOf({ ...BOWL, fill: 0.25 }).waterKg).toBeCloseTo(250 * water, 9);
  });

  it('has a wall of what its outside measures hold beyond that, brim-full or not', () => {
    const wall = (Math.PI / 4) * 0.1 ** 2 * 0.2 - water;
    // ABS: 1050 kg/m³, 1400 J/(kg·K), makers' data as remembered.
    for (const fill of [1, 0.25])
      expect(bodyOf({ ...BOWL, fill }).wallHeatCapacityJPerK).toBeCloseTo(wall * 1050 * 1400, 6);
  });

  it('gives off through its side and both ends', () => {
    const film = cylinderFilm(0, 0.1);
    const side = 0.2 / (Math.log(0.1 / 0.09) / (2 * Math.PI * 0.2) + 1 / (film * Math.PI * 0.1));
    const ends = ((Math.PI / 4) * 0.1 ** 2 * 2) / (0.005 / 0.2 + 1 / film);
    const { conductanceWPerK, fixedShare, diameterM } = bodyOf(BOWL);
    expect(conductanceWPerK).toBeCloseTo(side + ends, 9);
    // Bare, all of its surface would give off this.
    const bare = film * (Math.PI * 0.1 * 0.2 + (Math.PI / 2) * 0.1 ** 2);
    expect(fixedShare).toBeCloseTo(1 - (side + ends) / bare, 9);
    expect(diameterM).toBe(0.1);
  });

  it('under foam is wider and longer by twice its thickness, and loses less', () => {
    const foamed = bodyOf({ ...BOWL, insulationM: 0.02 });
    const film = cylinderFilm(0, 0.14);
    const walls = (Math.log(0.1 / 0.09) / 0.2 + Math.log(0.14 / 0.1) / 0.04) / (2 * Math.PI);
    const side = 0.24 / (walls + 1 / (film * Math.PI * 0.14));
    const ends = ((Math.PI / 4) * 0.14 ** 2 * 2) / (0.005 / 0.2 + 0.02 / 0.04 + 1 / film);
    expect(foamed.conductanceWPerK).toBeCloseTo(side + ends, 9);
    expect(foamed.diameterM).toBeCloseTo(0.14, 12);
    const bare = film * Math.PI * (0.14 * 0.24 + 0.14 ** 2 / 2);
    expect(foamed.fixedShare).toBeCloseTo(1 - (side + ends) / bare, 9);
    // Wet foam insulates less.
    const wet = bodyOf({ ...BOWL, insulationM: 0.02, insulationWPerMK: 0.4 });
    expect(wet.conductanceWPerK).toBeGreaterThan(1.5 * foamed.conductanceWPerK);
  });

  it('freezes through its narrow side: the ice’s own resistance goes by the bore or the inside length', () => {
    const wet = Math.PI * 0.09 * 0.19 + (Math.PI / 2) * 0.09 ** 2;
    const long = bodyOf(BOWL);
    // r = U·D/(2k), k of ice 2.22 W/(m·K).
    expect(long.iceLayerRatio).toBeCloseTo((0.09 * long.conductanceWPerK) / wet / 4.44, 9);
    const flat = bodyOf({ ...BOWL, lengthM: 0.05 });
    const wetFlat = Math.PI * 0.09 * 0.04 + (Math.PI / 2) * 0.09 ** 2;
    expect(flat.iceLayerRatio).toBeCloseTo((0.04 * flat.conductanceWPerK) / wetFlat / 4.44, 9);
  });

  it.each([
    ['no bore', { wallM: 0.05 }],
    ['no length inside', { lengthM: 0.01 }],
    ['nothing in it', { fill: 0 }],
    ['more than it holds', { fill: 1.01 }],
    ['foam of less than nothing', { insulationM: -0.001 }],
    ['no number for its fill', { fill: Number.NaN }],
  ])('with %s is refused', (_what, over) => {
    expect(() => bodyOf({ ...BOWL, ...over })).toThrow(ModelError);
  });
});

describe('a tank', () => {
  it('of polyethylene of 5 mm holds what its inside holds and loses through all that is wet', () => {
    const { waterKg, conductanceWPerK, wallHeatCapacityJPerK, fixedShare, diameterM, iceLayerRatio } =
      tankOf(TANK);
    expect(waterKg).toBeCloseTo(1000 * 0.79 * 0.49 * 0.19, 9);
    const perM2 = 1 / (0.005 / 0.42 + 1 / flatFilm(0));
    // Top and bottom 0.8 m², four sides 0.52 m².
    expect(conductanceWPerK).toBeCloseTo(1.32 * perM2, 9);
    expect(wallHeatCapacityJPerK).toBeCloseTo(1.32 * 0.005 * 940 * 2000, 6);
    expect(fixedShare).toBeCloseTo(1 - perM2 / flatFilm(0), 9);
    expect(diameterM).toBe(0.2);
    // Twice its volume over its surface is a slab's thickness.
    expect(iceLayerRatio).toBeCloseTo((((2 * waterKg) / 1000 / 1.32) * perM2) / 4.44, 9);
  });

  it('part full loses through its top and bottom, and through the sides as far as they are wet', () => {
    const { waterKg, conductanceWPerK } = tankOf({ ...TANK, fill: 0.25 });
    expect(waterKg).toBeCloseTo(250 * 0.79 * 0.49 * 0.19, 9);
    expect(conductanceWPerK / tankOf(TANK).conductanceWPerK).toBeCloseTo((0.8 + 0.52 * 0.25) / 1.32, 9);
  });

  it('with a wall or foam of its own takes those', () => {
    const thick = tankOf({ ...TANK, wallM: 0.01, insulationM: 0.025 });
    expect(thick.waterKg).toBeCloseTo(1000 * 0.78 * 0.48 * 0.18, 9);
    expect(thick.conductanceWPerK).toBeCloseTo(1.32 / (0.01 / 0.42 + 0.025 / 0.04 + 1 / flatFilm(0)), 9);
    expect(thick.diameterM).toBeCloseTo(0.25, 12);
    const board = tankOf({ ...TANK, insulationM: 0.025, insulationWPerMK: 0.03 });
    expect(board.conductanceWPerK).toBeCloseTo(1.32 / (0.005 / 0.42 + 0.025 / 0.03 + 1 / flatFilm(0)), 9);
  });

  it.each([
    ['no width inside', { widthM: 0.01 }],
    ['no length inside', { lengthM: 0.01 }],
    ['no height inside', { heightM: 0.01 }],
    ['more than it holds', { fill: 1.01 }],
    ['foam of less than nothing', { insulationM: -0.001 }],
  ])('with %s is refused', (_what, over) => {
    expect(() => tankOf({ ...TANK, ...over })).toThrow(/needs room for water/);
  });
});

describe('a line', () => {
  it('has the wall of its tube, and foam around it unless another sleeve is named', () => {
    // Half-inch PEX, ASTM F876: average bore 0.475 in, outside 0.625 in; 940 kg/m³, 2300 J/(kg·K).
    const wallM2 = (Math.PI / 4) * (0.625 ** 2 - 0.475 ** 2) * 0.0254 ** 2;
    const bare = lineOf({ tube: 'pex-1/2', lengthM: 2 });
    expect(bare.wallHeatCapacityJPerK).toBeCloseTo(2 * wallM2 * 940 * 2300, 6);
    const foam = lineOf({ tube: 'pex-1/2', lengthM: 2, sleeveM: 0.01 });
    const same = lineOf({ tube: 'pex-1/2', lengthM: 2, sleeveM: 0.01, sleeveWPerMK: 0.04 });
    const wet = lineOf({ tube: 'pex-1/2', lengthM: 2, sleeveM: 0.01, sleeveWPerMK: 0.4 });
    expect(foam).toEqual(same);
    expect(wet.conductanceWPerK).toBeGreaterThan(1.5 * foam.conductanceWPerK);
  });

  it('freezes through its own wall, sleeve and film, taken over the bore', () => {
    const { conductanceWPerK, iceLayerRatio } = lineOf({ tube: 'copper-1/2', lengthM: 1 });
    // r = U·D/(2k) with U over π·D: G/(2π·k) for a metre.
    expect(iceLayerRatio).toBeCloseTo(conductanceWPerK / (2 * Math.PI * 2.22), 9);
  });

  it('of less than nothing is refused, a bare one is not', () => {
    expect(() => lineOf({ tube: 'pex-1/2', lengthM: 1, sleeveM: -0.001 })).toThrow(/needs a length above 0/);
    expect(() => lineOf({ tube: 'pex-1/2', lengthM: -1 })).toThrow(ModelError);
    expect(() => lineOf({ tube: 'pex-1/2', lengthM: 1, sleeveM: 0 })).not.toThrow();
  });

  it.each([
    // Data sheets as remembered; the makers' pages agree within a tenth.
    ['pex', 0.41, 940, 2300],
    ['copper', 339, 8940, 385],
    ['pvc', 0.17, 1300, 1300],
    ['abs', 0.2, 1050, 1400],
    ['brass', 110, 8500, 380],
    ['polyethylene', 0.42, 940, 2000],
  ] as const)('of %s conducts %d W/(m·K), weighs %d kg/m³ and stores %d J/(kg·K)', (id, k, rho, c) => {
    expect(MATERIALS[id]).toEqual({ conductivityWPerMK: k, densityKgPerM3: rho, heatCapacityJPerKgK: c });
  });
});

describe('a layer', () => {
  it('of no thickness resists nothing', () => {
    expect(slabResistance(0, 0.04)).toBe(0);
    expect(cylinderResistance(0.01, 0.01, 0.04)).toBe(0);
  });

  it.each([
    ['a slab of less than nothing', () => slabResistance(-0.001, 1)],
    ['a slab that conducts nothing', () => slabResistance(0.001, 0)],
    ['a tube without a bore', () => cylinderResistance(0, 0.01, 1)],
    ['a tube inside out', () => cylinderResistance(0.02, 0.01, 1)],
    ['a tube that conducts nothing', () => cylinderResistance(0.01, 0.02, 0)],
  ])('as %s is refused', (_what, call) => {
    expect(call).toThrow(ModelError);
  });

  it('behind another adds its resistance', () => {
    expect(seriesConductance([0.5, 1.5])).toBe(0.5);
  });
});

describe('ice', () => {
  it('is none where it was not cold, and thinner under snow', () => {
    expect(iceSheetThicknessM({ coldKelvinSeconds: 0, filmWPerM2K: 10 })).toBe(0);
    const cold = { coldKelvinSeconds: 10 * 86_400, filmWPerM2K: 10 };
    const bare = iceSheetThicknessM(cold);
    const covered = iceSheetThicknessM({ ...cold, coverM2KPerW: 0.5 });
    // S = ρL·(x·R + x²/2k), ρL = 916.7·333 550 J/m³, k = 2.22.
    expect(916.7 * 333_550 * (bare / 10 + bare ** 2 / 4.44)).toBeCloseTo(864_000, 3);
    expect(916.7 * 333_550 * (covered * 0.6 + covered ** 2 / 4.44)).toBeCloseTo(864_000, 3);
  });

  it.each([
    { coldKelvinSeconds: -1, filmWPerM2K: 10 },
    { coldKelvinSeconds: 1, filmWPerM2K: 0 },
    { coldKelvinSeconds: 1, filmWPerM2K: 10, coverM2KPerW: -0.1 },
  ])('from %o is refused', (sheet) => {
    expect(() => iceSheetThicknessM(sheet)).toThrow(ModelError);
  });

  it('comes at once of water supercooled by up to 40 K, a hundredth for each 0.8 K', () => {
    expect(suddenIceFraction(0)).toBe(0);
    expect(suddenIceFraction(8)).toBeCloseTo(0.1, 2);
    expect(suddenIceFraction(40)).toBeCloseTo(0.5, 1);
    expect(() => suddenIceFraction(40.1)).toThrow(ModelError);
    expect(() => suddenIceFraction(-0.1)).toThrow(ModelError);
  });
});
