/**
 * Time to freeze and thickness of ice.
 *
 * - Plank's equation t = (ρL/ΔT)(P·D/h + R·D²/k), P and R 1/2 and 1/8 for a slab, 1/4 and 1/16 for a cylinder
 *   (found: Caballero, Encyclopaedia of Food Sciences and Nutrition).
 * - Geankoplis, Transport Processes and Unit Operations, 3rd ed., example 5.5-1 (memory, agrees).
 * - One-phase Stefan problem, Carslaw and Jaeger (derived with k 2.22, c 2100, ρ 917, L 333.55 kJ/kg).
 * - Growth of an ice sheet: worked problem, algebra.com 682219 (found).
 * - Half-inch PEX, bore 12.065 mm, outside 15.875 mm, wall 0.41 W/(m·K) (derived).
 */
import { describe, expect, it } from 'vitest';
import { LATENT_HEAT_J_PER_KG } from '../../src/model/water.ts';
import { freeze, grow } from './body.ts';

function relative(found: number, expected: number): number {
  return Math.abs(found / expected - 1);
}

describe('Plank’s equation', () => {
  it('example 5.5-1: a slab of 0.0635 m freezes in 2.395·10⁴ s', () => {
    const [depth, h, k] = [0.0635 / 2, 17, 1.038];
    // Latent heat of the example's food carried by as much water as holds the same.
    const waterKg = (1057 * depth * 251_200) / LATENT_HEAT_J_PER_KG;
    const { solidS } = freeze({ waterKg, conductanceWPerK: h, iceLayerRatio: (depth * h) / k }, 0, -26.1);
    expect(relative(solidS, 2.395e4)).toBeLessThan(0.001);
  });

  it('a lumped cylinder takes its first term', () => {
    const [diameter, h] = [0.03, 12];
    const body = { waterKg: (1000 * Math.PI * diameter ** 2) / 4, conductanceWPerK: h * Math.PI * diameter };
    const plank = ((1000 * LATENT_HEAT_J_PER_KG) / 7) * (diameter / (4 * h));
    expect(relative(freeze(body, 0, -7).solidS, plank)).toBeLessThan(1e-9);
  });

  it('a lumped cylinder is too quick by the ratio 1 + Bi/4 only', () => {
    const [diameter, h, k] = [0.03, 12, 2.22];
    const body = { waterKg: (1000 * Math.PI * diameter ** 2) / 4, conductanceWPerK: h * Math.PI * diameter };
    const whole = ((1000 * LATENT_HEAT_J_PER_KG) / 7) * (diameter / (4 * h) + diameter ** 2 / (16 * k));
    expect(whole / freeze(body, 0, -7).solidS).toBeCloseTo(1 + (h * diameter) / k / 4, 9);
  });
});

describe('a layer of ice on water', () => {
  /** One square metre of water, so deep that it never freezes through, its surface as cold as the air. */
  const depth = 1;
  const h = 1e7;
  const sheet = (k: number, density: number) => ({
    waterKg: density * depth,
    conductanceWPerK: h,
    iceLayerRatio: (depth * h) / k,
  });

  for (const [airC, mm] of [
    [-10, 110.84],
    [-5, 78.78],
  ] as const) {
    it(`is ${mm} mm thick after 24 h at ${airC} °C, to 1.2 %`, () => {
      // The layer's own heat is neglected: too thick by a sixth of c·ΔT/L, 1.05 % at −10 °C.
      const fraction = grow(sheet(2.22, 917), { fromFraction: 0, airC, seconds: 86_400 });
      expect(fraction * depth * 1000).toBeGreaterThan(mm);
      expect(relative(fraction * depth * 1000, mm)).toBeLessThan(0.012);
    });
  }

  it('of 6.00 cm grows by 0.554 cm/h at −17 °C', () => {
    const k = 0.004 * 418.68;
    const from = 0.06 / depth;
    const to = grow(sheet(k, 920), { fromFraction: from, airC: -17, seconds: 60 });
    // Its L is 80 cal/g, 0.35 % above ours.
    expect(relative(((to - from) * depth * 100 * 3600) / 60, 0.554)).toBeLessThan(0.006);
  });
});

describe('half-inch PEX at −5 °C, from 10 °C', () => {
  for (const [h, resistance, zeroH, solidH, kelvinHours] of [
    [10, 2.112, 0.311, 4.47, 22.4],
    [20, 1.109, 0.163, 2.35, 11.7],
  ] as const) {
    it(`h ${h}: 0 °C after ${zeroH} h, solid ${solidH} h later`, () => {
      const wall = Math.log(15.875 / 12.065) / (2 * Math.PI * 0.41);
      expect(relative(1 / (h * Math.PI * 0.015875) + wall, resistance)).toBeLessThan(0.001);
      const waterKg = (1000 * Math.PI * 0.012065 ** 2) / 4;
      const { zeroS, solidS } = freeze({ waterKg, conductanceWPerK: 1 / resistance }, 10, -5);
      // Rounded to three digits; their density and heat capacity are those at 10 °C, within 0.2 %.
      expect(relative(zeroS / 3600, zeroH)).toBeLessThan(0.008);
      expect(relative((solidS - zeroS) / 3600, solidH)).toBeLessThan(0.005);
      expect(relative((5 * (solidS - zeroS)) / 3600, kelvinHours)).toBeLessThan(0.005);
    });
  }
});
