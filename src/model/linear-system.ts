/**
 * The linear system of a network in one regime at one wind, solved by its modes:
 *
 *     dT/dt = A·T + K_outside·T_outside + K_ground·T_ground + K_limit·limit + k
 *
 * A is not symmetric while the furnace acts in its band, so its eigenvalues may be complex.
 */
import { EigenvalueDecomposition, LuDecomposition, Matrix } from 'ml-matrix';
import { HOUR_S } from '../quantity/instant.ts';
import { offResonance } from './course.ts';
import { windOfClass } from './film.ts';
import { BAND_K, PIECES, UNDERBELLY_CAP_C, type Piece } from './heat-law.ts';
import type { BoundaryId, Network, NodeId, ThermalPath, UnitModel } from './unit.ts';

/** Nodes of a network at most: inside, underbelly, underneath, barn. */
export const MOST_NODES = 4;

/** What the furnace does while a system holds, and what the wind is. */
interface Circumstances {
  readonly network: Network;
  readonly piece: Piece;
  /** The underbelly stands at its cap and takes from the duct only what holds it there. */
  readonly capped: boolean;
  readonly windClass: number;
  /** Null: nothing heats. */
  readonly heat: {
    readonly setC: number;
    readonly capacityW: number;
    readonly ductedShare: number;
    readonly electricW: number;
  } | null;
}

/**
 * A decomposed system. Arrays are by node of the network, by mode, or row-major with MOST_NODES in a row. A capped
 * underbelly tends to its cap and has a mode that nothing takes part in.
 */
export interface System {
  /** Its number among the systems of its unit, from 0 without holes: what others derive from it they keep by this. */
  readonly index: number;
  /** Class of the wind that it holds for. */
  readonly windClass: number;
  /** What the heat does in it. */
  readonly piece: Piece;
  readonly capped: boolean;
  readonly electricW: number;
  /** Nodes, and as many modes. */
  readonly nodes: number;
  /** Whether any mode turns. */
  readonly turns: boolean;
  readonly alpha: Float64Array;
  readonly beta: Float64Array;
  /** e^(αt) after a whole hour and its integral until then [s]. */
  readonly hourGrowth: Float64Array;
  readonly hourIntegral: Float64Array;
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
    const given = heat === null ? null : { ...heat, electricW };
    const system = systemOf({ network, piece, capped, windClass, heat: given }, this.#count++);
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

function addPath(rows: Rows, path: ThermalPath, { capped, windClass }: Circumstances): void {
  const conductance = pathConductance(path, windOfClass(windClass));
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

/** Gathers the coefficients of the system, row by node that is unknown. */
class Rows {
  readonly #of: Circumstances;
  readonly #nodes: readonly NodeId[];
  readonly #a: Matrix;
  readonly #edges: Readonly<Record<BoundaryId | 'limit' | 'constant', Float64Array>>;

  constructor(of: Circumstances) {
    this.#of = of;
    this.#nodes = of.network.nodes.map((n) => n.id).filter((id) => !(of.capped && id === 'underbelly'));
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
    const inverseA = new LuDecomposition(this.#a).solve(identity);
    const [alpha, beta] = modesOf(eigen, this.#of.network);
    const { network, windClass, piece, capped, heat } = this.#of;
    const place = network.nodes.map(({ id }) => this.#row(id));
    const known = (value: number): Float64Array => Float64Array.from(place, (row) => (row < 0 ? value : 0));
    const atRest = (edge: Float64Array, ofKnown: number): Float64Array =>
      known(ofKnown).map((value, node) => (place[node]! < 0 ? value : restAt(inverseA, edge, place[node]!)));
    return {
      index,
      windClass,
      piece,
      capped,
      electricW: heat?.electricW ?? 0,
      nodes: network.nodes.length,
      turns: beta.some((b) => b !== 0),
      alpha,
      beta,
      hourGrowth: alpha.map((x) => Math.exp(x * HOUR_S)),
      hourIntegral: alpha.map((x) => Math.expm1(x * HOUR_S) / x),
      vectors: padded(eigen.eigenvectorMatrix, (i, k) => [place.indexOf(i), k]),
      inverseVectors: padded(new LuDecomposition(eigen.eigenvectorMatrix).solve(identity), (k, i) => [
        k,
        place.indexOf(i),
      ]),
      inverseA: padded(inverseA, (i, j) => [place.indexOf(i), place.indexOf(j)]),
      perOutside: atRest(this.#edges.outside, 0),
      perGround: atRest(this.#edges.ground, 0),
      perLimit: atRest(this.#edges.limit, 0),
      constant: atRest(this.#edges.constant, UNDERBELLY_CAP_C),
    };
  }

  #row(id: End): number {
    return this.#nodes.indexOf(id as NodeId);
  }

  #capacityOf(row: number): number {
    const id = this.#nodes[row];
    return this.#of.network.nodes.find((node) => node.id === id)?.capacityJPerK ?? Number.NaN;
  }
}

/** Of a mode that nothing takes part in [1/s]. */
const IDLE_ALPHA = -1;

/** α and β of the modes, MOST_NODES of each. */
function modesOf(
  { realEigenvalues, imaginaryEigenvalues }: EigenvalueDecomposition,
  network: Network,
): readonly [Float64Array, Float64Array] {
  const alpha = new Float64Array(MOST_NODES).fill(IDLE_ALPHA);
  const beta = new Float64Array(MOST_NODES);
  for (let k = 0; k < realEigenvalues.length; k++) {
    beta[k] = imaginaryEigenvalues[k]!;
    alpha[k] = beta[k] === 0 ? offLags(realEigenvalues[k]!, network) : realEigenvalues[k]!;
    // The second of a pair says nothing of its own.
    if (beta[k] !== 0) k++;
  }
  return [alpha, beta];
}

/** A mode's α, which is no zone's own. */
function offLags(alpha: number, { zones }: Network): number {
  const lags = Object.values(zones).map(({ lagS }) => lagS);
  return -lags.reduce((rate, lagS) => (lagS > 0 ? offResonance(rate, 1 / lagS) : rate), -alpha);
}

/** A matrix in MOST_NODES × MOST_NODES, each number at the row and column that `to` gives it; 0 elsewhere. */
function padded(matrix: Matrix, to: (i: number, j: number) => readonly [number, number]): Float64Array {
  const into = new Float64Array(MOST_NODES * MOST_NODES);
  for (let i = 0; i < matrix.rows; i++) {
    for (let j = 0; j < matrix.columns; j++) {
      const [row, column] = to(i, j);
      into[row * MOST_NODES + column] = matrix.get(i, j);
    }
  }
  return into;
}

/** A row of −A⁻¹·k. */
function restAt(inverseA: Matrix, k: Float64Array, row: number): number {
  let sum = 0;
  for (let j = 0; j < k.length; j++) sum -= inverseA.get(row, j) * k[j]!;
  return sum;
}

/** Row of a node in its network; −1: it has none. */
export function rowOf({ nodes }: Network, node: NodeId): number {
  for (let row = 0; row < nodes.length; row++) if (nodes[row]!.id === node) return row;
  return -1;
}
