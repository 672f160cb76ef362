/** How much of the wind comes to a unit, and to its parts. Engineering estimates. */
import type { Shelter, StatedDefault, UnitSpec, ZoneId } from './unit.ts';

/** Trees or buildings around, or units to both sides under a roof, halve the wind (0.3 to 0.7); in a barn is none. */
const REACHING: Readonly<Record<Shelter, number>> = { open: 1, sheltered: 0.5, row: 0.5, barn: 0 };

export function windReaching({ shelter = 'open' }: UnitSpec): number {
  return REACHING[shelter];
}

export function windStated(spec: UnitSpec): StatedDefault[] {
  if ((spec.shelter ?? 'open') === 'open') return [];
  const note = spec.shelter === 'barn' ? 'none in an enclosed barn (0 to 0.1)' : '(0.3 to 0.7)';
  return [{ path: 'windReaching', value: String(windReaching(spec)), provenance: 'estimate', note }];
}

/**
 * Wind half a metre up over that at 10 m: 0.5 in the open by the logarithmic profile over short grass, 0.3 under
 * a unit without skirting, half of that for what hangs half inside a belly.
 */
export function partWindShare(zone: ZoneId, { skirting, belly }: UnitSpec): number {
  if (zone === 'outside' || zone === 'post') return 0.5;
  if (skirting !== 'none') return 0;
  if (zone === 'outlet') return belly === 'open' ? 0.3 : 0.15;
  return zone === 'underneath' ? 0.3 : 0;
}
