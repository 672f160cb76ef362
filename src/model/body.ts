/**
 * Water in bodies of simple shape: what they hold and how fast they give off heat, from their dimensions. The
 * water side's film is neglected (ten times and more the air side's), which cools faster than it would.
 */
import { ModelError } from '../errors.ts';
import {
  FOAM_CONDUCTIVITY_W_PER_M_K,
  MATERIALS,
  cylinderResistance,
  seriesConductance,
  slabResistance,
  type MaterialId,
} from './conduction.ts';
import { cylinderFilm, flatFilm } from './film.ts';
import { iceLayerRatio } from './ice.ts';
import { WATER_DENSITY_KG_PER_M3 } from './water.ts';

/** What a part takes from its shape. */
export interface Vessel {
  readonly waterKg: number;
  /** Between the water and calm air [W/K]. */
  readonly conductanceWPerK: number;
  readonly wallHeatCapacityJPerK: number;
  readonly iceLayerRatio: number;
  /** Across the wind [m], outside of any sleeve. */
  readonly diameterM: number;
  /** Share of the calm resistance that wind does not change: wall and insulation. */
  readonly fixedShare: number;
}

export interface CylinderBody {
  /** Outside measures of the body itself [m]. */
  readonly diameterM: number;
  readonly lengthM: number;
  readonly wallM: number;
  readonly wall: MaterialId;
  /** Insulation all round [m]; absent: none. */
  readonly insulationM?: number;
  readonly insulationWPerMK?: number;
  /** Share of the inside that is water, 0 to 1; absent: brim-full. */
  readonly fill?: number;
}

/**
 * A valve, a filter bowl, a trap, a tank heater: a short cylinder full of water, side and both ends in the air.
 * The film of a long horizontal cylinder is taken for the ends, too: within 15 % of that of a vertical one or of a
 * sphere as wide.
 *
 * @throws ModelError when the wall leaves no room inside.
 */
export function bodyOf(body: CylinderBody): Vessel {
  const { diameterM, lengthM, wallM, insulationM = 0, fill = 1 } = body;
  const boreM = diameterM - 2 * wallM;
  const insideM = lengthM - 2 * wallM;
  check({ boreM, insideM, fill, insulationM });
  const outsideM = diameterM + 2 * insulationM;
  const material = MATERIALS[body.wall];
  const foam = body.insulationWPerMK ?? FOAM_CONDUCTIVITY_W_PER_M_K;
  const film = cylinderFilm(0, outsideM);
  const side = [
    cylinderResistance(boreM, diameterM, material.conductivityWPerMK),
    cylinderResistance(diameterM, outsideM, foam),
    1 / (film * Math.PI * outsideM),
  ];
  const end = [
    slabResistance(wallM, material.conductivityWPerMK),
    slabResistance(insulationM, foam),
    1 / film,
  ];
  const ends = (2 * Math.PI * outsideM ** 2) / 4;
  const length = lengthM + 2 * insulationM;
  const conductance = length * seriesConductance(side) + ends * seriesConductance(end);
  const water = ((Math.PI * boreM ** 2) / 4) * insideM;
  const wetM2 = Math.PI * boreM * insideM + (Math.PI * boreM ** 2) / 2;
  return {
    waterKg: WATER_DENSITY_KG_PER_M3 * water * fill,
    conductanceWPerK: conductance,
    wallHeatCapacityJPerK: heatCapacity(body.wall, ((Math.PI * diameterM ** 2) / 4) * lengthM - water),
    iceLayerRatio: iceLayerRatio(Math.min(boreM, insideM), conductance / wetM2),
    diameterM: outsideM,
    fixedShare: fixedShare(conductance, film * (length * Math.PI * outsideM + ends)),
  };
}

export interface BoxTank {
  /** Outside measures [m]. */
  readonly lengthM: number;
  readonly widthM: number;
  readonly heightM: number;
  /** Absent: 5 mm, engineering estimate (3 to 8). */
  readonly wallM?: number;
  readonly insulationM?: number;
  readonly insulationWPerMK?: number;
  /** 0 (exclusive) to 1; absent: full. */
  readonly fill?: number;
}

/**
 * A flat tank of polyethylene in the air, losing heat through bottom, wetted sides and the whole of its top. The
 * room above the water is taken to insulate nothing: the cautious side.
 *
 * @throws ModelError when it holds no water.
 */
export function tankOf(tank: BoxTank): Vessel {
  const { lengthM, widthM, heightM, wallM = 0.005, insulationM = 0, fill = 1 } = tank;
  check({ boreM: Math.min(lengthM, widthM) - 2 * wallM, insideM: heightM - 2 * wallM, fill, insulationM });
  const water = (lengthM - 2 * wallM) * (widthM - 2 * wallM) * (heightM - 2 * wallM) * fill;
  const wetM2 = 2 * lengthM * widthM + 2 * (lengthM + widthM) * heightM * fill;
  const film = flatFilm(0);
  const perM2 = seriesConductance([
    slabResistance(wallM, MATERIALS.polyethylene.conductivityWPerMK),
    slabResistance(insulationM, tank.insulationWPerMK ?? FOAM_CONDUCTIVITY_W_PER_M_K),
    1 / film,
  ]);
  return {
    waterKg: WATER_DENSITY_KG_PER_M3 * water,
    conductanceWPerK: perM2 * wetM2,
    wallHeatCapacityJPerK: heatCapacity('polyethylene', wetM2 * wallM),
    // A slab frozen from both faces has twice its volume over its area as its thickness.
    iceLayerRatio: iceLayerRatio((2 * water) / wetM2, perM2),
    diameterM: heightM + 2 * insulationM,
    fixedShare: fixedShare(perM2, film),
  };
}

interface Room {
  readonly boreM: number;
  readonly insideM: number;
  readonly fill: number;
  readonly insulationM: number;
}

function check({ boreM, insideM, fill, insulationM }: Room): void {
  if (boreM > 0 && insideM > 0 && fill > 0 && fill <= 1 && insulationM >= 0) return;
  throw new ModelError(
    `A body needs room for water inside its wall, a fill above 0 and up to 1 and insulation of 0 m or more, found a bore of ${boreM} m, ${insideM} m inside, fill ${fill}, insulation ${insulationM} m.`,
  );
}

function heatCapacity(wall: MaterialId, volumeM3: number): number {
  const { densityKgPerM3, heatCapacityJPerKgK } = MATERIALS[wall];
  return densityKgPerM3 * heatCapacityJPerKgK * volumeM3;
}

/** All but the film's share of the resistance; both conductances over the same surface. */
function fixedShare(conductance: number, filmAlone: number): number {
  return Math.max(0, 1 - conductance / filmAlone);
}
