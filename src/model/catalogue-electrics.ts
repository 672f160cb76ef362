/** What draws on the post of one unit. */
import { isTank } from './catalogue-warmers.ts';
import { HEATED_HOSE_LOAD } from './post-load.ts';
import type { ElectricLoad, Electrics, Heat, Part, StatedDefault, UnitSpec } from './unit.ts';

/** Heat over electricity of a roof unit near its limit (2 to 3): engineering estimate. */
const HEAT_PUMP_GAIN = 2.5;

/** Null: nothing is known of the post, and nothing heats by it. */
export function buildElectrics(spec: UnitSpec, heat: Heat | null, parts: readonly Part[]): Electrics | null {
  const { limitW = null, loads: others = [] } = spec.electrics ?? {};
  if (heat?.shore === false) return null;
  const loads = [...cabinLoads(heat), ...partLoads(parts), ...others].filter(({ watts }) => watts > 0);
  return limitW === null && loads.length === 0 ? null : { limitW, loads };
}

function cabinLoads(heat: Heat | null): ElectricLoad[] {
  return [
    { label: 'electric heaters', watts: heat?.electricW ?? 0, withHeat: true },
    { label: 'heat pump', watts: (heat?.heatPump?.watts ?? 0) / HEAT_PUMP_GAIN, withHeat: true },
  ];
}

/** The outside fittings of the water heater draw nothing: what warms them comes from its tank. */
function partLoads(parts: readonly Part[]): ElectricLoad[] {
  const heated = parts.filter(({ heat, id }) => heat?.needs === 'shore' && id !== 'heater-fittings');
  const sum = (label: string, of: (id: string) => boolean): ElectricLoad => ({
    label,
    watts: heated.filter(({ id }) => of(id)).reduce((total, { heat }) => total + (heat?.watts ?? 0), 0),
  });
  const isKnown = (id: string): boolean => id === 'heater-tank' || id === 'hose' || isTank(id);
  return [
    sum('water heater’s element', (id) => id === 'heater-tank'),
    sum('tank pads', isTank),
    sum(HEATED_HOSE_LOAD, (id) => id === 'hose'),
    sum('heat tape', (id) => !isKnown(id)),
  ];
}

export function electricsStated(electrics: Electrics | null): StatedDefault[] {
  if (electrics === null) return [];
  const { limitW, loads } = electrics;
  const total = loads.reduce((sum, { watts }) => sum + watts, 0);
  const drawn = loads.map(({ label, watts }) => `${label} ${Math.round(watts)}`).join(', ');
  const entries: StatedDefault[] = [
    {
      path: 'electrics.loads',
      value: `${Math.round(total)} W`,
      provenance: 'derived',
      note: drawn === '' ? 'nothing is known to draw on the post' : drawn,
    },
  ];
  if (limitW === null) return entries;
  const note = 'what the breaker bears for long: 0.8 of its amperes times the voltage, on each of its legs';
  return [
    { path: 'electrics.limit', value: `${Math.round(limitW)} W`, provenance: 'practice', note },
    ...entries,
  ];
}
