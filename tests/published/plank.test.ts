/**
 * Time to freeze through, Plank: t = (ρL/ΔT)·(P·D/h + R·D²/k), P and R 1/2 and 1/8 for a slab, 1/4 and 1/16 for a
 * cylinder, 1/6 and 1/24 for a sphere (found: Caballero, Encyclopaedia of Food Sciences and Nutrition).
 *
 * - Geankoplis, Transport Processes and Unit Operations, 3rd ed., example 5.5-1: slab of 0.0635 m, h 17, k 1.038,
 *   ρ 1057, L 251.2 kJ/kg, 26.1 K: 2.395·10⁴ s (memory, agrees).
 * - Singh and Heldman, Introduction to Food Engineering, example on Plank's equation: sphere of 7 cm, h 50, k 1.2,
 *   ρ 1000, L 250 kJ/kg, from −1.25 °C in air of −40 °C: 0.72 h (memory, agrees).
 *
 * The part freezes a latent heat per area (V/A) by its conductance per area; its ice ratio is k-scaled.
 */
import { describe, expect, it } from 'vitest';
import { iceLayerRatio } from '../../src/model/ice.ts';
import { ICE_CONDUCTIVITY_W_PER_M_K, LATENT_HEAT_J_PER_KG } from '../../src/model/water.ts';
import { freeze } from './body.ts';
import { relativeError } from './relative.ts';

interface Example {
  readonly name: string;
  readonly acrossM: number;
  /** Volume over surface is D over this: slab 2, cylinder 4, sphere 6. */
  readonly shape: 2 | 4 | 6;
  readonly h: number;
  readonly k: number;
  readonly heatJPerM3: number;
  readonly differenceK: number;
  readonly publishedS: number;
  readonly tolerance: number;
}

/** By the model's own part, per square metre of surface. */
function secondsToSolid({
  acrossM,
  shape,
  h,
  k,
  heatJPerM3,
  differenceK,
}: Omit<Example, 'publishedS'>): number {
  const ratio = iceLayerRatio(acrossM, h) * (ICE_CONDUCTIVITY_W_PER_M_K / k);
  const waterKg = (heatJPerM3 * acrossM) / shape / LATENT_HEAT_J_PER_KG;
  return freeze({ waterKg, conductanceWPerK: h, iceLayerRatio: ratio }, 0, -differenceK).solidS;
}

const EXAMPLES: readonly Example[] = [
  {
    name: 'Geankoplis 5.5-1, slab',
    acrossM: 0.0635,
    shape: 2,
    h: 17,
    k: 1.038,
    heatJPerM3: 1057 * 251_200,
    differenceK: 26.1,
    publishedS: 2.395e4,
    tolerance: 0.001,
  },
  {
    name: 'Singh and Heldman, sphere',
    acrossM: 0.07,
    shape: 6,
    h: 50,
    k: 1.2,
    heatJPerM3: 1000 * 250_000,
    differenceK: 38.75,
    publishedS: 0.72 * 3600,
    // Printed to two digits.
    tolerance: 0.01,
  },
];

it.each(EXAMPLES)('freezes as in $name', (example) => {
  expect(relativeError(secondsToSolid(example), example.publishedS)).toBeLessThan(example.tolerance);
});

describe('every shape of 30 mm of water at h 12 in air of −7 °C', () => {
  it.each([
    ['slab', 2, 1 / 2, 1 / 8],
    ['cylinder', 4, 1 / 4, 1 / 16],
    ['sphere', 6, 1 / 6, 1 / 24],
  ] as const)('freezes through as a %s by Plank', (name, shape, p, r) => {
    const [acrossM, h, k] = [0.03, 12, 2.2];
    const heatJPerM3 = 1000 * LATENT_HEAT_J_PER_KG;
    const plank = (heatJPerM3 / 7) * ((p * acrossM) / h + (r * acrossM ** 2) / k);
    const found = secondsToSolid({ name, acrossM, shape, h, k, heatJPerM3, differenceK: 7, tolerance: 0 });
    expect(relativeError(found, plank)).toBeLessThan(1e-9);
  });

  it('is too quick without the ice by the ratio 1 + Bi/4 only', () => {
    const [acrossM, h, k] = [0.03, 12, 2.22];
    const lumped = freeze({ waterKg: (1000 * acrossM) / 4, conductanceWPerK: h }, 0, -7).solidS;
    const heat = 1000 * LATENT_HEAT_J_PER_KG;
    const whole = (heat / 7) * (acrossM / (4 * h) + acrossM ** 2 / (16 * k));
    expect(whole / lumped).toBeCloseTo(1 + (h * acrossM) / k / 4, 9);
  });
});
