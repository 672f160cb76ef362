/** Heaters of single parts: burner or element, tankless protection, pads, heated hose. They warm nothing else. */
import type { TankId } from './catalogue-parts.ts';
import type { Part, PartHeat, Provenance, StatedDefault, UnitSpec } from './unit.ts';

export interface Warmer {
  readonly heat: PartHeat;
  readonly provenance: Provenance;
  /** Where its numbers come from, with their plausible range. */
  readonly note: string;
}

/** A burner gives its tank about 3 kW, an element 1.4 kW; both hold it above 45 °C. */
const HEATER_W = { gas: 3000, shore: 1400 } as const;
const HEATER_ON_BELOW_C = 45;
/**
 * Through 10 cm of brass (120 W/(m·K), 1.3 cm²) from a tank 40 K warmer come about 6 W, which hold the outside
 * fittings some 25 K above the air around them. Nothing comes once they are as warm as that in mild air. The tank goes on
 * giving when its heater stops: 22.7 kg at 45 °C lose 1.5 W/K to the bay and 0.16 W/K by the brass, 16 h to 1/e. After 6 h
 * the brass still brings 4 W at −20 °C in the bay, after 12 h 2.5 W at −10 °C.
 */
const FITTINGS = { watts: 5, onBelowC: 30, stored: [4, 2] } as const;
const TANKLESS: Warmer = {
  heat: { watts: 100, onBelowC: 3.5, needs: 'gas' },
  provenance: 'practice',
  note: 'its own protection (80 to 150 W, below 3 to 5 °C); needs 12 V and gas',
};
const PAD_ON_BELOW_C = 7;
/** 80 W per 25 ft, for the catalogue's hose of 25 ft. */
const HOSE: Warmer = {
  heat: { watts: 80, onBelowC: 7, needs: 'shore' },
  provenance: 'practice',
  note: '80 W per 25 ft (50 to 180), below 7 °C (3 to 8); not its ends, nor the regulator',
};

export const TANK_OF: Readonly<Record<TankId, keyof NonNullable<UnitSpec['tanks']>>> = {
  'fresh-tank': 'fresh',
  'portable-tank': 'fresh',
  'grey-tank': 'grey',
  'black-tank': 'black',
};

export function isTank(id: string): id is TankId {
  return Object.hasOwn(TANK_OF, id);
}

/** What heats a part of the catalogue, or null. */
export function warmerOf(id: string, spec: UnitSpec): Warmer | null {
  if (isTank(id)) return spec.tankPadW === undefined ? null : padOf(spec.tankPadW);
  switch (id) {
    case 'heater-tank':
      return tankHeater(spec);
    case 'heater-fittings':
      return fittingsWarmer(spec);
    case 'tankless-heater':
      return spec.tanklessProtected === true ? TANKLESS : null;
    case 'hose':
      return spec.hoseHeated === true ? HOSE : null;
    default:
      return null;
  }
}

function padOf(watts: number): Warmer {
  return {
    heat: { watts, onBelowC: PAD_ON_BELOW_C, needs: 'shore' },
    provenance: 'practice',
    note: 'pad on below 7 °C (4 to 8); never under an empty tank',
  };
}

function tankHeater({ waterHeater = 'off' }: UnitSpec): Warmer | null {
  if (waterHeater === 'off') return null;
  const range = waterHeater === 'gas' ? '2 to 3.5 kW' : '0.4 to 1.5 kW';
  return {
    heat: { watts: HEATER_W[waterHeater], onBelowC: HEATER_ON_BELOW_C, needs: waterHeater },
    provenance: 'practice',
    note: `${waterHeater === 'gas' ? 'burner' : 'element'} (${range}), below 45 °C (40 to 60)`,
  };
}

function fittingsWarmer({ waterHeater = 'off' }: UnitSpec): Warmer | null {
  if (waterHeater === 'off') return null;
  return {
    heat: { ...FITTINGS, needs: waterHeater },
    provenance: 'estimate',
    note: 'from the hot tank, through 10 cm of brass (2 to 10 W); without its supply 4 W for 6 h, 2 W for 6 h more',
  };
}

/** The numbers of the heaters of the catalogue's parts; lines state their own. */
export function warmersStated(parts: readonly Part[], spec: UnitSpec): StatedDefault[] {
  return parts.flatMap(({ id, heat, provenance: from }) => {
    const warmer = from === 'config' || from === 'derived' ? null : warmerOf(id, spec);
    if (heat === undefined || warmer === null) return [];
    const { provenance, note } = warmer;
    const value = `${heat.watts} W below ${heat.onBelowC} °C, needs ${heat.needs === 'gas' ? 'gas' : 'shore power'}`;
    return [{ path: `parts.${id}.heat`, value, provenance, note }];
  });
}
