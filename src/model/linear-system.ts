/**
 * The linear system of a network in one regime at one wind, solved by its modes:
 *
 *     dT/dt = A·T + K_outside·T_outside + K_ground·T_ground + k
 *
 * A is not symmetric while the furnace acts in its band, so its eigenvalues may be complex.
 */
import { EigenvalueDecomposition, LuDecomposition, Matrix } from 'ml-matrix';
import { linearCourse, type Course, type Mode } from './course.ts';
import { BAND_K, UNDERBELLY_CAP_C, pathConductance, type Edges, type Regime } from './regime.ts';
import type { Heat, Network, NodeId } from './unit.ts';

export interface LinearSystem {
  /** The nodes whose temperatures are unknowns; a capped underbelly is not. */
  readonly nodes: readonly NodeId[];
  readonly a: Matrix;
  readonly outside: readonly number[];
  readonly ground: readonly number[];
  readonly constant: readonly number[];
}

export interface Modes {
  readonly system: LinearSystem;
  readonly alphas: readonly number[];
  readonly betas: readonly number[];
  readonly vectors: Matrix;
  readonly inverseVectors: Matrix;
  readonly inverseA: Matrix;
}

export interface Circumstances {
  readonly network: Network;
  readonly heat: Heat | null;
  readonly regime: Regime;
  readonly windSpeedMps: number;
}

export function assemble(of: Circumstances): LinearSystem {
  const { network, regime } = of;
  const nodes = network.nodes.map((n) => n.id).filter((id) => !(regime.capped && id === 'underbelly'));
  const rows = new Rows(nodes, network);
  for (const path of network.paths) {
    const conductance = pathConductance(path, of.windSpeedMps);
    const [one, other] = path.between;
    // Held at its cap the underbelly takes from the duct what it loses, the rest of the share stays inside.
    if (regime.capped && path.between.includes('underbelly')) {
      const end = one === 'underbelly' ? other : one;
      if (end === 'inside') continue;
      rows.add(end, conductance, 'cap');
      rows.draw('inside', conductance, end);
      continue;
    }
    rows.add(one, conductance, other);
    rows.add(other, conductance, one);
  }
  if (of.heat !== null) addFurnace(rows, of.heat, regime);
  return rows.finish();
}

function addFurnace(rows: Rows, heat: Heat, regime: Regime): void {
  if (regime.firing === 'off') return;
  const share = rows.has('underbelly') ? heat.ductedShare : 0;
  const lost = rows.has('underbelly') || regime.capped ? 0 : heat.ductedShare;
  for (const [id, part] of [
    ['inside', 1 - share - lost],
    ['underbelly', share],
  ] as const) {
    if (part === 0 || !rows.has(id)) continue;
    if (regime.firing === 'full') rows.gain(id, part * heat.capacityW);
    else {
      const perKelvin = (part * heat.capacityW) / BAND_K;
      rows.gain(id, perKelvin * (heat.setC + BAND_K / 2));
      rows.follow(id, -perKelvin, 'inside');
    }
  }
}

type End = NodeId | 'outside' | 'ground' | 'cap';

/** Gathers the coefficients of the system, row by node. */
class Rows {
  readonly #nodes: readonly NodeId[];
  readonly #capacity: ReadonlyMap<NodeId, number>;
  readonly #a: Matrix;
  readonly #edges: { readonly outside: number[]; readonly ground: number[]; readonly constant: number[] };

  constructor(nodes: readonly NodeId[], network: Network) {
    this.#nodes = nodes;
    this.#capacity = new Map(network.nodes.map((n) => [n.id, n.capacityJPerK]));
    this.#a = Matrix.zeros(nodes.length, nodes.length);
    const zeros = (): number[] => nodes.map(() => 0);
    this.#edges = { outside: zeros(), ground: zeros(), constant: zeros() };
  }

  has(id: NodeId): boolean {
    return this.#nodes.includes(id);
  }

  /** A path from `node` to `end`: node gains conductance·(T_end − T_node). Ends that are edges gain nothing. */
  add(node: End, conductance: number, end: End): void {
    this.#term(node, conductance, end);
    this.#term(node, -conductance, node);
  }

  /** `node` gives up conductance·(cap − T_end). */
  draw(node: NodeId, conductance: number, end: End): void {
    this.#term(node, -conductance, 'cap');
    this.#term(node, conductance, end);
  }

  gain(node: NodeId, watts: number): void {
    this.#constant(node, watts);
  }

  follow(node: NodeId, wattsPerKelvin: number, leader: NodeId): void {
    this.#term(node, wattsPerKelvin, leader);
  }

  finish(): LinearSystem {
    return { nodes: this.#nodes, a: this.#a, ...this.#edges };
  }

  #term(node: End, wattsPerKelvin: number, end: End): void {
    const row = this.#row(node);
    if (row < 0) return;
    const rate = wattsPerKelvin / this.#capacityOf(node as NodeId);
    if (end === 'cap') return this.#constant(node as NodeId, wattsPerKelvin * UNDERBELLY_CAP_C);
    if (end === 'outside' || end === 'ground') {
      this.#edges[end][row] = (this.#edges[end][row] ?? 0) + rate;
      return;
    }
    const column = this.#row(end);
    this.#a.set(row, column, this.#a.get(row, column) + rate);
  }

  #constant(node: NodeId, watts: number): void {
    const row = this.#row(node);
    this.#edges.constant[row] = (this.#edges.constant[row] ?? 0) + watts / this.#capacityOf(node);
  }

  #row(id: End): number {
    return this.#nodes.indexOf(id as NodeId);
  }

  #capacityOf(id: NodeId): number {
    return this.#capacity.get(id) ?? Number.NaN;
  }
}

export function decompose(system: LinearSystem): Modes {
  const eigen = new EigenvalueDecomposition(system.a);
  const vectors = eigen.eigenvectorMatrix;
  const identity = Matrix.eye(system.nodes.length);
  return {
    system,
    alphas: eigen.realEigenvalues,
    betas: eigen.imaginaryEigenvalues,
    vectors,
    inverseVectors: new LuDecomposition(vectors).solve(identity),
    inverseA: new LuDecomposition(system.a).solve(identity),
  };
}

/** Temperatures at rest for edges that hold still. */
export function atRest(modes: Modes, outsideC: number, groundC: number): number[] {
  const { system } = modes;
  const drive = system.nodes.map(
    (_, i) => at(system.outside, i) * outsideC + at(system.ground, i) * groundC + at(system.constant, i),
  );
  return times(modes.inverseA, drive).map((x) => -x);
}

/** Courses of the nodes from `start`, for edges that change linearly. */
export function solve(modes: Modes, start: readonly number[], edges: Edges): Course[] {
  const { system } = modes;
  const force = system.nodes.map(
    (_, i) =>
      at(system.outside, i) * edges.outside.a +
      at(system.ground, i) * edges.ground.a +
      at(system.constant, i),
  );
  const ramp = system.nodes.map(
    (_, i) => at(system.outside, i) * edges.outside.b + at(system.ground, i) * edges.ground.b,
  );
  // Particular solution p0 + p1·t: A·p1 + ramp = 0, A·p0 + force = p1.
  const p1 = times(modes.inverseA, ramp).map((x) => -x);
  const p0 = times(
    modes.inverseA,
    p1.map((x, i) => x - at(force, i)),
  );
  const weights = times(
    modes.inverseVectors,
    start.map((x, i) => x - at(p0, i)),
  );
  return system.nodes.map((_, i) => ({
    ...linearCourse(at(p0, i), at(p1, i)),
    modes: modesOf(modes, weights, i),
  }));
}

function modesOf({ alphas, betas, vectors }: Modes, weights: readonly number[], row: number): Mode[] {
  const modes: Mode[] = [];
  for (let k = 0; k < weights.length; k++) {
    const alpha = at(alphas, k);
    const beta = at(betas, k);
    const v = vectors.get(row, k);
    const w = at(weights, k);
    if (beta === 0) {
      modes.push({ alpha, beta, p: v * w, q: 0 });
      continue;
    }
    // Columns k and k+1 are the real and imaginary part of the vector of α + iβ; together they turn.
    const v2 = vectors.get(row, k + 1);
    const w2 = at(weights, k + 1);
    modes.push({ alpha, beta, p: v * w + v2 * w2, q: v * w2 - v2 * w });
    k++;
  }
  return modes;
}

function times(matrix: Matrix, vector: readonly number[]): number[] {
  return matrix.mmul(Matrix.columnVector([...vector])).to1DArray();
}

function at(values: readonly number[], index: number): number {
  return values[index] ?? Number.NaN;
}
