/** Conduction through walls and insulation, and heat paths one behind the other or side by side. */
import { ModelError } from '../errors.ts';

export interface Material {
  readonly conductivityWPerMK: number;
  readonly densityKgPerM3: number;
  readonly heatCapacityJPerKgK: number;
}

/**
 * PEX, flexible PVC (hoses) and ABS (traps, dump stubs): makers' data sheets as remembered, with ranges of
 * 0.35-0.41, 0.14-0.19 and 0.17-0.25 W/(m·K); the higher end is the cautious one. Copper: DHP copper, 2 to 3 times
 * more or less would change nothing. Brass: valves and faucets. Polyethylene: tanks.
 */
export const MATERIALS = {
  pex: { conductivityWPerMK: 0.41, densityKgPerM3: 940, heatCapacityJPerKgK: 2300 },
  copper: { conductivityWPerMK: 339, densityKgPerM3: 8940, heatCapacityJPerKgK: 385 },
  pvc: { conductivityWPerMK: 0.17, densityKgPerM3: 1300, heatCapacityJPerKgK: 1300 },
  abs: { conductivityWPerMK: 0.2, densityKgPerM3: 1050, heatCapacityJPerKgK: 1400 },
  brass: { conductivityWPerMK: 110, densityKgPerM3: 8500, heatCapacityJPerKgK: 380 },
  polyethylene: { conductivityWPerMK: 0.42, densityKgPerM3: 940, heatCapacityJPerKgK: 2000 },
} as const satisfies Readonly<Record<string, Material>>;
export type MaterialId = keyof typeof MATERIALS;

/**
 * Closed-cell pipe and tank foam [W/(m·K)]: 0.036 to 0.043 when new and dry; engineering estimate. Wet or torn foam
 * insulates far less: give its conductivity then.
 */
export const FOAM_CONDUCTIVITY_W_PER_M_K = 0.04;

/**
 * Radial resistance of a cylindrical wall, per metre of length, ln(D₂/D₁)/(2πk) [m·K/W] (ASHRAE Handbook,
 * Fundamentals (2021 SI), chapter 23, equation (2)). Exact for one-dimensional steady conduction.
 *
 * @throws ModelError unless 0 < inside ≤ outside and the conductivity is above 0.
 */
export function cylinderResistance(insideM: number, outsideM: number, conductivityWPerMK: number): number {
  if (!(insideM > 0 && outsideM >= insideM && conductivityWPerMK > 0)) {
    throw new ModelError(
      `A cylindrical wall needs 0 < inside ≤ outside and a conductivity above 0, found ${insideM} m, ${outsideM} m, ${conductivityWPerMK} W/(m·K).`,
    );
  }
  return Math.log(outsideM / insideM) / (2 * Math.PI * conductivityWPerMK);
}

/**
 * Resistance of a flat layer, times its area [m²·K/W].
 *
 * @throws ModelError unless the thickness is 0 or more and the conductivity above 0.
 */
export function slabResistance(thicknessM: number, conductivityWPerMK: number): number {
  if (!(thicknessM >= 0 && conductivityWPerMK > 0)) {
    throw new ModelError(
      `A layer needs a thickness of 0 or more and a conductivity above 0, found ${thicknessM} m, ${conductivityWPerMK} W/(m·K).`,
    );
  }
  return thicknessM / conductivityWPerMK;
}

/** Resistances one behind the other, as one conductance [W/K when given in K/W]. */
export function seriesConductance(resistances: readonly number[]): number {
  return 1 / resistances.reduce((sum, r) => sum + r, 0);
}
