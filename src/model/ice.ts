/** How ice gathers: its own resistance, its thickness on a flat face, what supercooled water turns to at once. */
import { ModelError } from '../errors.ts';
import {
  ICE_CONDUCTIVITY_W_PER_M_K,
  ICE_DENSITY_KG_PER_M3,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from './water.ts';

const ICE_VOLUME_HEAT_J_PER_M3 = ICE_DENSITY_KG_PER_M3 * LATENT_HEAT_J_PER_KG;

/**
 * Resistance of the full ice layer over that of everything outside the water, the `iceLayerRatio` of a part.
 *
 * Plank: t = (ρL/ΔT)·(P·D/U + R·D²/k), with P, R of 1/2, 1/8 for a slab, 1/4, 1/16 for a cylinder, 1/6, 1/24 for a
 * sphere. The second term over the first is U·D/(4k) for each of the three, and r/2 in the budget of a part: hence
 * r = U·D/(2k). For a layer whose own heat capacity can be neglected, c·ΔT/L ≪ 1.
 *
 * @param acrossM - D, thickness of a slab frozen from both faces, or diameter [m]
 * @param coefficientWPerM2K - U from the water's edge to the air, over the water's own surface [W/(m²·K)]
 */
export function iceLayerRatio(acrossM: number, coefficientWPerM2K: number): number {
  return (acrossM * coefficientWPerM2K) / (2 * ICE_CONDUCTIVITY_W_PER_M_K);
}

export interface IceSheet {
  /** Below 0 °C, times time [K·s]. */
  readonly coldKelvinSeconds: number;
  /** Between the ice's face and the air [W/(m²·K)]. */
  readonly filmWPerM2K: number;
  /** Snow or foam on it, [m²·K/W]; absent: none. */
  readonly coverM2KPerW?: number;
}

/**
 * Thickness of ice that grew on still water from one face [m]: S = ρL·(x/h + x²/2k).
 *
 * Quasi-steady: the layer's own heat is neglected, so it is too thick by about a sixth of c·ΔT/L (1 % at −10 °C);
 * heat from below and snow that turns to ice are not in it.
 *
 * @throws ModelError for cold below 0 K·s or a film of 0 or less.
 */
export function iceSheetThicknessM({ coldKelvinSeconds, filmWPerM2K, coverM2KPerW = 0 }: IceSheet): number {
  if (!(coldKelvinSeconds >= 0 && filmWPerM2K > 0 && coverM2KPerW >= 0)) {
    throw new ModelError(
      `Ice grows from cold of 0 K·s or more through a film above 0 W/(m²·K), found ${coldKelvinSeconds} and ${filmWPerM2K}.`,
    );
  }
  const outside = ICE_CONDUCTIVITY_W_PER_M_K * (1 / filmWPerM2K + coverM2KPerW);
  const square = (2 * ICE_CONDUCTIVITY_W_PER_M_K * coldKelvinSeconds) / ICE_VOLUME_HEAT_J_PER_M3;
  // Of x² + 2·outside·x = square, written so that thin ice keeps its digits.
  return square / (outside + Math.sqrt(outside ** 2 + square));
}

/**
 * Share of water that turns to ice in an instant when it was supercooled by so much: c·ΔT/L. As needles across the
 * bore, so that a line may be blocked by a few per cent; the model gives no credit for supercooling.
 *
 * @param supercoolingK - below 0 °C [K], 0 to 40: colder water freezes by itself
 * @throws ModelError outside 0 to 40 K.
 */
export function suddenIceFraction(supercoolingK: number): number {
  if (!(supercoolingK >= 0 && supercoolingK <= 40)) {
    throw new ModelError(`Water is supercooled by 0 to 40 K, found ${supercoolingK} K.`);
  }
  return (WATER_HEAT_CAPACITY_J_PER_KG_K * supercoolingK) / LATENT_HEAT_J_PER_KG;
}
