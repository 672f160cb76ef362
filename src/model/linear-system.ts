/**
 * The linear system of a network in one regime at one wind, solved by its modes:
 *
 *     dT/dt = A·T + K_outside·T_outside + K_ground·T_ground + K_limit·limit + k
 *
 * A is not symmetric while the furnace acts in its band, so its eigenvalues may be complex.
 */
import { EigenvalueDecomposition, LuDecomposition, Matrix } from 'ml-matrix';
import { HOUR_S } from '../quantity/instant.ts';
import { windOfClass } from './film.ts';
import { BAND_K, PIECES, UNDERBELLY_CAP_C, type Piece } from './heat-law.ts';
import type { BoundaryId, Network, NodeId, ThermalPath, UnitModel } from './unit.ts';

/** What the furnace does while a system holds, and what the wind is. */
export interface Circumstances {
  readonly network: Network;
  readonly piece: Piece;
  /** The underbelly stands at its cap and takes from the duct only what holds it there. */
  readonly capped: boolean;
  readonly windSpeedMps: number;
  /** Null: nothing heats. */
  readonly heat: {
    readonly setC: number;
    readonly capacityW: number;
    readonly ductedShare: number;
    readonly electricW: number;
  } | null;
}

/** A decomposed system. All arrays are by node of the network or by mode; a capped underbelly has no mode. */
export interface System {
  /** Its number among the systems of its unit, from 0 without holes: what others derive from it they keep by this. */
  readonly index: number;
  /** Rows of the unknown nodes among the network's. */
  readonly rows: Int32Array;
  readonly cappedRow: number;
  readonly alpha: Float64Array;
  readonly beta: Float64Array;
  /** e^(αt)·cos βt and e^(αt)·sin βt after a whole hour. */
  readonly hourCos: Float64Array;
  readonly hourSin: Float64Array;
  /** ∫e^(αt) over a whole hour, of modes that do not turn [s]. */
  readonly hourIntegral: Float64Array;
  /** Row-major, n × n. */
  readonly vectors: Float64Array;
  readonly inverseVectors: Float64Array;
  readonly inverseA: Float64Array;
  /** Temperatures at rest per kelvin outside, per kelvin of ground, per watt of the furnace's limit, and apart. */
  readonly perOutside: Float64Array;
  readonly perGround: Float64Array;
  readonly perLimit: Float64Array;
  readonly constant: Float64Array;
}

export function pathConductance(path: ThermalPath, windSpeedMps: number): number {
  return path.calmWPerK + path.windWPerKPerMps * windSpeedMps;
}

/** A regime of a unit's heat at one class of wind. */
export interface Regime {
  piece: Piece;
  capped: boolean;
  windClass: number;
  electricW: number;
}

/** The systems of one unit, each decomposed when first asked for. */
export class SystemCache {
  readonly #unit: UnitModel;
  readonly #known: (System | undefined)[] = [];
  #count = 0;

  constructor(unit: UnitModel) {
    this.#unit = unit;
  }

  of({ piece, capped, windClass, electricW }: Regime): System {
    const { network, heat } = this.#unit;
    const most = (heat?.electricW ?? 0) + (heat?.heatPump?.watts ?? 0);
    // Electric heaters, the heat pump, both or neither: four sums at most.
    const electric = electricW === 0 ? 0 : electricW === most ? 1 : electricW === heat?.electricW ? 2 : 3;
    const key = ((windClass * 4 + PIECES.indexOf(piece)) * 2 + (capped ? 1 : 0)) * 4 + electric;
    const known = this.#known[key];
    if (known !== undefined) return known;
    const windSpeedMps = windOfClass(windClass);
    const given = heat === null ? null : { ...heat, electricW };
    const system = systemOf({ network, piece, capped, windSpeedMps, heat: given }, this.#count++);
    this.#known[key] = system;
    return system;
  }
}

function systemOf(of: Circumstances, index: number): System {
  const rows = new Rows(of);
  for (const path of of.network.paths) addPath(rows, path, of);
  addHeat(rows, of);
  return rows.decompose(index);
}

function addPath(rows: Rows, path: ThermalPath, { capped, windSpeedMps }: Circumstances): void {
  const conductance = pathConductance(path, windSpeedMps);
  const [one, other] = path.between;
  if (!capped || !path.between.includes('underbelly')) {
    rows.add(one, conductance, other);
    rows.add(other, conductance, one);
    return;
  }
  // Held at its cap the underbelly takes from the duct what it loses, the rest of the share stays inside.
  const end = one === 'underbelly' ? other : one;
  if (end === 'inside') return;
  rows.add(end, conductance, 'cap');
  rows.term('inside', -conductance, 'cap');
  rows.term('inside', conductance, end);
}

function addHeat(rows: Rows, { heat, piece, capped }: Circumstances): void {
  if (heat === null || piece === 'off') return;
  const { setC, capacityW, electricW } = heat;
  if (piece === 'electric') {
    rows.gain('inside', (electricW * (setC + 1.5 * BAND_K)) / BAND_K);
    rows.term('inside', -electricW / BAND_K, 'inside');
    return;
  }
  rows.gain('inside', electricW);
  // A duct under an open belly warms the open air.
  const below = capped ? 0 : heat.ductedShare;
  for (const [id, share] of [
    ['inside', 1 - below],
    ['underbelly', rows.has('underbelly') ? below : 0],
  ] as const) {
    if (share === 0) continue;
    if (piece === 'full') rows.limit(id, share);
    else {
      const perKelvin = (share * capacityW) / BAND_K;
      rows.gain(id, perKelvin * (setC + BAND_K / 2));
      rows.term(id, -perKelvin, 'inside');
    }
  }
}

type End = NodeId | BoundaryId | 'cap';

/** Gathers the coefficients of the system, row by node. */
class Rows {
  readonly #nodes: readonly NodeId[];
  readonly #network: Network;
  readonly #capacity: ReadonlyMap<NodeId, number>;
  readonly #a: Matrix;
  readonly #edges: Readonly<Record<BoundaryId | 'limit' | 'constant', Float64Array>>;

  constructor({ network, capped }: Circumstances) {
    this.#network = network;
    this.#nodes = network.nodes.map((n) => n.id).filter((id) => !(capped && id === 'underbelly'));
    this.#capacity = new Map(network.nodes.map((n) => [n.id, n.capacityJPerK]));
    const n = this.#nodes.length;
    this.#a = Matrix.zeros(n, n);
    const zeros = (): Float64Array => new Float64Array(n);
    this.#edges = { outside: zeros(), ground: zeros(), limit: zeros(), constant: zeros() };
  }

  has(id: NodeId): boolean {
    return this.#nodes.includes(id);
  }

  /** A path from `node` to `end`: node gains conductance·(T_end − T_node). Ends that are edges gain nothing. */
  add(node: End, conductance: number, end: End): void {
    this.term(node, conductance, end);
    this.term(node, -conductance, node);
  }

  /** `node` gains wattsPerKelvin·T_end. */
  term(node: End, wattsPerKelvin: number, end: End): void {
    const row = this.#row(node);
    if (row < 0) return;
    const rate = wattsPerKelvin / this.#capacityOf(row);
    if (end === 'cap') this.#edges.constant[row]! += rate * UNDERBELLY_CAP_C;
    else if (end === 'outside' || end === 'ground') this.#edges[end][row]! += rate;
    else this.#a.set(row, this.#row(end), this.#a.get(row, this.#row(end)) + rate);
  }

  gain(node: NodeId, watts: number): void {
    const row = this.#row(node);
    this.#edges.constant[row]! += watts / this.#capacityOf(row);
  }

  /** `node` gains its share of the furnace's limit. */
  limit(node: NodeId, share: number): void {
    const row = this.#row(node);
    this.#edges.limit[row]! += share / this.#capacityOf(row);
  }

  decompose(index: number): System {
    const n = this.#nodes.length;
    const eigen = new EigenvalueDecomposition(this.#a);
    const identity = Matrix.eye(n);
    const inverseA = flat(new LuDecomposition(this.#a).solve(identity));
    const alpha = Float64Array.from(eigen.realEigenvalues);
    const beta = Float64Array.from(eigen.imaginaryEigenvalues);
    // The second of a pair says nothing of its own.
    for (let k = 0; k + 1 < n; k++) {
      if (beta[k] === 0) continue;
      [alpha[k + 1], beta[k + 1]] = [-1, 0];
      k++;
    }
    const all = this.#network.nodes.map((node) => node.id);
    return {
      index,
      rows: Int32Array.from(this.#nodes, (id) => all.indexOf(id)),
      cappedRow: this.has('underbelly') ? -1 : all.indexOf('underbelly'),
      alpha,
      beta,
      hourCos: alpha.map((x, k) => Math.exp(x * HOUR_S) * Math.cos(beta[k]! * HOUR_S)),
      hourSin: alpha.map((x, k) => Math.exp(x * HOUR_S) * Math.sin(beta[k]! * HOUR_S)),
      hourIntegral: alpha.map((x) => Math.expm1(x * HOUR_S) / x),
      vectors: flat(eigen.eigenvectorMatrix),
      inverseVectors: flat(new LuDecomposition(eigen.eigenvectorMatrix).solve(identity)),
      inverseA,
      perOutside: atRest(inverseA, this.#edges.outside),
      perGround: atRest(inverseA, this.#edges.ground),
      perLimit: atRest(inverseA, this.#edges.limit),
      constant: atRest(inverseA, this.#edges.constant),
    };
  }

  #row(id: End): number {
    return this.#nodes.indexOf(id as NodeId);
  }

  #capacityOf(row: number): number {
    return this.#capacity.get(this.#nodes[row]!) ?? Number.NaN;
  }
}

function flat(matrix: Matrix): Float64Array {
  return Float64Array.from(matrix.to1DArray());
}

/** −A⁻¹·k. */
function atRest(inverseA: Float64Array, k: Float64Array): Float64Array {
  const n = k.length;
  return k.map((_, i) => {
    let sum = 0;
    for (let j = 0; j < n; j++) sum -= inverseA[i * n + j]! * k[j]!;
    return sum;
  });
}
