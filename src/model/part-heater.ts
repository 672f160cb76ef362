/** What a part's own heater is worth to it, on its supply or on what a hot tank has stored. */
import { MARKS, SUPPLY, WIND, type AirPieces } from './air-pieces.ts';
import { MOST_WIND_CLASSES } from './film.ts';
import { BEFORE, LATELY } from './lately.ts';
import { wattsOf } from './part-levels.ts';
import type { Part } from './unit.ts';
import { GAS, SHORE } from './zone-track.ts';

export class PartHeater {
  readonly onBelowC: number;
  readonly #supply: number;
  /** What it gives [W], by how long its supply has been gone; what that is worth [K], by class of wind. */
  readonly #watts: readonly number[];
  readonly #worthK: readonly Float64Array[];

  constructor(part: Part) {
    this.onBelowC = part.heat?.onBelowC ?? 0;
    this.#supply = part.heat?.needs === 'shore' ? SHORE : GAS;
    this.#watts = wattsOf(part);
    this.#worthK = this.#watts.map(() => new Float64Array(MOST_WIND_CLASSES));
  }

  /** For a class of wind, at which the part has this conductance [W/K]. */
  prepare(wind: number, conductance: number): void {
    for (let step = 0; step < this.#watts.length; step++)
      this.#worthK[step]![wind] = this.#watts[step]! / conductance;
  }

  /** In a piece of air [K]; 0: it has been without its supply for too long. */
  worthK({ marks }: AirPieces, i: number): number {
    const supply = marks[i * MARKS + SUPPLY]!;
    const wind = marks[i * MARKS + WIND]!;
    if ((supply & this.#supply) !== 0) return this.#worthK[0]![wind]!;
    if ((supply & (this.#supply << LATELY)) !== 0) return this.#worthK[1]?.[wind] ?? 0;
    if ((supply & (this.#supply << BEFORE)) !== 0) return this.#worthK[2]?.[wind] ?? 0;
    return 0;
  }
}
