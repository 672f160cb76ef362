/** A unit as somebody keeps it warm for the night. */
import { buildUnit } from './catalogue.ts';
import type { HeatSpec, UnitModel, UnitSpec } from './unit.ts';

/**
 * The furnace on, and the list for dusk done: cupboards on outside walls open, electric heaters down where a duct
 * below lives off the furnace, the water heater on. The parts and their order stay as they are. Null: there is no
 * vented, thermostatted furnace to switch on.
 */
export function keptWarm(spec: UnitSpec): UnitModel | null {
  const { heat } = spec;
  if (heat === null || heat.furnaceW <= 0) return null;
  const ducted = spec.belly === 'heated' || (heat.ductedShare ?? 0) > 0;
  const electric = ducted ? { electricW: 0 } : {};
  return buildUnit({
    ...spec,
    cupboardsOpen: true,
    waterHeater: heaterOn(spec, heat),
    heat: { ...heat, ...electric, running: true },
  });
}

function heaterOn(
  { waterHeater = 'off' }: UnitSpec,
  { gas, shore }: HeatSpec,
): NonNullable<UnitSpec['waterHeater']> {
  if (waterHeater !== 'off') return waterHeater;
  return gas !== undefined || shore === false ? 'gas' : 'shore';
}
