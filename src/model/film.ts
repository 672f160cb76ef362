/**
 * Heat transfer between a small wet body and the air around it.
 *
 * Air properties are those at 0 °C and 1 atm; between −40 and +20 °C the film coefficient errs by less than
 * 6 % for it.
 */
const STEFAN_BOLTZMANN = 5.670374e-8;
const AIR_CONDUCTIVITY_W_PER_M_K = 0.0241;
const AIR_KINEMATIC_VISCOSITY_M2_PER_S = 1.33e-5;
const AIR_PRANDTL = 0.71;
const GRAVITY_M_PER_S2 = 9.81;

/** The body that stands for a valve or elbow: engineering estimate, 25 mm across. */
const BODY_DIAMETER_M = 0.025;
/** Between body and air, for natural convection: engineering estimate. */
const CALM_DIFFERENCE_K = 5;
const EMISSIVITY = 0.9;
/** Share of the calm resistance that wind does not change: wall, water side, mounting. Engineering estimate. */
const FIXED_SHARE = 0.25;

/**
 * Churchill and Bernstein: mean Nusselt number of a cylinder in cross flow.
 * Valid for Re·Pr > 0.2; the correlation covers Re to 1e7.
 */
export function crossFlowNusselt(reynolds: number, prandtl: number): number {
  const re = Math.max(reynolds, 0.2 / prandtl);
  const laminar = (0.62 * Math.sqrt(re) * Math.cbrt(prandtl)) / (1 + (0.4 / prandtl) ** (2 / 3)) ** 0.25;
  return 0.3 + laminar * (1 + (re / 282_000) ** (5 / 8)) ** (4 / 5);
}

/** Churchill and Chu: mean Nusselt number of a horizontal cylinder in natural convection, Ra below 1e12. */
export function naturalNusselt(rayleigh: number, prandtl: number): number {
  const damped = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27);
  return (0.6 + (0.387 * rayleigh ** (1 / 6)) / damped) ** 2;
}

/** Radiation to surroundings at the air's temperature, linearised at 0 °C [W/(m²·K)]. */
export function radiationCoefficient(emissivity: number): number {
  return 4 * emissivity * STEFAN_BOLTZMANN * 273.15 ** 3;
}

/**
 * How much faster a small body exposed to the wind gives off heat than in calm air (1 in calm air).
 *
 * @param windSpeedMps - at the body [m/s], 0 to 60
 */
export function windFactor(windSpeedMps: number): number {
  const grashof =
    (GRAVITY_M_PER_S2 * CALM_DIFFERENCE_K * BODY_DIAMETER_M ** 3) /
    (273.15 * AIR_KINEMATIC_VISCOSITY_M2_PER_S ** 2);
  const natural = naturalNusselt(grashof * AIR_PRANDTL, AIR_PRANDTL);
  const reynolds = (windSpeedMps * BODY_DIAMETER_M) / AIR_KINEMATIC_VISCOSITY_M2_PER_S;
  const forced = windSpeedMps > 0 ? crossFlowNusselt(reynolds, AIR_PRANDTL) : 0;
  const perNusselt = AIR_CONDUCTIVITY_W_PER_M_K / BODY_DIAMETER_M;
  const radiation = radiationCoefficient(EMISSIVITY);
  const film = (perNusselt * Math.max(natural, forced) + radiation) / (perNusselt * natural + radiation);
  return 1 / (FIXED_SHARE + (1 - FIXED_SHARE) / film);
}

/**
 * The wind class an hour's wind falls into: steps of 5 % in 1 + w, so that tables over classes serve.
 * An hour's ice errs by less than 0.01 for it.
 */
export function windClass(windSpeedMps: number): number {
  return Math.round(Math.log1p(windSpeedMps) / Math.log(1.05));
}

export function windOfClass(index: number): number {
  return 1.05 ** index - 1;
}
