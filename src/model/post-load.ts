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
export function overloadOf(unit: UnitModel, heated: boolean): Overload | null {
  const borneW = unit.electrics?.limitW ?? null;
  if (borneW === null) return null;
  const askedW = loadW(unit, heated);
  return askedW > borneW ? { askedW, borneW } : null;
}

/** What is on at once [W]. */
export function loadW({ electrics }: UnitModel, heated: boolean): number {
  const on = (electrics?.loads ?? []).filter(({ withHeat }) => heated || withHeat !== true);
  return on.reduce((sum, { watts }) => sum + watts, 0);
}

/** What would be on, with the heat, beyond what the post bears [W]; 0: it bears it. */
export function overloadW(unit: UnitModel): number {
  const over = overloadOf(unit, true);
  return over === null ? 0 : over.askedW - over.borneW;
}
