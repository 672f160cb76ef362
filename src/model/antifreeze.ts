/** Antifreeze: where it freezes, where it bursts what holds it, and what is left of it after mixing with water. */
import { ModelError } from '../errors.ts';

/** `ethanol`: alcohol-based fluid. Both are for potable systems; automotive antifreeze is not. */
export const FLUIDS = ['glycol', 'ethanol'] as const;
export type Fluid = (typeof FLUIDS)[number];

type Table = readonly (readonly [percent: number, celsius: number])[];

/**
 * Propylene glycol in water, percent by volume to freezing point [°C]. Lange's Handbook of Chemistry, 15th ed.,
 * Table 5.13. The table ends at 50 %; up to 60 % its last value is taken, which is warmer than the truth.
 */
const GLYCOL_FREEZING: Table = [
  [0, 0],
  [5, -1.1],
  [10, -2.2],
  [15, -3.9],
  [20, -6.7],
  [25, -8.9],
  [30, -12.8],
  [35, -16.1],
  [40, -20.6],
  [45, -26.7],
  [50, -33.3],
  [60, -33.3],
];

/**
 * Ethanol in water, percent by volume to freezing point [°C]. The same table of Lange's; its rows above 46.3 % from
 * memory.
 */
const ETHANOL_FREEZING: Table = [
  [0, 0],
  [3.13, -1],
  [6, -2],
  [8.47, -3],
  [14, -5],
  [17, -6.1],
  [20.2, -7.5],
  [21.5, -8.7],
  [23.1, -9.4],
  [24.8, -10.6],
  [27, -12.2],
  [29.5, -14],
  [32.4, -16],
  [36.1, -18.9],
  [40.5, -23.6],
  [46.3, -28.7],
  [53.8, -33.9],
  [63.6, -41],
];

/**
 * Propylene glycol, percent by volume to the temperature down to which its slush bursts nothing [°C]: makers' guides
 * (memory: 12 % to 20 °F, 20 % to 10, 24 % to 0, 28 % to −10, 30 % to −20, 33 % to −30, 35 % to −40, −50 and −60). From
 * 35 % on slush no longer expands as it freezes (found: a fluid maker's article on freezing points). The step beyond
 * −40 is taken at 36 %, the cautious side of a reading error; −51.1 °C is where the guides end, and nothing colder is
 * claimed of any strength.
 */
const GLYCOL_BURST: Table = [
  [0, 0],
  [12, -6.7],
  [20, -12.2],
  [24, -17.8],
  [28, -23.3],
  [30, -28.9],
  [33, -34.4],
  [35, -40],
  [36, -51.1],
  [60, -51.1],
];

/** Above it the curve turns, and no fluid for these systems is that strong in use. */
export const STRONGEST_PERCENT = 60;

/** Anything weaker is water with a little antifreeze in it. */
export const WEAKEST_PERCENT = 5;

/** Undiluted ready-to-use fluid: 28 % glycol. Common practice; its label gives the burst rating. */
export const READY_TO_USE_PERCENT = 28;

/**
 * First ice in a fluid of so many percent by volume [°C], linear between the table's rows.
 *
 * @throws ModelError outside 0 to 60 %.
 */
export function freezingPointC(fluid: Fluid, percent: number): number {
  return valueOf(fluid === 'glycol' ? GLYCOL_FREEZING : ETHANOL_FREEZING, percent);
}

/**
 * Below this the slush may burst what holds it [°C]. No table is known for ethanol: its freezing point is taken.
 *
 * @throws ModelError outside 0 to 60 %.
 */
export function burstPointC(percent: number, fluid: Fluid = 'glycol'): number {
  return fluid === 'glycol' ? valueOf(GLYCOL_BURST, percent) : freezingPointC(fluid, percent);
}

/** What people must know before they trust a number of this fluid, in full sentences. */
export function fluidCautions(fluid: Fluid): readonly string[] {
  return fluid === 'glycol' ? [] : ETHANOL_CAUTIONS;
}

const ETHANOL_CAUTIONS = [
  'A glycol refractometer reads alcohol-based fluid wrongly: go by the fluid’s own tester or by how much went in.',
  'Alcohol-based fluid is flammable and hard on seals: keep flames and sparks away until it is flushed out.',
] as const;

export interface Mixing {
  /** Of what is poured in. */
  readonly fluidPercent: number;
  readonly addedLitres: number;
  /** What the circuit keeps when the fluid comes: pockets, traps, low spots. */
  readonly leftLitres: number;
  /** Of what is left; absent: water. */
  readonly leftPercent?: number;
}

/**
 * Percent by volume after the fluid has met what was left, all of both staying in and fully mixed. Fluid that runs
 * out at a tap took water with it: then this is the weaker, cautious end. Mixing shrinks the volume by under 1 %,
 * which is neglected.
 *
 * @throws ModelError for amounts or percents that cannot be.
 */
export function mixedPercent({ fluidPercent, addedLitres, leftLitres, leftPercent = 0 }: Mixing): number {
  checkPercent(fluidPercent);
  checkPercent(leftPercent);
  if (!(addedLitres >= 0 && leftLitres >= 0 && addedLitres + leftLitres > 0)) {
    throw new ModelError(
      `Mixing needs amounts of 0 litres or more, not both 0, found ${addedLitres} added and ${leftLitres} left.`,
    );
  }
  return (fluidPercent * addedLitres + leftPercent * leftLitres) / (addedLitres + leftLitres);
}

/** What a target temperature is held against. */
export type Limit = 'freezing' | 'burst';

export interface Target {
  readonly fluid?: Fluid;
  readonly limit: Limit;
  readonly targetC: number;
}

/**
 * Least percent by volume that is safe down to the target; null if the tables end above it.
 *
 * @throws ModelError for a target that is no number.
 */
export function percentFor({ fluid = 'glycol', limit, targetC }: Target): number | null {
  if (Number.isNaN(targetC)) throw new ModelError('A target temperature must be a number.');
  if (targetC >= 0) return 0;
  const frozen = fluid === 'glycol' ? GLYCOL_FREEZING : ETHANOL_FREEZING;
  const table = limit === 'burst' && fluid === 'glycol' ? GLYCOL_BURST : frozen;
  const upper = table.findIndex(([, celsius]) => celsius <= targetC);
  const [p1, t1] = table[upper] ?? [Number.NaN, Number.NaN];
  const [p0, t0] = table[upper - 1] ?? [Number.NaN, Number.NaN];
  const percent = p0 + ((p1 - p0) * (targetC - t0)) / (t1 - t0);
  return percent <= STRONGEST_PERCENT ? percent : null;
}

export interface Need extends Omit<Mixing, 'addedLitres'>, Target {}

/**
 * Litres of fluid that bring what is left in a circuit to the target; null if this fluid cannot, however much.
 *
 * @throws ModelError for percents that cannot be.
 */
export function litresNeeded(need: Need): number | null {
  const { fluidPercent, leftLitres, leftPercent = 0 } = need;
  checkPercent(fluidPercent);
  checkPercent(leftPercent);
  const wanted = percentFor(need);
  if (wanted === null) return null;
  if (leftPercent >= wanted || leftLitres === 0) return fluidPercent >= wanted ? 0 : null;
  return fluidPercent > wanted ? (leftLitres * (wanted - leftPercent)) / (fluidPercent - wanted) : null;
}

function valueOf(table: Table, percent: number): number {
  checkPercent(percent);
  const upper = Math.max(
    1,
    table.findIndex(([p]) => p >= percent),
  );
  const [p1, t1] = table[upper] ?? [Number.NaN, Number.NaN];
  const [p0, t0] = table[upper - 1] ?? [Number.NaN, Number.NaN];
  return t0 + ((t1 - t0) * (percent - p0)) / (p1 - p0);
}

function checkPercent(percent: number): void {
  if (percent >= 0 && percent <= STRONGEST_PERCENT) return;
  throw new ModelError(
    `Antifreeze of ${percent} % is outside what the tables cover; give the percent by volume, 0 to ${STRONGEST_PERCENT}.`,
  );
}
