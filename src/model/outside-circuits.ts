/** What of a unit's water can be let out while the lines inside stay in use. */
import { isTank, isTrap } from './circuit-names.ts';
import { SHOWER_CIRCUIT, STOWED_CIRCUIT } from './damage.ts';
import type { UnitModel, ZoneId } from './unit.ts';

/** Behind a lid, a valve or a coupling of their own: common practice. */
const ASIDE: readonly string[] = [STOWED_CIRCUIT, 'inlet', 'flush', 'outside-kitchen'];

/** The lines that taps live from, and what hangs on them inside. The water heater hangs in a bay and belongs to them. */
const LIVE: readonly string[] = ['cold', 'hot', 'heater', 'washer', 'ice-maker'];

const OUTSIDE: readonly ZoneId[] = ['outside', 'post', 'bay'];

/**
 * Circuits that are emptied alone, in the unit's order: those known to be, and of the user's own those that lie outside or
 * in bays altogether. Not an outside shower that hangs on the lines.
 */
export function outsideCircuits({ parts, showerOnLines }: UnitModel): readonly string[] {
  return [...new Set(parts.map((p) => p.circuit))].filter((circuit) => {
    if (circuit === SHOWER_CIRCUIT) return showerOnLines !== true;
    if (ASIDE.includes(circuit)) return true;
    if (LIVE.includes(circuit) || isTank(circuit) || isTrap(circuit)) return false;
    return parts.every((p) => p.circuit !== circuit || OUTSIDE.includes(p.zone));
  });
}
