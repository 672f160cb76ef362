/**
 * When a part is damaged, given what is in it. "No water" and "damage" coincide for a sealed rigid part: once
 * blocked, the pressure between ice and a shut tap breaks it.
 */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { isTank } from './circuit-names.ts';
import { bearsC } from './filling.ts';
import { emptiedBy, type Measure } from './measure.ts';
import type { Part, UnitModel } from './unit.ts';
import { circuitState, type CircuitState, type UnitWater, type WaterState } from './water-state.ts';

/** The rule of thumb for a drained part: damaged once its zone has been this cold this long. */
export interface SustainedRule {
  readonly atC: number;
  readonly hours: number;
  /** It takes the place of the computed budgets of parts full of water, too. */
  readonly replacesBudgets?: boolean;
}

/** Parts at the hook-up are taken in when the unit is drained or kept warm; empty and stowed they take any cold. */
export const STOWED_CIRCUIT = 'post';

export const SHOWER_CIRCUIT = 'outside-shower';

/** Emptied and left open at dusk where a unit is kept warm: what stays in them has room, whatever the cold. */
const OPENED_CIRCUITS: readonly string[] = ['inlet', 'flush', SHOWER_CIRCUIT];

/** What keeps a circuit from being emptied at dusk. */
interface AtDusk extends Pick<UnitModel, 'showerOnLines'> {
  /** Circuits that ice closes. */
  readonly frozen?: ReadonlySet<string>;
  /** What is done at dusk; absent: the whole list. */
  readonly measures?: readonly Measure[];
}

/**
 * The water after the list for dusk. Heat does not reach these circuits; what is in them decides. An outside shower
 * without valves of its own stays as full as the lines that it hangs on.
 */
export function emptiedAtDusk(
  water: UnitWater,
  by: Pick<CircuitState, 'since' | 'by'>,
  { showerOnLines, frozen, measures }: AtDusk = {},
): UnitWater['circuits'] {
  const emptied = { state: { kind: 'drained', quality: 'well' }, ...by } as const;
  const listed = measures === undefined ? [STOWED_CIRCUIT, ...OPENED_CIRCUITS] : emptiedBy(measures);
  const still = listed.filter((circuit) => {
    const { kind } = circuitState(water, circuit).state;
    if (frozen?.has(circuit) === true || (showerOnLines === true && circuit === SHOWER_CIRCUIT)) return false;
    return kind !== 'blown' && kind !== 'antifreeze';
  });
  return { ...water.circuits, ...Object.fromEntries(still.map((circuit) => [circuit, emptied])) };
}

/** Whether the part keeps its water although its circuit was drained. */
function keepsPocket(part: Part, quality: 'well' | 'quick'): boolean {
  return part.pocket === 'always' || (part.pocket === 'quick' && quality === 'quick');
}

/** Whether cold can reach water in it, so that its own budget decides. */
export function holdsWater(part: Part, state: WaterState): boolean {
  if (state.kind === 'wet' || state.kind === 'unknown') return true;
  return state.kind === 'drained' && part.circuit !== STOWED_CIRCUIT && keepsPocket(part, state.quality);
}

/** Once drained it is left open, or has a whole tank's room above what stays in it. */
function standsOpen(circuit: string): boolean {
  return OPENED_CIRCUITS.includes(circuit) || isTank(circuit);
}

/** What hurts a part in a state: ice in it, its zone so cold for so long, or nothing. */
export type Harm =
  { readonly kind: 'ice' } | { readonly kind: 'cold'; readonly atC: number; readonly hours: number } | null;

export function harmOf(part: Part, state: WaterState, rule: SustainedRule): Harm {
  const sustained = { kind: 'cold', atC: rule.atC, hours: rule.hours } as const;
  if (holdsWater(part, state)) {
    // Ice that has room to grow into closes the way and breaks nothing.
    if (part.headroom === true) return null;
    return rule.replacesBudgets === true ? sustained : { kind: 'ice' };
  }
  if (part.circuit === STOWED_CIRCUIT) return null;
  switch (state.kind) {
    case 'wet':
    case 'unknown':
    case 'blown':
      return null;
    case 'drained':
      // Open and empty it takes any cold; emptied in a hurry it may not be.
      return state.quality === 'well' && standsOpen(part.circuit) ? null : sustained;
    case 'antifreeze':
      return { kind: 'cold', atC: bearsC(part.circuit, state), hours: 0 };
  }
}

/** Damage before an instant, the last, and after it, the first; infinite where there is none. */
export interface Found {
  before: EpochSeconds;
  after: EpochSeconds;
}

export interface ColdAsked {
  readonly atC: number;
  readonly hours: number;
  readonly firstHour: EpochSeconds;
  readonly from: EpochSeconds;
  readonly until: EpochSeconds;
  readonly now: EpochSeconds;
}

/**
 * Instants from `from` to `until` at which a zone has been at or below a temperature for so many hours, each stretch once.
 *
 * @param values - at the hours, taken as linear in between [°C]
 */
export function findCold(values: Float64Array, asked: ColdAsked, found: Found): void {
  const { atC, hours, firstHour, from, until, now } = asked;
  const needed = hours * HOUR_S;
  let start = Number.NaN;
  let counted = false;
  found.before = -Infinity;
  found.after = Infinity;
  for (let i = 0; i + 1 < values.length; i++) {
    const t0 = firstHour + i * HOUR_S;
    if (t0 + HOUR_S <= from) continue;
    const y0 = values[i]! - atC;
    const y1 = values[i + 1]! - atC;
    if (y0 > 0 && y1 > 0) continue;
    const crossing = t0 + (HOUR_S * y0) / (y0 - y1);
    const begins = Math.max(from, y0 > 0 ? crossing : t0);
    const ends = y1 > 0 ? crossing : t0 + HOUR_S;
    if (ends < from) continue;
    if (Number.isNaN(start)) {
      start = begins;
      counted = false;
    }
    const due = start + needed;
    if (!counted && due <= ends) {
      if (due > until) return;
      counted = true;
      if (due <= now) found.before = due;
      else {
        found.after = due;
        return;
      }
    }
    if (y1 > 0) start = Number.NaN;
  }
}
