/**
 * An enclosed, unheated barn around the unit, as its share of the barn: a bay 4.5 m wide and 2 m longer than the
 * unit. All engineering estimates.
 *
 * - To outside: of a bay 4.5 m high, twice its floor in sheet metal at 3 W/(m²·K), and two changes of air an hour
 *   (4.5 m · 2 · 0.34 Wh/(m³·K)): 9 W/K per m² of floor. The wind of an ordinary night is in it.
 * - To the ground: the slab, 2 W/K per m².
 * - Heat stored: the top 7 cm of the slab, 150 kJ/K per m²; the time constant is about 4 h, so that a daily swing
 *   is little more than half of that outside.
 */
import type { Frame } from './catalogue-frame.ts';
import type { CapacitySpec, PathSpec } from './stated-network.ts';

const BAY_WIDTH_M = 4.5;
const BAY_BEYOND_UNIT_M = 2;
const OUTSIDE_W_PER_M2_K = 9;
const SLAB_W_PER_M2_K = 2;
const SLAB_J_PER_M2_K = 150_000;

/** Per length of the unit; the bay's ends are left out, which is cautious. */
export const BARN_CAPACITY: CapacitySpec = {
  node: 'barn',
  perLength: SLAB_J_PER_M2_K * BAY_WIDTH_M,
  provenance: 'estimate',
  note: 'the top of the slab, 150 kJ/K per m² (100 to 300)',
};

export function barnPaths({ lengthM }: Frame): PathSpec[] {
  const floorM2 = BAY_WIDTH_M * (lengthM + BAY_BEYOND_UNIT_M);
  return [
    {
      name: 'barnOutside',
      between: ['barn', 'outside'],
      key: 'barnOutside',
      calm: OUTSIDE_W_PER_M2_K * floorM2,
      perWind: 0,
      provenance: 'estimate',
      note: `${OUTSIDE_W_PER_M2_K} W/K per m² of floor: sheet metal and two changes of air an hour (5 to 15)`,
    },
    {
      name: 'barnGround',
      between: ['barn', 'ground'],
      key: 'barnGround',
      calm: SLAB_W_PER_M2_K * floorM2,
      perWind: 0,
      provenance: 'estimate',
      note: `${SLAB_W_PER_M2_K} W/K per m² of slab (1 to 3)`,
    },
  ];
}
