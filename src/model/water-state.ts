import type { EpochSeconds } from '../quantity/instant.ts';
import { isTank, isTrap } from './circuit-names.ts';
import type { Filling } from './filling.ts';
import type { Measure } from './measure.ts';

/** What is in a circuit. `unknown` is taken as wet. */
export type WaterState =
  | { readonly kind: 'wet' | 'unknown' }
  | { readonly kind: 'drained'; readonly quality: 'well' | 'quick' }
  | { readonly kind: 'blown' }
  | ({ readonly kind: 'antifreeze' } & Filling);

export interface CircuitState {
  readonly state: WaterState;
  /** Null: for as long as anyone knows. */
  readonly since: EpochSeconds | null;
  readonly by: string | null;
}

/** The water of a unit: what holds for every circuit, and what differs. */
export interface UnitWater {
  readonly all: CircuitState;
  readonly circuits: Readonly<Record<string, CircuitState>>;
  /** Someone has the heat on, whatever the config says. */
  readonly keptWarm?: boolean;
  /** Since when; absent: for as long as anyone knows. */
  readonly keptWarmSince?: EpochSeconds;
  /** What was done for it; absent: the whole list for dusk. */
  readonly keptWarmBy?: readonly Measure[];
  /** What it was before, oldest first: cold that came then came to that water. */
  readonly before?: readonly { readonly until: EpochSeconds; readonly water: UnitWater }[];
}

/**
 * A trap of which nothing is said keeps its water when the unit is drained or blown out: neither empties it. A tank is
 * drained before air is blown through the lines.
 */
export function circuitState(water: UnitWater, circuit: string): CircuitState {
  const own = Object.hasOwn(water.circuits, circuit) ? water.circuits[circuit] : undefined;
  if (own !== undefined) return own;
  const { kind } = water.all.state;
  if ((kind === 'drained' || kind === 'blown') && isTrap(circuit))
    return { state: { kind: 'wet' }, since: null, by: null };
  if (kind === 'blown' && isTank(circuit))
    return { ...water.all, state: { kind: 'drained', quality: 'well' } };
  return water.all;
}

export function isWet(state: WaterState): boolean {
  return state.kind === 'wet' || state.kind === 'unknown';
}

/** What a circuit can come to hold. */
export type WaterKind = WaterState['kind'];

/** Parts that antifreeze never goes through: they are bypassed and drained. */
const NEVER_FILLED: readonly string[] = ['water-softener', 'canister-filter', 'post-filter'];

interface Impossible {
  readonly kind: WaterKind;
  /** Whether it holds for a circuit of that name with those parts. */
  readonly of: (circuit: string, parts: readonly string[]) => boolean;
  /** Why not, and what can be said instead, as a full sentence. */
  readonly why: string;
}

/** What cannot be, whatever the circuit held before: every other state can follow every other. */
const IMPOSSIBLE: readonly Impossible[] = [
  {
    kind: 'blown',
    of: isTrap,
    why: 'Air does not empty a trap: fill it with antifreeze, or empty it by hand and say drained.',
  },
  {
    kind: 'blown',
    of: isTank,
    why: 'Air does not empty a tank: open its drain and say drained.',
  },
  {
    kind: 'antifreeze',
    of: (circuit) => circuit === 'post',
    why: 'No antifreeze goes into hose, regulator and filter at the post: take them in, empty, and say drained.',
  },
  {
    kind: 'antifreeze',
    of: (_, parts) => parts.length > 0 && parts.every((part) => NEVER_FILLED.includes(part)),
    why: 'Antifreeze never goes through a water softener or a canister filter: bypass it, drain it and say drained.',
  },
];

/**
 * Why a circuit cannot be in a state that is said of it alone; null: it can.
 *
 * @param parts - ids of the parts in the circuit
 */
export function whyNot(
  state: WaterKind,
  { circuit, parts }: { readonly circuit: string; readonly parts: readonly string[] },
): string | null {
  return IMPOSSIBLE.find(({ kind, of }) => kind === state && of(circuit, parts))?.why ?? null;
}
