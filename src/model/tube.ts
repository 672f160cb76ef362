/** Lines and hoses from published dimensions: contents, conductance to calm air and what wind can change of it. */
import { ModelError } from '../errors.ts';
import type { Vessel } from './body.ts';
import {
  FOAM_CONDUCTIVITY_W_PER_M_K,
  MATERIALS,
  cylinderResistance,
  seriesConductance,
  type MaterialId,
} from './conduction.ts';
import { cylinderFilm } from './film.ts';
import { iceLayerRatio } from './ice.ts';
import { WATER_DENSITY_KG_PER_M3 } from './water.ts';

const INCH_M = 0.0254;

interface Tube {
  readonly boreIn: number;
  readonly outsideIn: number;
  readonly wall: MaterialId;
}

/**
 * PEX: ASTM F876, copper-tube size, average bores (they give the published contents; the minimum-wall ones often
 * listed do not). Copper: ASTM B88 type L, nominal. Hose: bore by name, wall 3 mm, an engineering estimate (2 to 4).
 */
const DIMENSIONS = {
  'pex-3/8': { boreIn: 0.35, outsideIn: 0.5, wall: 'pex' },
  'pex-1/2': { boreIn: 0.475, outsideIn: 0.625, wall: 'pex' },
  'pex-5/8': { boreIn: 0.574, outsideIn: 0.75, wall: 'pex' },
  'pex-3/4': { boreIn: 0.671, outsideIn: 0.875, wall: 'pex' },
  'copper-3/8': { boreIn: 0.43, outsideIn: 0.5, wall: 'copper' },
  'copper-1/2': { boreIn: 0.545, outsideIn: 0.625, wall: 'copper' },
  'copper-3/4': { boreIn: 0.785, outsideIn: 0.875, wall: 'copper' },
  'hose-1/2': { boreIn: 0.5, outsideIn: 0.736, wall: 'pvc' },
  'hose-5/8': { boreIn: 0.625, outsideIn: 0.861, wall: 'pvc' },
} as const satisfies Readonly<Record<string, Tube>>;

export type TubeId = keyof typeof DIMENSIONS;

/** Names of all tubes, for the config. */
export const TUBES = Object.keys(DIMENSIONS) as readonly TubeId[];

export interface LineOf {
  /** A name of `TUBES`. */
  readonly tube: string;
  readonly lengthM: number;
  /** Thickness of insulation around it [m]; absent: bare. */
  readonly sleeveM?: number;
  /** Absent: closed-cell foam. */
  readonly sleeveWPerMK?: number;
}

/**
 * A line full of water in calm air: natural convection at the film's fixed difference, radiation, wall and sleeve.
 * The sleeve's own heat and the water side's film are neglected, and so are brackets and contacts.
 *
 * @throws ModelError for an unknown tube, a length of 0 or less, a sleeve below 0.
 */
export function lineOf({ tube, lengthM, sleeveM = 0, sleeveWPerMK }: LineOf): Vessel {
  const { boreM, outsideM, material } = tubeOf(tube);
  if (!(lengthM > 0 && sleeveM >= 0)) {
    throw new ModelError(
      `A line needs a length above 0 and a sleeve of 0 m or more, found ${lengthM} and ${sleeveM}.`,
    );
  }
  const sleeved = outsideM + 2 * sleeveM;
  const wall = cylinderResistance(boreM, outsideM, material.conductivityWPerMK);
  const sleeve = cylinderResistance(outsideM, sleeved, sleeveWPerMK ?? FOAM_CONDUCTIVITY_W_PER_M_K);
  const film = 1 / (cylinderFilm(0, sleeved) * Math.PI * sleeved);
  const perMetre = seriesConductance([wall, sleeve, film]);
  const boreM2 = (Math.PI * boreM ** 2) / 4;
  const wallM2 = (Math.PI * outsideM ** 2) / 4 - boreM2;
  return {
    waterKg: WATER_DENSITY_KG_PER_M3 * boreM2 * lengthM,
    conductanceWPerK: perMetre * lengthM,
    wallHeatCapacityJPerK: wallM2 * lengthM * material.densityKgPerM3 * material.heatCapacityJPerKgK,
    iceLayerRatio: iceLayerRatio(boreM, perMetre / (Math.PI * boreM)),
    diameterM: sleeved,
    fixedShare: (wall + sleeve) * perMetre,
  };
}

/** Bore and outside [m], and what the wall is made of. */
function tubeOf(name: string) {
  const tube = TUBES.find((id) => id === name);
  if (tube === undefined)
    throw new ModelError(`There is no tube "${name}"; write one of ${TUBES.join(', ')}.`);
  const { boreIn, outsideIn, wall } = DIMENSIONS[tube];
  return { boreM: boreIn * INCH_M, outsideM: outsideIn * INCH_M, material: MATERIALS[wall] };
}
