import { GAS, SHORE } from './zone-track.ts';

/** A hot tank gives so long as much, and then as long again less, after its supply has stopped [s]. */
const STEP_S = 6 * 3600;
/** Marks of a supply that stopped within the last step, and within the one before. */
export const LATELY = 2;
export const BEFORE = 4;

const SUPPLIES = [SHORE, GAS] as const;
const ROUNDING_S = 1e-6;

/** When supplies were last there, for parts that live on what was stored while they were. */
export class Lately {
  readonly #lastS = new Float64Array(SUPPLIES.length).fill(-Infinity);

  start(): void {
    this.#lastS.fill(-Infinity);
  }

  /** Stands where another does. */
  become(other: Lately): void {
    this.#lastS.set(other.#lastS);
  }

  /** The supplies of a stretch that begins at `fromS`, with marks for those that were there lately. */
  marks(supply: number, fromS: number): number {
    let marks = supply;
    for (const [k, bit] of SUPPLIES.entries()) {
      if ((supply & bit) !== 0) continue;
      const agoS = fromS - (this.#lastS[k] ?? -Infinity) + ROUNDING_S;
      if (agoS < STEP_S) marks |= bit << LATELY;
      else if (agoS < 2 * STEP_S) marks |= bit << BEFORE;
    }
    return marks;
  }

  use(supply: number, endS: number): void {
    for (const [k, bit] of SUPPLIES.entries()) if ((supply & bit) !== 0) this.#lastS[k] = endS;
  }

  /** When the next step of what is gone ends, after `fromS`; infinite where none does. */
  nextEndS(fromS: number): number {
    let next = Infinity;
    for (const lastS of this.#lastS) {
      for (const endS of [lastS + STEP_S, lastS + 2 * STEP_S]) if (endS > fromS) next = Math.min(next, endS);
    }
    return next;
  }
}
