/**
 * Heat transfer between a surface and the air around it.
 *
 * Air properties are those at 0 °C and 1 atm, radiation is linearised there. At a film temperature (mean of surface
 * and air) between −20 and +10 °C the coefficient errs by less than 4 % in wind above 1 m/s, and in calm air from
 * 5 % too little at +10 °C to 11 % too much at −20 °C, the cautious side. Every correlation states its range; below
 * it the value at its lower end is taken, above it the call fails, since nothing in a trailer lies there.
 */
import { ModelError } from '../errors.ts';
import type { Film } from './unit.ts';

const STEFAN_BOLTZMANN = 5.670374e-8;
const AIR_CONDUCTIVITY_W_PER_M_K = 0.0241;
const AIR_KINEMATIC_VISCOSITY_M2_PER_S = 1.33e-5;
const AIR_PRANDTL = 0.71;
const GRAVITY_M_PER_S2 = 9.81;
const ZERO_CELSIUS_K = 273.15;

/** Between surface and air, for natural convection: engineering estimate (2 to 10 K: the calm film −10 to +9 %). */
const CALM_DIFFERENCE_K = 5;
/** Of plastics, paint and oxidised metal. ISO 6946 takes the same. */
const EMISSIVITY = 0.9;
/** The body that stands for a valve or elbow of unknown shape: engineering estimates. */
const FITTING: Film = { diameterM: 0.025, fixedShare: 0.25 };

const HIGHEST_REYNOLDS = 1e7;
const HIGHEST_RAYLEIGH = 1e12;
const HIGHEST_WIND_MPS = 100;

/**
 * Mean Nusselt number of a cylinder in cross flow.
 *
 * Churchill and Bernstein, Journal of Heat Transfer 99 (1977) 300-306. Valid for Re·Pr ≥ 0.2 and Re ≤ 1e7;
 * slower flow is taken at Re·Pr = 0.2, which cools faster than it would.
 *
 * @throws ModelError for Re above 1e7, or numbers that are none.
 */
export function crossFlowNusselt(reynolds: number, prandtl: number): number {
  within('The Reynolds number', reynolds, HIGHEST_REYNOLDS);
  const re = Math.max(reynolds, 0.2 / prandtl);
  const laminar = (0.62 * Math.sqrt(re) * Math.cbrt(prandtl)) / (1 + (0.4 / prandtl) ** (2 / 3)) ** 0.25;
  return 0.3 + laminar * (1 + (re / 282_000) ** (5 / 8)) ** (4 / 5);
}

/**
 * Mean Nusselt number of a long horizontal cylinder in natural convection.
 *
 * Churchill and Chu, International Journal of Heat and Mass Transfer 18 (1975) 1049-1053. Valid for Ra ≤ 1e12;
 * below Ra 1e-5 it goes to 0.36, the limit of the correlation.
 *
 * @throws ModelError for Ra above 1e12, or numbers that are none.
 */
export function naturalNusselt(rayleigh: number, prandtl: number): number {
  within('The Rayleigh number', rayleigh, HIGHEST_RAYLEIGH);
  const damped = (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27);
  return (0.6 + (0.387 * rayleigh ** (1 / 6)) / damped) ** 2;
}

/**
 * Mean Nusselt number of a vertical plate in natural convection, over its height.
 *
 * Churchill and Chu, International Journal of Heat and Mass Transfer 18 (1975) 1323-1329. Valid for Ra ≤ 1e12.
 *
 * @throws ModelError for Ra above 1e12, or numbers that are none.
 */
export function plateNusselt(rayleigh: number, prandtl: number): number {
  within('The Rayleigh number', rayleigh, HIGHEST_RAYLEIGH);
  const damped = (1 + (0.492 / prandtl) ** (9 / 16)) ** (8 / 27);
  return (0.825 + (0.387 * rayleigh ** (1 / 6)) / damped) ** 2;
}

/** Ra = g·β·ΔT·L³·Pr/ν² in air of 0 °C, β = 1/T; of the fixed calm difference unless one is given [K]. */
export function airRayleigh(lengthM: number, differenceK = CALM_DIFFERENCE_K): number {
  const square = ZERO_CELSIUS_K * AIR_KINEMATIC_VISCOSITY_M2_PER_S ** 2;
  return (GRAVITY_M_PER_S2 * differenceK * lengthM ** 3 * AIR_PRANDTL) / square;
}

/**
 * Radiation to surroundings at the air's temperature, 4·ε·σ·T³ [W/(m²·K)] (ISO 6946, annex C).
 *
 * Linearised at `meanC` [°C]: within 1 % for surfaces up to 30 K from their surroundings about that mean.
 *
 * @throws ModelError for an emissivity outside 0 to 1.
 */
export function radiationCoefficient(emissivity: number, meanC = 0): number {
  within('The emissivity', emissivity, 1);
  return 4 * emissivity * STEFAN_BOLTZMANN * (ZERO_CELSIUS_K + meanC) ** 3;
}

/**
 * What a clear night sky radiates like, 0.0552·T^1.5 in K, as a temperature [°C]. Swinbank, Quarterly Journal of the
 * Royal Meteorological Society 89 (1963) 339-348. From air near the ground, without clouds; it says nothing of how
 * much of the sky a part sees. Measured between 2 and 29 °C; below, it errs to the cold side.
 */
export function clearSkyTemperatureC(airC: number): number {
  return 0.0552 * (airC + ZERO_CELSIUS_K) ** 1.5 - ZERO_CELSIUS_K;
}

/**
 * From a cylinder of this diameter to air and surroundings, convection and radiation together [W/(m²·K)].
 *
 * Natural and forced convection are joined as Nu⁴ = Nu_n⁴ + Nu_f⁴ (Incropera and DeWitt, section 9.9, transverse
 * flow over cylinders): in a breath of air up to 19 % more than the larger of the two.
 *
 * @param windSpeedMps - at the body [m/s], 0 to 100
 * @throws ModelError outside the correlations' range.
 */
export function cylinderFilm(windSpeedMps: number, diameterM: number): number {
  within('The wind speed', windSpeedMps, HIGHEST_WIND_MPS);
  const natural = naturalNusselt(airRayleigh(diameterM), AIR_PRANDTL);
  const reynolds = (windSpeedMps * diameterM) / AIR_KINEMATIC_VISCOSITY_M2_PER_S;
  const forced = windSpeedMps > 0 ? crossFlowNusselt(reynolds, AIR_PRANDTL) : 0;
  const nusselt = (natural ** 4 + forced ** 4) ** 0.25;
  return (AIR_CONDUCTIVITY_W_PER_M_K * nusselt) / diameterM + radiationCoefficient(EMISSIVITY);
}

/**
 * From a flat outside surface to air and surroundings [W/(m²·K)]: 4 + 4v by convection, and radiation
 * (ISO 6946, annex C, its emissivity of 0.9 and 0 °C). For walls, floors and tanks, never for small bodies. Above
 * 10 m/s the line lies over measured coefficients: the cautious side.
 *
 * @param windSpeedMps - next to the surface [m/s], 0 to 100
 */
export function flatFilm(windSpeedMps: number): number {
  within('The wind speed', windSpeedMps, HIGHEST_WIND_MPS);
  return 4 + 4 * windSpeedMps + radiationCoefficient(EMISSIVITY);
}

/**
 * How much faster a body exposed to the wind gives off heat than in calm air (1 in calm air).
 *
 * @param windSpeedMps - at the body [m/s], 0 to 100
 * @param film - its width across the wind and the share of its calm resistance that wind does not change (wall,
 *   sleeve, mounting), 0 to 1; left out: a fitting of unknown shape
 * @throws ModelError outside the correlations' range.
 */
export function windFactor(windSpeedMps: number, film: Film = FITTING): number {
  within('The fixed share', film.fixedShare, 1);
  const ratio = cylinderFilm(windSpeedMps, film.diameterM) / cylinderFilm(0, film.diameterM);
  return 1 / (film.fixedShare + (1 - film.fixedShare) / ratio);
}

/** Classes of wind: the last stands for 98 m/s and all above. */
export const MOST_WIND_CLASSES = 95;

/**
 * The wind class an hour's wind falls into: steps of 5 % in 1 + w, so that tables over classes serve.
 * An hour's ice errs by less than 0.01 for it.
 */
export function windClass(windSpeedMps: number): number {
  const index = Math.round(Math.log1p(windSpeedMps) / Math.log(1.05));
  return Math.min(MOST_WIND_CLASSES - 1, index);
}

export function windOfClass(index: number): number {
  return 1.05 ** index - 1;
}

function within(what: string, value: number, highest: number): void {
  if (value >= 0 && value <= highest) return;
  throw new ModelError(`${what} must lie between 0 and ${highest}, found ${value}.`);
}
