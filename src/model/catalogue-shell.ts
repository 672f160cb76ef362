/**
 * The shell of each kind of unit as a thermal network. All numbers are trade practice or engineering estimates
 * with the derivation beside them; any of them can be overridden by the config's `network`.
 */
import { ModelError } from '../errors.ts';
import type {
  Network,
  NodeId,
  Provenance,
  StatedDefault,
  ThermalNode,
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
const INSIDE_J_PER_K_M = (2.5e6 / 30) * FEET_PER_M;
const UNDERBELLY_J_PER_K_M = 44_000;
const UNDERNEATH_J_PER_K_M = 23_000;
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
  const size = SIZE[spec.kind];
  const lengthM = spec.lengthM ?? size.lengthM;
  const floorW = FLOOR_W_PER_M2_K * lengthM * size.widthM;
  const list = new StatedList(spec);
  const own = spec.network;
  const nodes: ThermalNode[] = [
    {
      id: 'inside',
      capacityJPerK: list.take('insideCapacity', own?.insideCapacity, INSIDE_J_PER_K_M * lengthM, 'J/K'),
    },
  ];
  const hasUnderbelly = spec.belly !== 'open' || (own?.underbellyCapacity ?? null) !== null;
  const hasUnderneath = spec.skirting !== 'none' || (own?.underneathCapacity ?? null) !== null;
  if (hasUnderbelly)
    nodes.push({
      id: 'underbelly',
      capacityJPerK: list.take(
        'underbellyCapacity',
        own?.underbellyCapacity,
        UNDERBELLY_J_PER_K_M * lengthM,
        'J/K',
      ),
    });
  if (hasUnderneath)
    nodes.push({
      id: 'underneath',
      capacityJPerK: list.take(
        'underneathCapacity',
        own?.underneathCapacity,
        UNDERNEATH_J_PER_K_M * lengthM,
        'J/K',
      ),
    });
  const shellW =
    SHELL_W_PER_K_M * lengthM * (spec.kind === 'pop-up' ? CANVAS_FACTOR : 1) + SLIDE_W_PER_K * spec.slides;
  const paths = [
    path(list, {
      name: 'insideOutside',
      between: ['inside', 'outside'],
      own: own?.insideOutside,
      calm: shellW,
      perWind: shellW * SHELL_WIND_SHARE_PER_MPS,
    }),
    ...belowPaths({
      spec,
      list,
      lengthM,
      floorW,
      hasUnderbelly,
      hasUnderneath,
      soilW: SOIL_W_PER_M2_K * lengthM * size.widthM,
    }),
  ];
  const network = { nodes, paths };
  checkConnected(spec.id, network);
  return { network, stated: list.entries };
}

interface Below {
  readonly spec: UnitSpec;
  readonly list: StatedList;
  readonly lengthM: number;
  readonly floorW: number;
  readonly soilW: number;
  readonly hasUnderbelly: boolean;
  readonly hasUnderneath: boolean;
}

/** Floor, belly skin, skirting and ground, leaving out the nodes that the unit has not. */
function belowPaths({
  spec,
  list,
  lengthM,
  floorW,
  soilW,
  hasUnderbelly,
  hasUnderneath,
}: Below): ThermalPath[] {
  const own = spec.network;
  const under = hasUnderneath ? 'underneath' : 'outside';
  const paths: ThermalPath[] = [];
  if (hasUnderbelly) {
    paths.push(
      path(list, {
        name: 'insideUnderbelly',
        between: ['inside', 'underbelly'],
        own: own?.insideUnderbelly,
        calm: floorW,
        perWind: 0,
      }),
      path(list, {
        name: hasUnderneath ? 'underbellyUnderneath' : 'underbellyOutside',
        between: ['underbelly', under],
        own: own?.underbellyUnderneath,
        calm: BELLY_SKIN_W_PER_K_M * lengthM,
        perWind: hasUnderneath ? 0 : lengthM,
      }),
    );
  } else {
    paths.push(
      path(list, {
        name: hasUnderneath ? 'insideUnderneath' : 'floorOutside',
        between: ['inside', under],
        own: own?.insideUnderbelly,
        calm: floorW,
        perWind: 0,
      }),
    );
  }
  if (!hasUnderneath) return paths;
  const skirt = spec.skirting === 'none' ? SKIRT.vinyl : SKIRT[spec.skirting];
  const scale = lengthM / SIZE['travel-trailer'].lengthM;
  paths.push(
    path(list, {
      name: 'underneathOutside',
      between: ['underneath', 'outside'],
      own: own?.underneathOutside,
      calm: skirt.calm * scale,
      perWind: skirt.perWind * scale,
    }),
    path(list, {
      name: 'underneathGround',
      between: ['underneath', 'ground'],
      own: own?.underneathGround,
      calm: soilW,
      perWind: 0,
    }),
  );
  return paths;
}

interface PathSpec {
  readonly name: string;
  readonly between: ThermalPath['between'];
  /** A number of the user's own holds at any wind. */
  readonly own: number | null | undefined;
  readonly calm: number;
  readonly perWind: number;
}

function path(list: StatedList, of: PathSpec): ThermalPath {
  const calmWPerK = list.take(of.name, of.own, of.calm, 'W/K');
  const windWPerKPerMps = (of.own ?? null) === null ? of.perWind : 0;
  return { name: of.name, between: of.between, calmWPerK, windWPerKPerMps };
}

/** Takes the user's number or the catalogue's, and remembers which. */
class StatedList {
  readonly entries: StatedDefault[] = [];
  readonly #spec: UnitSpec;

  constructor(spec: UnitSpec) {
    this.#spec = spec;
  }

  take(name: string, own: number | null | undefined, derived: number, unit: string): number {
    const given = own ?? null;
    const value = given ?? derived;
    const provenance: Provenance = given === null ? 'estimate' : 'config';
    const note = given === null ? `from the length of a ${this.#spec.kind}` : 'given';
    this.entries.push({
      path: `network.${name}`,
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
