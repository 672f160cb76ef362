/**
 * The shell of each kind of unit as a thermal network. All numbers are trade practice or engineering estimates
 * with the derivation beside them; any of them can be overridden by the config's `network`.
 */
import { ModelError } from '../errors.ts';
import { skirtPaths } from './catalogue-skirt.ts';
import { barnPaths, BARN_CAPACITY } from './catalogue-barn.ts';
import { frameOf, statedLength, type Frame } from './catalogue-frame.ts';
import { zoneAirs, zonesStated } from './catalogue-zones.ts';
import { StatedNetwork, type CapacitySpec, type PathSpec } from './stated-network.ts';
import type { BellySkin, Network, NodeId, StatedDefault, UnitSpec } from './unit.ts';

const FEET_PER_M = 1 / 0.3048;

/** Walls, roof, windows and draughts, per length [W/(K·m)]: 5 W/K per foot (3.5-7.5); canvas loses half as much again. */
const SHELL_W_PER_K_M = 5 * FEET_PER_M;
const CANVAS_FACTOR = 1.5;
const SLIDE_W_PER_K = 15;
/** Draughts grow with the wind: engineering estimate, 3 % of the shell's loss per m/s. */
const SHELL_WIND_SHARE_PER_MPS = 0.03;
/**
 * Floor [W/(m²·K)]: the trade says 2 (1.5 to 3). With the low end and the belly skin below, an underbelly stands
 * 4 to 7 K above outside under a warm cabin, which is what the trade reports.
 */
const FLOOR_W_PER_M2_K = 1.5;

interface Skin {
  /** Per length of the unit, in calm air and more for each m/s of wind [W/(K·m)]. */
  readonly calm: number;
  readonly perWind: number;
  readonly note: string;
}

/**
 * Belly skin: what the trade gives for its sheet and 5 W/(K·m) for what blows through joints and holes round
 * pipes. An unducted underbelly measured against outside gives the sum, not its parts: engineering estimate.
 */
const SKIN: Readonly<Record<BellySkin, Skin>> = {
  bare: { calm: 12, perWind: 1, note: '7 W/K per metre of length and 5 for draughts (9 to 15)' },
  foil: { calm: 9, perWind: 1, note: '4 W/K per metre of length and 5 for draughts (6 to 12)' },
  torn: { calm: 25, perWind: 4, note: '20 W/K per metre of length and 5 for draughts (20 to 60)' },
};

/** Heat capacities [J/(K·m)]. */
const CAPACITIES: Readonly<Record<Exclude<NodeId, 'barn'>, Omit<CapacitySpec, 'node'>>> = {
  inside: {
    perLength: (2.5e6 / 30) * FEET_PER_M,
    provenance: 'practice',
    note: '2.5 MJ/K at 30 ft (1.5 to 4)',
  },
  underbelly: {
    perLength: 44_000,
    provenance: 'estimate',
    note: '44 kJ/K per metre of length: skin, frame and pipes (half to double)',
  },
  underneath: {
    perLength: 23_000,
    provenance: 'estimate',
    note: '23 kJ/K per metre of length: air, skirt and the crust of the ground (half to double)',
  },
};

export interface Shell {
  readonly network: Network;
  readonly stated: readonly StatedDefault[];
}

/** @throws ModelError when the user's own network leaves a node without any path to outside. */
export function buildShell(spec: UnitSpec): Shell {
  const frame = frameOf(spec);
  const list = new StatedNetwork(spec);
  const nodes = frame.nodes.map((id) => list.node(capacityOf(id), frame));
  const paths = pathsOf(spec, frame).map((path) => list.path(path));
  const network = { nodes, paths, zones: zoneAirs(spec, frame) };
  checkConnected(spec.id, network);
  return { network, stated: [...statedLength(spec, frame), ...list.entries, ...zonesStated(spec)] };
}

function capacityOf(node: NodeId): CapacitySpec {
  return node === 'barn' ? BARN_CAPACITY : { node, ...CAPACITIES[node] };
}

function pathsOf(spec: UnitSpec, frame: Frame): PathSpec[] {
  return [
    cabinPath(spec, frame),
    ...belowPaths(spec, frame),
    ...(frame.nodes.includes('underneath') ? skirtPaths(spec, frame) : []),
    ...(frame.outer === 'barn' ? barnPaths(frame) : []),
  ];
}

function cabinPath({ kind, slides }: UnitSpec, { lengthM, outer }: Frame): PathSpec {
  const calm = SHELL_W_PER_K_M * lengthM * (kind === 'pop-up' ? CANVAS_FACTOR : 1) + SLIDE_W_PER_K * slides;
  const canvas = kind === 'pop-up' ? ', half as much again for canvas' : '';
  return {
    name: outer === 'barn' ? 'insideBarn' : 'insideOutside',
    between: ['inside', outer],
    key: 'insideOutside',
    calm,
    perWind: calm * SHELL_WIND_SHARE_PER_MPS,
    provenance: 'practice',
    note: `5 W/K per foot (3.5 to 7.5)${canvas}, 15 per slide-out`,
  };
}

const NAME_OF = { underneath: 'Underneath', barn: 'Barn', outside: 'Outside' } as const;

/** Floor and belly skin, leaving out the nodes that the unit has not. */
function belowPaths(spec: UnitSpec, { nodes, lengthM, floorM2, below }: Frame): PathSpec[] {
  const floor = {
    key: 'insideUnderbelly',
    calm: FLOOR_W_PER_M2_K * floorM2,
    perWind: 0,
    provenance: 'practice',
    note: `${FLOOR_W_PER_M2_K} W/K per m² of floor (1.5 to 3)`,
  } as const;
  if (!nodes.includes('underbelly')) {
    const name = below === 'underneath' ? 'insideUnderneath' : `floor${NAME_OF[below]}`;
    return [{ name, between: ['inside', below], ...floor }];
  }
  const { calm, perWind, note } = SKIN[spec.bellySkin ?? 'bare'];
  return [
    { name: 'insideUnderbelly', between: ['inside', 'underbelly'], ...floor },
    {
      name: `underbelly${NAME_OF[below]}`,
      between: ['underbelly', below],
      key: 'underbellyUnderneath',
      calm: calm * lengthM,
      perWind: below === 'underneath' ? 0 : perWind * lengthM,
      provenance: 'practice',
      note,
    },
  ];
}

/** A node without a path to outside or ground would never settle. */
function checkConnected(id: string, { nodes, paths }: Pick<Network, 'nodes' | 'paths'>): void {
  const reached = new Set<string>(['outside', 'ground']);
  for (let pass = 0; pass < nodes.length; pass++) {
    for (const { between, calmWPerK } of paths) {
      if (calmWPerK <= 0) continue;
      if (reached.has(between[0]) || reached.has(between[1])) between.forEach((end) => reached.add(end));
    }
  }
  const lost: NodeId[] = nodes.map((n) => n.id).filter((node) => !reached.has(node));
  if (lost.length > 0) {
    throw new ModelError(
      `Unit ${id}: the network leaves ${lost.join(', ')} without any path to outside or the ground. Give at least one of its conductances a value above 0 W/K.`,
    );
  }
}
