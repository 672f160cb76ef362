/** What is switched on against what the post bears. Beyond it the breaker trips, and all that lives on it stops. */
import type { UnitModel } from './unit.ts';

/** Drawn only as long as the hose hangs on the post. */
export const HEATED_HOSE_LOAD = 'heated hose';

export interface Overload {
  readonly askedW: number;
  readonly borneW: number;
}

/**
 * Null: the post bears it, or nobody knows what it bears.
 *
 * @param heated - the heat inside is on, and electric heaters with it
 */
export function overloadOf({ electrics }: UnitModel, heated: boolean): Overload | null {
  const borneW = electrics?.limitW ?? null;
  if (electrics === undefined || borneW === null) return null;
  const on = electrics.loads.filter(({ withHeat }) => heated || withHeat !== true);
  const askedW = on.reduce((sum, { watts }) => sum + watts, 0);
  return askedW > borneW ? { askedW, borneW } : null;
}

/** What would be on, with the heat, beyond what the post bears [W]; 0: it bears it. */
export function overloadW(unit: UnitModel): number {
  const over = overloadOf(unit, true);
  return over === null ? 0 : over.askedW - over.borneW;
}
