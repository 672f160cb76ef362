/** The space under a unit whose sides are closed to the ground. */
import type { Frame } from './catalogue-frame.ts';
import type { PathSpec } from './stated-network.ts';
import type { UnitSpec } from './unit.ts';

/**
 * Skirt and its gaps per length of the unit [W/(K·m)], calm and more for each m/s of wind. Chosen so that, at
 * −10 °C over ground at 4 °C, half way between a cold and a warm cabin, the air below stands above outside by what
 * the trade says: vinyl 4 K calm and 2 K in 5 m/s, board 8 K (5 to 12).
 */
const SKIRT = {
  vinyl: { calm: 19, perWind: 5.2, note: '4 K above outside in calm air, 2 K in wind' },
  insulated: { calm: 6, perWind: 0.5, note: '8 K (5 to 12) above outside' },
} as const;
/** From the air below to the ground whose temperature the forecast gives [W/(m²·K)]: engineering estimate. */
const SOIL_W_PER_M2_K = 2;

export function skirtPaths({ skirting }: UnitSpec, { lengthM, floorM2, outer }: Frame): PathSpec[] {
  const { calm, perWind, note } = SKIRT[skirting === 'insulated' ? 'insulated' : 'vinyl'];
  return [
    {
      name: outer === 'barn' ? 'underneathBarn' : 'underneathOutside',
      between: ['underneath', outer],
      key: 'underneathOutside',
      calm: calm * lengthM,
      perWind: perWind * lengthM,
      provenance: 'practice',
      note: `skirting that keeps the air below ${note}`,
    },
    {
      name: 'underneathGround',
      between: ['underneath', 'ground'],
      key: 'underneathGround',
      calm: SOIL_W_PER_M2_K * floorM2,
      perWind: 0,
      provenance: 'estimate',
      note: `${SOIL_W_PER_M2_K} W/K per m² of ground (1 to 3)`,
    },
  ];
}
