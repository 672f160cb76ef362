import { HOUR_S } from '../quantity/instant.ts';
import { decay } from './decay.ts';
import { Edges } from './edges.ts';
import type { HeatGiven } from './heat-law.ts';
import { MOST_NODES, type System } from './linear-system.ts';
import {
  DURATION_S,
  GROUND_A,
  GROUND_B,
  OUTSIDE_A,
  OUTSIDE_B,
  SLOPE,
  STRETCH,
  TENDS,
  WEIGHT,
  type ZoneTrack,
} from './zone-track.ts';

/** The temperatures of a network's nodes, carried from stretch to stretch by the modes of its system. */
export class NodeState {
  /** At the start of the stretch at hand [°C]. */
  readonly temperatureC = new Float64Array(MOST_NODES);
  /** Of the stretch at hand. */
  readonly edges = new Edges();
  /** What `bound` found: at least, at most, and over the hour. */
  readonly over = { lowC: Number.NaN, highC: Number.NaN, kelvinSeconds: Number.NaN };
  /** How far each mode has come at the end of the stretch at hand. */
  readonly #reached = new Float64Array(MOST_NODES);

  /** Puts the nodes where they rest while the edges hold still. */
  rest(system: System, { limitW }: Pick<HeatGiven, 'limitW'>): void {
    const { nodes, perOutside, perGround, perLimit, constant } = system;
    const { outsideC, groundC } = this.edges;
    for (let i = 0; i < nodes; i++)
      this.temperatureC[i] =
        perOutside[i]! * outsideC + perGround[i]! * groundC + perLimit[i]! * limitW + constant[i]!;
  }

  /**
   * Writes the courses of all nodes from where they are into the next stretch of the track. They tend to temperatures
   * that are linear in time: A·slope + ramp = 0, A·tends + force = slope.
   */
  write(system: System, { limitW }: Pick<HeatGiven, 'limitW'>, track: ZoneTrack): void {
    const { nodes, perOutside, perGround, perLimit, constant, inverseA, inverseVectors } = system;
    const { outsideC, outsideSlope, groundC, groundSlope, hour } = this.edges;
    const { temperatureC } = this;
    const { rows, count } = track;
    track.hour[count] = hour;
    track.systems[count] = system;
    const row = count * STRETCH;
    rows[row + OUTSIDE_A] = outsideC;
    rows[row + OUTSIDE_B] = outsideSlope;
    rows[row + GROUND_A] = groundC;
    rows[row + GROUND_B] = groundSlope;
    const slope = row + SLOPE;
    const tends = row + TENDS;
    for (let i = 0; i < nodes; i++)
      rows[slope + i] = perOutside[i]! * outsideSlope + perGround[i]! * groundSlope;
    for (let i = 0; i < nodes; i++) {
      let sum = perOutside[i]! * outsideC + perGround[i]! * groundC + perLimit[i]! * limitW + constant[i]!;
      for (let j = 0; j < nodes; j++) sum += inverseA[i * MOST_NODES + j]! * rows[slope + j]!;
      rows[tends + i] = sum;
    }
    for (let k = 0; k < nodes; k++) {
      let sum = 0;
      for (let j = 0; j < nodes; j++)
        sum += inverseVectors[k * MOST_NODES + j]! * (temperatureC[j]! - rows[tends + j]!);
      rows[row + WEIGHT + k] = sum;
    }
  }

  /** Bounds a node by its every term over a whole hour just written in which no mode turns, and sums it up. */
  bound(
    { nodes, vectors, hourGrowth, hourIntegral }: System,
    { rows, count }: ZoneTrack,
    node: number,
  ): void {
    const { over } = this;
    const row = count * STRETCH;
    const start = rows[row + TENDS + node]!;
    const run = HOUR_S * rows[row + SLOPE + node]!;
    let low = run < 0 ? start + run : start;
    let high = run < 0 ? start : start + run;
    let sum = HOUR_S * (start + run / 2);
    for (let k = 0; k < nodes; k++) {
      const p = rows[row + WEIGHT + k]! * vectors[node * MOST_NODES + k]!;
      const end = p * hourGrowth[k]!;
      low += p < end ? p : end;
      high += p < end ? end : p;
      sum += p * hourIntegral[k]!;
    }
    over.lowC = low;
    over.highC = high;
    over.kelvinSeconds = sum;
  }

  /** Moves the nodes to the end of the stretch that was just written. */
  moveTo(system: System, { rows, count }: ZoneTrack): void {
    const { nodes, vectors } = system;
    const { temperatureC } = this;
    const reached = this.#reached;
    const row = count * STRETCH;
    const t = rows[row + DURATION_S]!;
    if (t !== HOUR_S || system.turns) this.#reach(system, rows, row);
    else for (let k = 0; k < nodes; k++) reached[k] = rows[row + WEIGHT + k]! * system.hourGrowth[k]!;
    for (let i = 0; i < nodes; i++) {
      let y = rows[row + TENDS + i]! + t * rows[row + SLOPE + i]!;
      for (let k = 0; k < nodes; k++) y += vectors[i * MOST_NODES + k]! * reached[k]!;
      temperatureC[i] = y;
    }
  }

  #reach({ nodes, alpha, beta }: System, rows: Float64Array, row: number): void {
    const reached = this.#reached;
    const t = rows[row + DURATION_S]!;
    for (let k = 0; k < nodes; k++) {
      const growth = decay(alpha[k]! * t);
      const w = rows[row + WEIGHT + k]!;
      reached[k] = w * growth;
      const turn = beta[k]! * t;
      if (turn === 0) continue;
      const w2 = rows[row + WEIGHT + k + 1]!;
      const cos = growth * Math.cos(turn);
      const sin = growth * Math.sin(turn);
      reached[k] = w * cos + w2 * sin;
      k++;
      reached[k] = w2 * cos - w * sin;
    }
  }
}
