import type { Course } from './course.ts';
import type { System } from './linear-system.ts';

/** Nodes of a network at most: inside, underbelly, underneath, barn. */
export const MOST_NODES = 4;

export const SHORE = 1;
export const GAS = 2;

/**
 * The nodes of one member's zones, stretch by stretch: arrays that are filled anew for every member and grow
 * only when a member has more stretches than any before it.
 */
export class ZoneTrack {
  count = 0;
  hour = new Int32Array(0);
  /** From the air's first hour [s]. */
  startS = new Float64Array(0);
  durationS = new Float64Array(0);
  outsideA = new Float64Array(0);
  outsideB = new Float64Array(0);
  groundA = new Float64Array(0);
  groundB = new Float64Array(0);
  /** Heat of the furnace [J]. */
  furnaceJ = new Float64Array(0);
  /** Supplies that part heaters can draw on: SHORE, GAS. */
  supply = new Uint8Array(0);
  systems: System[] = [];
  /** Node by node: a, b and, mode by mode, p and q. */
  a = new Float64Array(0);
  b = new Float64Array(0);
  p = new Float64Array(0);
  q = new Float64Array(0);
  /** When gas and battery run out [s]; infinite while they last. */
  gasOutS = Infinity;
  /** When the cylinder first gives less than the furnace asks for [s]; infinite while it never does. */
  gasShortS = Infinity;
  batteryOutS = Infinity;

  /** Makes room for one more stretch. */
  grow(): void {
    if (this.count < this.hour.length) return;
    const room = Math.max(64, 2 * this.hour.length);
    this.hour = grown(this.hour, new Int32Array(room));
    this.startS = grown(this.startS, new Float64Array(room));
    this.durationS = grown(this.durationS, new Float64Array(room));
    this.outsideA = grown(this.outsideA, new Float64Array(room));
    this.outsideB = grown(this.outsideB, new Float64Array(room));
    this.groundA = grown(this.groundA, new Float64Array(room));
    this.groundB = grown(this.groundB, new Float64Array(room));
    this.furnaceJ = grown(this.furnaceJ, new Float64Array(room));
    this.supply = grown(this.supply, new Uint8Array(room));
    this.a = grown(this.a, new Float64Array(room * MOST_NODES));
    this.b = grown(this.b, new Float64Array(room * MOST_NODES));
    this.p = grown(this.p, new Float64Array(room * MOST_NODES * MOST_NODES));
    this.q = grown(this.q, new Float64Array(room * MOST_NODES * MOST_NODES));
  }

  /**
   * Adds `weight` of a node's course to `into`, which has the modes of the stretch's system.
   *
   * @param at - stretch · MOST_NODES + row of the node
   */
  addNode(into: Course, at: number, weight: number): void {
    into.a += weight * this.a[at]!;
    into.b += weight * this.b[at]!;
    for (let k = 0; k < into.count; k++) {
      into.p[k]! += weight * this.p[at * MOST_NODES + k]!;
      into.q[k]! += weight * this.q[at * MOST_NODES + k]!;
    }
  }

  /** Empties `into` and gives it the modes of a stretch's system. */
  clear(into: Course, stretch: number): void {
    const { alpha, beta } = this.systems[stretch]!;
    into.setLine(0, 0);
    into.count = alpha.length;
    for (let k = 0; k < alpha.length; k++) {
      into.alpha[k] = alpha[k]!;
      into.beta[k] = beta[k]!;
      into.p[k] = 0;
      into.q[k] = 0;
    }
  }
}

/** A longer array with what the old one holds. */
export function grown<T extends Float64Array | Int32Array | Uint8Array | Int8Array>(old: T, room: T): T {
  room.set(old);
  return room;
}
