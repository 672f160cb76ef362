/**
 * The shell of each kind of unit as a thermal network. All numbers are trade practice or engineering estimates
 * with the derivation beside them; any of them can be overridden by the config's `network`.
 */
import { ModelError } from '../errors.ts';
import type {
  Network,
  NetworkSpec,
  NodeId,
  Provenance,
  StatedDefault,
  ThermalPath,
  UnitKind,
  UnitSpec,
} from './unit.ts';

const FEET_PER_M = 1 / 0.3048;

/** Usual length and width by kind [m]. Common practice. */
const SIZE: Readonly<Record<UnitKind, { readonly lengthM: number; readonly widthM: number }>> = {
  'travel-trailer': { lengthM: 7.3, widthM: 2.4 },
  'fifth-wheel': { lengthM: 9.8, widthM: 2.4 },
  motorhome: { lengthM: 9.1, widthM: 2.5 },
  'truck-camper': { lengthM: 3, widthM: 2.2 },
  van: { lengthM: 5.9, widthM: 1.9 },
  'pop-up': { lengthM: 3.7, widthM: 2.1 },
};

/** Walls, roof, windows and draughts, per length [W/(K·m)]: 5 W/K per foot (3.5-7.5); canvas loses half as much again. */
const SHELL_W_PER_K_M = 5 * FEET_PER_M;
const CANVAS_FACTOR = 1.5;
const SLIDE_W_PER_K = 15;
/** Draughts grow with the wind: engineering estimate, 3 % of the shell's loss per m/s. */
const SHELL_WIND_SHARE_PER_MPS = 0.03;
/**
 * Floor [W/(m²·K)]: the trade says 2 (1.5 to 3). The low end, with the belly's draughts in the skin's number,
 * gives the +4 to +7 K that the trade reports for an underbelly under a warm cabin.
 */
const FLOOR_W_PER_M2_K = 1.5;
/** Belly skin [W/(K·m)]: bare 7, and 2 for what blows through. */
const BELLY_SKIN_W_PER_K_M = 9;
/** Heat capacities [J/(K·m)]: cabin 2.5 MJ/K at 30 ft (1.5-4); below, engineering estimates. */
const CAPACITY_J_PER_K_M: Readonly<Record<NodeId, number>> = {
  inside: (2.5e6 / 30) * FEET_PER_M,
  underbelly: 44_000,
  underneath: 23_000,
};
/** Skirt and its gaps [W/K] at 7.3 m: +4 K calm and +2 K windy behind vinyl, +8 K behind board, over 4 °C ground. */
const SKIRT = { vinyl: { calm: 55, perWind: 18 }, insulated: { calm: 15, perWind: 2 } } as const;
/** Soil under skirting [W/(m²·K)]: engineering estimate. */
const SOIL_W_PER_M2_K = 2;

export interface Shell {
  readonly network: Network;
  readonly stated: readonly StatedDefault[];
}

/** @throws ModelError when the user's own network leaves a node without any path to outside. */
export function buildShell(spec: UnitSpec): Shell {
  const frame = frameOf(spec);
  const list = new StatedList(spec);
  const nodes = frame.nodes.map((id) => ({
    id,
    capacityJPerK: list.capacity(id, CAPACITY_J_PER_K_M[id] * frame.lengthM),
  }));
  const paths = [...cabinPaths(spec, frame), ...belowPaths(spec, frame)].map((path) => list.path(path));
  const network = { nodes, paths };
  checkConnected(spec.id, network);
  return { network, stated: list.entries };
}

/** Which nodes the unit has, and its measures. */
interface Frame {
  readonly nodes: readonly NodeId[];
  readonly lengthM: number;
  readonly floorM2: number;
}

function frameOf({ kind, lengthM: given, belly, skirting, network: own }: UnitSpec): Frame {
  const { lengthM: usual, widthM } = SIZE[kind];
  const lengthM = given ?? usual;
  const nodes: NodeId[] = ['inside'];
  if (belly !== 'open' || (own?.underbellyCapacity ?? null) !== null) nodes.push('underbelly');
  if (skirting !== 'none' || (own?.underneathCapacity ?? null) !== null) nodes.push('underneath');
  return { nodes, lengthM, floorM2: lengthM * widthM };
}

interface PathSpec {
  readonly name: string;
  readonly between: ThermalPath['between'];
  /** The key of the user's own number, which then holds at any wind. */
  readonly key: keyof NetworkSpec;
  readonly calm: number;
  readonly perWind: number;
}

function cabinPaths({ kind, slides }: UnitSpec, { lengthM }: Frame): PathSpec[] {
  const calm = SHELL_W_PER_K_M * lengthM * (kind === 'pop-up' ? CANVAS_FACTOR : 1) + SLIDE_W_PER_K * slides;
  const perWind = calm * SHELL_WIND_SHARE_PER_MPS;
  return [{ name: 'insideOutside', between: ['inside', 'outside'], key: 'insideOutside', calm, perWind }];
}

/** Floor, belly skin, skirting and ground, leaving out the nodes that the unit has not. */
function belowPaths(spec: UnitSpec, { nodes, lengthM, floorM2 }: Frame): PathSpec[] {
  const underneath = nodes.includes('underneath');
  const under = underneath ? 'underneath' : 'outside';
  const floor = { key: 'insideUnderbelly', calm: FLOOR_W_PER_M2_K * floorM2, perWind: 0 } as const;
  const skin = {
    key: 'underbellyUnderneath',
    calm: BELLY_SKIN_W_PER_K_M * lengthM,
    perWind: underneath ? 0 : lengthM,
  } as const;
  const floorPaths: PathSpec[] = nodes.includes('underbelly')
    ? [
        { name: 'insideUnderbelly', between: ['inside', 'underbelly'], ...floor },
        {
          name: underneath ? 'underbellyUnderneath' : 'underbellyOutside',
          between: ['underbelly', under],
          ...skin,
        },
      ]
    : [{ name: underneath ? 'insideUnderneath' : 'floorOutside', between: ['inside', under], ...floor }];
  return underneath ? [...floorPaths, ...skirtPaths(spec, lengthM, floorM2)] : floorPaths;
}

function skirtPaths({ skirting }: UnitSpec, lengthM: number, floorM2: number): PathSpec[] {
  const skirt = skirting === 'insulated' ? SKIRT.insulated : SKIRT.vinyl;
  const scale = lengthM / SIZE['travel-trailer'].lengthM;
  const [calm, perWind] = [skirt.calm * scale, skirt.perWind * scale];
  return [
    {
      name: 'underneathOutside',
      between: ['underneath', 'outside'],
      key: 'underneathOutside',
      calm,
      perWind,
    },
    {
      name: 'underneathGround',
      between: ['underneath', 'ground'],
      key: 'underneathGround',
      calm: SOIL_W_PER_M2_K * floorM2,
      perWind: 0,
    },
  ];
}

/** Takes the user's number or the catalogue's, and remembers which. */
class StatedList {
  readonly entries: StatedDefault[] = [];
  readonly #spec: UnitSpec;

  constructor(spec: UnitSpec) {
    this.#spec = spec;
  }

  capacity(node: NodeId, derived: number): number {
    return this.#take(`${node}Capacity`, derived, 'J/K');
  }

  path({ name, between, key, calm, perWind }: PathSpec): ThermalPath {
    const calmWPerK = this.#take(key, calm, 'W/K');
    return { name, between, calmWPerK, windWPerKPerMps: this.#own(key) === null ? perWind : 0 };
  }

  #own(key: keyof NetworkSpec): number | null {
    return this.#spec.network?.[key] ?? null;
  }

  #take(key: keyof NetworkSpec, derived: number, unit: string): number {
    const given = this.#own(key);
    const value = given ?? derived;
    const provenance: Provenance = given === null ? 'estimate' : 'config';
    const note = given === null ? `from the length of a ${this.#spec.kind}` : 'given';
    this.entries.push({
      path: `network.${key}`,
      value: `${Number(value.toPrecision(4))} ${unit}`,
      provenance,
      note,
    });
    return value;
  }
}

/** A node without a path to outside or ground would never settle. */
function checkConnected(id: string, network: Network): void {
  const reached = new Set<string>(['outside', 'ground']);
  for (let pass = 0; pass < network.nodes.length; pass++) {
    for (const { between, calmWPerK } of network.paths) {
      if (calmWPerK <= 0) continue;
      if (reached.has(between[0]) || reached.has(between[1])) between.forEach((end) => reached.add(end));
    }
  }
  const lost: NodeId[] = network.nodes.map((n) => n.id).filter((node) => !reached.has(node));
  if (lost.length > 0) {
    throw new ModelError(
      `Unit ${id}: the network leaves ${lost.join(', ')} without any path to outside or the ground. Give at least one of its conductances a value above 0 W/K.`,
    );
  }
}
