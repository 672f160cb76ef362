import { HOUR_S } from '../quantity/instant.ts';
import { ALPHA, GROWTH, MARKS, MODES, RATES, SYSTEM, WIND, type AirPieces } from './air-pieces.ts';
import { MOST_MODES } from './course.ts';
import { MOST_WIND_CLASSES } from './film.ts';
import { grown } from './zone-track.ts';

/** Numbers of a `Follower` by system: decay, share of the air's start, share of its slope, share of each mode. */
export const ROW = 3 + MOST_MODES;

/**
 * How a body that follows its air comes through a whole hour: T₁ = D·T₀ + (1 − D)·a + B·b + Σ C·p, with numbers that
 * depend only on the body, its zone and the hour's system, each computed when first met.
 */
export class Follower {
  /** By class of wind: rate [1/s]; 0: not met yet. */
  readonly rate = new Float64Array(MOST_WIND_CLASSES);
  /** By system, then number. The share of the air's start is 0 where the system was not met yet. */
  row = new Float64Array(0);

  makeRoom(systems: number): void {
    if (this.row.length < systems * ROW) this.row = grown(this.row, new Float64Array(2 * systems * ROW));
  }

  /** Computes the numbers for the system of a piece. */
  meet(air: AirPieces, i: number): void {
    const { marks, rates } = air;
    const { row } = this;
    const rate = air.rateIn(i, this.rate[marks[i * MARKS + WIND]!]!);
    const system = marks[i * MARKS + SYSTEM]!;
    const first = system * ROW;
    const decayed = Math.exp(-rate * HOUR_S);
    row[first] = decayed;
    row[first + 1] = -Math.expm1(-rate * HOUR_S);
    row[first + 2] = HOUR_S - row[first + 1]! / rate;
    for (let k = 0; k < marks[i * MARKS + MODES]!; k++) {
      const of = system * RATES + k;
      row[first + 3 + k] = (rate / (rate + rates[of + ALPHA]!)) * (rates[of + GROWTH]! - decayed);
    }
  }
}
