/**
 * What heat lives on: gas in cylinders and charge in a battery. Each runs out at an instant of its own, and the
 * cold slows the cylinder down before.
 */
import { HOUR_S } from '../quantity/instant.ts';
import type { Battery, Gas, Heat } from './unit.ts';

/** Higher heating value of propane [J/kg]: 21,600 BTU/lb. From memory, as gas tables give it. */
const PROPANE_J_PER_KG = 50.2e6;
/** Heat given over heat burned: furnaces are rated by input, and give three quarters. Common practice. */
const FURNACE_EFFICIENCY = 0.75;
/** Heat into the unit per gas burned [J/kg]. */
export const GIVEN_J_PER_KG = PROPANE_J_PER_KG * FURNACE_EFFICIENCY;

const W_PER_BTU_H = 0.293_071;
/**
 * The container rule: heat that the gas boiling off a cylinder carries is D·L·K, with its diameter and length in
 * inches and K by how full it is, at 0 °F [BTU/h]; in proportion to T + 20 °F. Found, second-hand; uncertain by
 * a factor of 2. A cylinder for 20 lb of gas is taken as 12 in across and 12 in long.
 */
const BOIL_OFF: readonly (readonly [fill: number, factor: number])[] = [
  [0, 0],
  [0.1, 45],
  [0.2, 60],
  [0.3, 70],
  [0.4, 80],
  [0.5, 90],
  [0.6, 100],
];
const CYLINDER = { kg: 9.07, diameterIn: 12, lengthIn: 12 } as const;

/**
 * Most heat a furnace can give on what boils off [W]. As long as there is more than one cylinder's gas, a full one
 * gives: a regulator for two goes over to the next when the one in use no longer keeps up.
 */
export function boilOffW({ cylinderKg }: Gas, leftKg: number, outsideC: number): number {
  if (leftKg <= 0) return 0;
  const fill = Math.min(1, leftKg / cylinderKg);
  const lengthIn = (CYLINDER.lengthIn * cylinderKg) / CYLINDER.kg;
  const outsideF = 32 + 1.8 * outsideC;
  const cold = Math.max(0, (outsideF + 20) / 20);
  const burned = CYLINDER.diameterIn * lengthIn * factorAt(fill) * cold * W_PER_BTU_H;
  return FURNACE_EFFICIENCY * burned;
}

function factorAt(fill: number): number {
  for (let i = 1; i < BOIL_OFF.length; i++) {
    const [f0, k0] = BOIL_OFF[i - 1] ?? [0, 0];
    const [f1, k1] = BOIL_OFF[i] ?? [0, 0];
    if (fill <= f1) return k0 + ((k1 - k0) * (fill - f0)) / (f1 - f0);
  }
  return BOIL_OFF.at(-1)?.[1] ?? 0;
}

const WARM_BATTERY_C = 25;
const COLD_BATTERY_C = -15;

/** Share of the usable charge that a battery gives at a temperature: linear from all at 25 °C to its cold share. */
function chargeShare({ shareAtMinus15 }: Battery, batteryC: number): number {
  const cold = Math.min(1, Math.max(0, (WARM_BATTERY_C - batteryC) / (WARM_BATTERY_C - COLD_BATTERY_C)));
  return 1 - cold * (1 - shareAtMinus15);
}

/** Gas and charge through one member's hours. Filled anew for each. */
export class Supply {
  /** Heat still in the gas [J]; infinite when gas is taken to last or somebody changes cylinders. */
  gasJ = Infinity;
  /** Share of the battery's charge still there. */
  charge = 1;
  /** In seconds from the air's first hour; infinite while they last. */
  gasOutS = Infinity;
  batteryOutS = Infinity;
  /** The gas boils off too slowly for the furnace: it runs all the time and gives less, its blower at full current. */
  short = false;
  #shore = true;
  /** Share of the charge that the blower takes by heat given and in a second, and all else in a second. */
  readonly #draw = { perJoule: 0, blowing: 0, perSecond: 0 };

  start(heat: Heat | null): void {
    const gas = heat?.gas;
    this.gasJ = gas === undefined || gas.refilled ? Infinity : gas.kg * GIVEN_J_PER_KG;
    this.charge = 1;
    this.#shore = true;
    this.short = false;
    this.gasOutS = Infinity;
    this.batteryOutS = Infinity;
  }

  /** Stands where another does. */
  become(other: Supply): void {
    this.gasJ = other.gasJ;
    this.charge = other.charge;
    this.gasOutS = other.gasOutS;
    this.batteryOutS = other.batteryOutS;
    this.short = other.short;
    this.#shore = other.#shore;
    this.#draw.perJoule = other.#draw.perJoule;
    this.#draw.blowing = other.#draw.blowing;
    this.#draw.perSecond = other.#draw.perSecond;
  }

  /** The furnace has stopped for want of gas or charge; on shore power a flat battery is no hindrance. */
  get out(): boolean {
    return this.gasOutS < Infinity || (this.batteryOutS < Infinity && !this.#shore);
  }

  /** Most the furnace can give in an hour that is so cold outside [W]. */
  limitW({ gas, capacityW }: Heat, outsideC: number): number {
    if (this.out || (this.charge <= 0 && !this.#shore)) return 0;
    if (gas === undefined) return capacityW;
    const leftKg = gas.refilled ? gas.kg : this.gasJ / GIVEN_J_PER_KG;
    return Math.min(capacityW, boilOffW(gas, leftKg, outsideC));
  }

  /** Sets what an hour so cold outside draws from the battery; nothing on shore power. */
  drawFrom(heat: Heat, shore: boolean, outsideC: number): void {
    const { battery, capacityW } = heat;
    this.#shore = shore;
    if (shore || battery === undefined) {
      this.#draw.perJoule = 0;
      this.#draw.blowing = 0;
      this.#draw.perSecond = 0;
      return;
    }
    const coulombs = battery.usableAh * HOUR_S * chargeShare(battery, outsideC);
    if (coulombs <= 0) this.charge = 0;
    this.#draw.perJoule = coulombs > 0 && capacityW > 0 ? battery.blowerA / capacityW / coulombs : 0;
    this.#draw.blowing = this.#draw.perJoule * capacityW;
    this.#draw.perSecond = coulombs > 0 ? battery.standbyA / coulombs : 0;
  }

  /** Whether what runs the furnace is not used up within `t` more seconds and so much heat. What is out, is out. */
  lasts(heatJ: number, t: number): boolean {
    if (this.out) return true;
    return this.gasJ - heatJ >= 0 && (this.#shore || this.#chargeLeft(heatJ, t) >= 0);
  }

  #chargeLeft(heatJ: number, t: number): number {
    const { perJoule, blowing, perSecond } = this.#draw;
    return this.charge - (this.short ? t * blowing : heatJ * perJoule) - t * perSecond;
  }

  /** Takes what a stretch that ends at `endS` used. */
  use(heatJ: number, t: number, endS: number): void {
    this.gasJ -= heatJ;
    this.charge = this.#chargeLeft(heatJ, t);
    if (this.gasJ <= SMALL_J) this.gasOutS = Math.min(this.gasOutS, endS);
    if (this.charge <= SMALL_SHARE) this.batteryOutS = Math.min(this.batteryOutS, endS);
  }
}

/** Less than these is nothing: a furnace's millisecond. */
const SMALL_J = 1;
const SMALL_SHARE = 1e-10;
