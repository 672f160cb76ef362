import type { Course } from './course.ts';
import { MOST_NODES, type System } from './linear-system.ts';

export const SHORE = 1;
export const GAS = 2;

/**
 * Where the numbers of a stretch stand in its row: from the air's first hour, length [s], the edges as a + b·t, heat of
 * the furnace [J]; by node, what it tends to and the slope of that; by mode, its weight.
 */
export const START_S = 0;
export const DURATION_S = 1;
export const OUTSIDE_A = 2;
export const OUTSIDE_B = 3;
export const GROUND_A = 4;
export const GROUND_B = 5;
export const FURNACE_J = 6;
export const TENDS = 7;
export const SLOPE = TENDS + MOST_NODES;
export const WEIGHT = SLOPE + MOST_NODES;
export const STRETCH = WEIGHT + MOST_NODES;

/**
 * The nodes of one member's zones, stretch by stretch: arrays that are filled anew for every member and grow only when a
 * member has more stretches than any before it. What belongs to a stretch stands in one row.
 */
export class ZoneTrack {
  count = 0;
  /** Row by stretch. */
  rows = new Float64Array(0);
  hour = new Int32Array(0);
  /** Supplies that part heaters can draw on: SHORE, GAS. */
  supply = new Uint8Array(0);
  systems: System[] = [];
  /** So many of the first stretches are the same for the next member. */
  past = 0;
  /** How many such pasts it has held: what was made of another one is of no use. */
  pasts = 0;
  /** When gas and battery run out [s]; infinite while they last. */
  gasOutS = Infinity;
  /** When the cylinder first gives less than the furnace asks for [s]; infinite while it never does. */
  gasShortS = Infinity;
  batteryOutS = Infinity;

  /** Makes room for one more stretch. */
  grow(): void {
    if (this.count < this.hour.length) return;
    const room = Math.max(64, 2 * this.hour.length);
    this.rows = grown(this.rows, new Float64Array(room * STRETCH));
    this.hour = grown(this.hour, new Int32Array(room));
    this.supply = grown(this.supply, new Uint8Array(room));
  }

  startS(stretch: number): number {
    return this.rows[stretch * STRETCH + START_S]!;
  }

  durationS(stretch: number): number {
    return this.rows[stretch * STRETCH + DURATION_S]!;
  }

  furnaceJ(stretch: number): number {
    return this.rows[stretch * STRETCH + FURNACE_J]!;
  }

  /** Class of the wind in a stretch. */
  wind(stretch: number): number {
    return this.systems[stretch]!.windClass;
  }

  /** Empties `into` and gives it the modes of a stretch's system. */
  clear(into: Course, stretch: number): void {
    const { alpha, beta, nodes } = this.systems[stretch]!;
    into.setLine(0, 0);
    into.count = nodes;
    for (let k = 0; k < nodes; k++) {
      into.alpha[k] = alpha[k]!;
      into.beta[k] = beta[k]!;
      into.p[k] = 0;
      into.q[k] = 0;
    }
  }

  /** Adds `weight` of a node's course in a stretch to `into`, which was cleared for it. */
  addNode(into: Course, stretch: number, { node, weight }: Share): void {
    const { rows } = this;
    const { vectors, beta } = this.systems[stretch]!;
    const row = stretch * STRETCH;
    into.a += weight * rows[row + TENDS + node]!;
    into.b += weight * rows[row + SLOPE + node]!;
    const from = node * MOST_NODES;
    for (let k = 0; k < into.count; k++) {
      const v = weight * vectors[from + k]!;
      const w = rows[row + WEIGHT + k]!;
      if (beta[k] === 0) {
        into.p[k]! += v * w;
        continue;
      }
      // Columns k and k + 1 are the real and imaginary part of the vector of α + iβ; together they turn.
      const v2 = weight * vectors[from + k + 1]!;
      const w2 = rows[row + WEIGHT + k + 1]!;
      into.p[k]! += v * w + v2 * w2;
      into.q[k]! += v * w2 - v2 * w;
      k++;
    }
  }
}

/** So much of a node, by its row in the network. */
export interface Share {
  readonly node: number;
  readonly weight: number;
}

/** A longer array with what the old one holds. */
export function grown<T extends Float64Array | Int32Array | Uint8Array | Int8Array>(old: T, room: T): T {
  room.set(old);
  return room;
}
