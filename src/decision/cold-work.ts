/** Cold slows the hands. */
import { isTrap } from '../model/circuit-names.ts';
import type { Action } from './advice.ts';
import type { Work } from './policy.ts';

/** Common practice, no source: below −5 °C work takes 1.3 times as long, below −12 °C 1.6 times. */
const SLOWED: readonly (readonly [belowC: number, factor: number])[] = [
  [-12, 1.6],
  [-5, 1.3],
];

/** Pouring into drains, inside and without a wrench, goes as fast in any cold. */
export function isSlowed(
  { slowedByCold }: Work,
  action: Action,
  circuits: readonly string[] | null,
): boolean {
  return slowedByCold?.includes(action) === true && circuits?.every(isTrap) !== true;
}

/** Below about this caps and valve handles snap [°C]. Common practice. */
export const BRITTLE_BELOW_C = -7;

/** How many times as long work takes in such air. */
export function coldFactor(airC: number): number {
  return SLOWED.find(([belowC]) => airC < belowC)?.[1] ?? 1;
}
