/**
 * A part written as its enthalpy, whose rate is G·(T_air − T) + P whatever the phase: 0 J is water at 0 °C,
 * −m·L·(1 + r/2) ice at 0 °C.
 */
import { windFactor } from '../../src/model/film.ts';
import type { Part } from '../../src/model/unit.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../../src/model/water.ts';

export type EnthalpyPhase = 'liquid' | 'ice' | 'solid';
/** Its heater: without supply, off above its temperature, full on below it, or just holding it. */
export type HeaterMode = 'none' | 'off' | 'on' | 'hold';

/** So close to a line counts as on it [J], and so close to a thermostat's temperature [K]. */
const NEAR_J = 1e-7;
const NEAR_K = 1e-10;

export class PartEnthalpy {
  readonly part: Part;
  phase: EnthalpyPhase = 'liquid';
  heater: HeaterMode = 'none';
  /** What its heater can give now [W]. */
  watts = 0;
  readonly latentJ: number;
  readonly #liquid: number;
  readonly #solid: number;

  constructor(part: Part) {
    this.part = part;
    this.#liquid = part.waterKg * WATER_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
    this.#solid = part.waterKg * ICE_HEAT_CAPACITY_J_PER_KG_K + part.wallHeatCapacityJPerK;
    this.latentJ = part.waterKg * LATENT_HEAT_J_PER_KG * (1 + part.iceLayerRatio / 2);
  }

  conductance(windMps: number): number {
    return this.part.conductanceWPerK * windFactor(this.part.windShare * windMps, this.part.film);
  }

  /** Full of water, in balance with the air, its heater included, never below zero. */
  start(airC: number, conductance: number, supplied: boolean): number {
    const { startTemperatureC, heat } = this.part;
    if (startTemperatureC !== null) return startTemperatureC * this.#liquid;
    let balanceC = airC;
    if (heat !== undefined && supplied && airC < heat.onBelowC)
      balanceC = Math.min(heat.onBelowC, airC + this.watts / conductance);
    return Math.max(0, balanceC) * this.#liquid;
  }

  temperatureC(enthalpyJ: number): number {
    if (this.phase === 'liquid') return enthalpyJ / this.#liquid;
    return this.phase === 'ice' ? 0 : (enthalpyJ + this.latentJ) / this.#solid;
  }

  /** Of σ = f + r·f²/2, for any phase. */
  iceFraction(enthalpyJ: number): number {
    const { waterKg, iceLayerRatio: r } = this.part;
    const taken = Math.min(this.latentJ, Math.max(0, -enthalpyJ)) / (waterKg * LATENT_HEAT_J_PER_KG);
    return r === 0 ? taken : (Math.sqrt(1 + 2 * r * taken) - 1) / r;
  }

  /** Heat into it [W]. */
  rate(enthalpyJ: number, airC: number, conductance: number): number {
    if (this.heater === 'hold') return 0;
    const heatW = this.heater === 'on' ? this.watts : 0;
    return conductance * (airC - this.temperatureC(enthalpyJ)) + heatW;
  }

  /** Whether its phase and its heater's mode still fit. */
  fits(enthalpyJ: number, airC: number, conductance: number): boolean {
    return this.#phaseAt(enthalpyJ) === this.phase && this.#heaterFits(enthalpyJ, airC, conductance);
  }

  /** Whether it may come to a line and back within minutes. */
  isNearLine(enthalpyJ: number, conductance: number): boolean {
    const nearK = 0.03;
    if (this.phase === 'ice') {
      const nearJ = nearK * conductance * 300;
      return enthalpyJ > -nearJ || enthalpyJ < nearJ - this.latentJ;
    }
    const warm = this.temperatureC(enthalpyJ);
    const thermostat = this.heater === 'on' || this.heater === 'off';
    return Math.abs(warm) < nearK || (thermostat && Math.abs(warm - (this.part.heat?.onBelowC ?? 0)) < nearK);
  }

  /** To the phase and mode that fit now. Returns the enthalpy, exactly at the thermostat's when it is as near as that. */
  settle(enthalpyJ: number, airC: number, conductance: number): number {
    this.phase = this.#phaseAt(enthalpyJ);
    if (this.heater === 'none' || this.#heaterFits(enthalpyJ, airC, conductance)) return enthalpyJ;
    const { onBelowC = 0 } = this.part.heat ?? {};
    const aboveK = this.temperatureC(enthalpyJ) - onBelowC;
    const needed = conductance * (onBelowC - airC);
    if (Math.abs(aboveK) > 10 * NEAR_K) {
      this.heater = aboveK > 0 ? 'off' : 'on';
      return enthalpyJ;
    }
    this.heater = needed <= 0 ? 'off' : needed >= this.watts ? 'on' : 'hold';
    return onBelowC * this.#liquid;
  }

  #phaseAt(enthalpyJ: number): EnthalpyPhase {
    const liquidAbove = this.phase === 'liquid' ? -NEAR_J : NEAR_J;
    const solidBelow = this.phase === 'solid' ? NEAR_J : -NEAR_J;
    if (enthalpyJ > liquidAbove) return 'liquid';
    return enthalpyJ < solidBelow - this.latentJ ? 'solid' : 'ice';
  }

  #heaterFits(enthalpyJ: number, airC: number, conductance: number): boolean {
    if (this.heater === 'none') return true;
    const { onBelowC = 0 } = this.part.heat ?? {};
    const needed = conductance * (onBelowC - airC);
    const aboveK = this.temperatureC(enthalpyJ) - onBelowC;
    if (this.heater === 'hold') return needed >= -1e-9 && needed <= this.watts + 1e-9;
    return this.heater === 'on' ? aboveK <= NEAR_K : aboveK >= -NEAR_K;
  }
}
