import { HOUR_S } from '../quantity/instant.ts';
import { Edges } from './edges.ts';
import { UNDERBELLY_CAP_C, type HeatGiven } from './heat-law.ts';
import type { System } from './linear-system.ts';
import { MOST_NODES, type ZoneTrack } from './zone-track.ts';

/** The temperatures of a network's nodes, carried from stretch to stretch by the modes of its system. */
export class NodeState {
  /** At the start of the stretch at hand [°C]. */
  readonly temperatureC = new Float64Array(MOST_NODES);
  /** Of the stretch at hand. */
  readonly edges = new Edges();
  readonly #nodes: number;
  /** Of the system at hand: temperatures it tends to, their slope, the modes' weights. */
  readonly #tends = new Float64Array(MOST_NODES);
  readonly #slope = new Float64Array(MOST_NODES);
  readonly #weight = new Float64Array(MOST_NODES);
  /** How far each mode has come at the end of the stretch at hand. */
  readonly #growthCos = new Float64Array(MOST_NODES);
  readonly #growthSin = new Float64Array(MOST_NODES);

  constructor(nodes: number) {
    this.#nodes = nodes;
  }

  /** Puts the nodes where they rest while the edges hold still. */
  rest(system: System, given: Pick<HeatGiven, 'limitW'>): void {
    this.edges.outsideSlope = 0;
    this.edges.groundSlope = 0;
    this.tend(system, given);
    for (let i = 0; i < system.rows.length; i++) this.temperatureC[system.rows[i]!] = this.#tends[i]!;
    if (system.cappedRow >= 0) this.temperatureC[system.cappedRow] = UNDERBELLY_CAP_C;
  }

  /** Temperatures that the system tends to, linear in time: A·slope + ramp = 0, A·tends + force = slope. */
  tend(system: System, { limitW }: Pick<HeatGiven, 'limitW'>): void {
    const { perOutside, perGround, perLimit, constant, inverseA } = system;
    const n = perOutside.length;
    const { outsideC, outsideSlope, groundC, groundSlope } = this.edges;
    const slope = this.#slope;
    const tends = this.#tends;
    for (let i = 0; i < n; i++) slope[i] = perOutside[i]! * outsideSlope + perGround[i]! * groundSlope;
    for (let i = 0; i < n; i++) {
      let sum = perOutside[i]! * outsideC + perGround[i]! * groundC + perLimit[i]! * limitW + constant[i]!;
      for (let j = 0; j < n; j++) sum += inverseA[i * n + j]! * slope[j]!;
      tends[i] = sum;
    }
  }

  /** Writes the courses of all nodes from where they are into the next stretch of the track. */
  write(system: System, track: ZoneTrack): void {
    const { rows, beta, vectors, inverseVectors, cappedRow } = system;
    const n = rows.length;
    const i = track.count;
    track.hour[i] = this.edges.hour;
    track.outsideA[i] = this.edges.outsideC;
    track.outsideB[i] = this.edges.outsideSlope;
    track.groundA[i] = this.edges.groundC;
    track.groundB[i] = this.edges.groundSlope;
    track.systems[i] = system;
    const temperatureC = this.temperatureC;
    const tends = this.#tends;
    const weight = this.#weight;
    const { a, b, p } = track;
    let turns = false;
    for (let k = 0; k < n; k++) {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += inverseVectors[k * n + j]! * (temperatureC[rows[j]!]! - tends[j]!);
      weight[k] = sum;
      if (beta[k] !== 0) turns = true;
    }
    for (let j = 0; j < n; j++) {
      const at = i * MOST_NODES + rows[j]!;
      a[at] = tends[j]!;
      b[at] = this.#slope[j]!;
      for (let k = 0; k < n; k++) p[at * MOST_NODES + k] = vectors[j * n + k]! * weight[k]!;
    }
    if (turns) this.#writeTurning(system, track);
    if (cappedRow < 0) return;
    const at = i * MOST_NODES + cappedRow;
    track.a[at] = UNDERBELLY_CAP_C;
    track.b[at] = 0;
    track.p.fill(0, at * MOST_NODES, (at + 1) * MOST_NODES);
    track.q.fill(0, at * MOST_NODES, (at + 1) * MOST_NODES);
  }

  /** Columns k and k+1 are the real and imaginary part of the vector of α + iβ; together they turn. */
  #writeTurning({ rows, beta, vectors }: System, { count, p, q }: ZoneTrack): void {
    const n = rows.length;
    for (let j = 0; j < n; j++) {
      const at = (count * MOST_NODES + rows[j]!) * MOST_NODES;
      for (let k = 0; k < n; k++) {
        if (beta[k] === 0) continue;
        const [v, v2] = [vectors[j * n + k]!, vectors[j * n + k + 1]!];
        const [w, w2] = [this.#weight[k]!, this.#weight[k + 1]!];
        p[at + k] = v * w + v2 * w2;
        q[at + k] = v * w2 - v2 * w;
        k++;
        p[at + k] = 0;
        q[at + k] = 0;
      }
    }
  }

  /** Moves the nodes to the end of the stretch that was just written. */
  moveTo(system: System, track: ZoneTrack): void {
    const { alpha, beta, hourCos, hourSin } = system;
    const { a, b, p, q, count } = track;
    const t = track.durationS[count]!;
    const n = alpha.length;
    const temperatureC = this.temperatureC;
    const growthCos = this.#growthCos;
    const growthSin = this.#growthSin;
    for (let k = 0; k < n; k++) {
      const turn = beta[k]! * t;
      const growth = t === HOUR_S ? Number.NaN : Math.exp(alpha[k]! * t);
      growthCos[k] = t === HOUR_S ? hourCos[k]! : turn === 0 ? growth : growth * Math.cos(turn);
      growthSin[k] = t === HOUR_S ? hourSin[k]! : turn === 0 ? 0 : growth * Math.sin(turn);
    }
    for (let row = 0; row < this.#nodes; row++) {
      const at = count * MOST_NODES + row;
      let y = a[at]! + t * b[at]!;
      for (let k = 0; k < n; k++) {
        const mode = at * MOST_NODES + k;
        y += p[mode]! * growthCos[k]!;
        if (beta[k] !== 0) y += q[mode]! * growthSin[k]!;
      }
      temperatureC[row] = y;
    }
  }
}
