/** Which circuits a piece of work is for, and what its lines then ask for. */
import { isTrap } from './circuits.ts';

/** Null: the whole unit. The rest is done already, or ice still closes it. */
export type Scope = readonly string[] | null;

export function isTank(circuit: string): boolean {
  return circuit.startsWith('tank-');
}

export function covers(scope: Scope, ...circuits: readonly string[]): boolean {
  return scope === null || circuits.some((circuit) => scope.includes(circuit));
}

/** Each is done by itself, at its own drain or its own inlet, whatever stands in the lines. */
const BY_THEMSELVES: readonly string[] = ['flush', 'post'];

/** Filled and blown out through the unit's own lines, and so past its water heater. */
export function throughLines(circuits: readonly string[]): readonly string[] {
  return circuits.filter((c) => !isTrap(c) && !isTank(c) && !BY_THEMSELVES.includes(c));
}

/** Emptied by one piece of work, since what stands in one of them runs into the others. */
const JOINED: readonly string[] = ['cold', 'hot', 'heater'];

export function isJoined(circuits: readonly string[]): boolean {
  return circuits.some((circuit) => JOINED.includes(circuit));
}

const KNOWN: readonly string[] = [
  ...JOINED,
  ...BY_THEMSELVES,
  'inlet',
  'outside-shower',
  'outside-kitchen',
  'washer',
  'ice-maker',
];

/** Of the user's own naming. */
export function ownCircuits(scope: Scope): readonly string[] {
  return throughLines(scope ?? []).filter((circuit) => !KNOWN.includes(circuit));
}
