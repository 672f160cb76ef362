/**
 * How good chances were: the Brier score, what it is made of, and how often what was given so much chance happened.
 *
 * References:
 * 1. Murphy, A. H., 1973: A new vector partition of the probability score. Journal of Applied Meteorology 12:595-600.
 */
import type { EpochSeconds } from '../quantity/instant.ts';
import { groupBy } from './group.ts';
import { mean } from './scores.ts';

export interface ChanceCase {
  readonly chance: number;
  readonly happened: boolean;
}

/** Mean of (chance − what happened)²; NaN of nothing. */
export function brierScore(cases: readonly ChanceCase[]): number {
  return mean(cases.map(({ chance, happened }) => (chance - Number(happened)) ** 2));
}

/** The score is reliability − resolution + uncertainty [1]. */
export interface BrierParts {
  /** Mean square of chance against frequency: 0 is best. */
  readonly reliability: number;
  /** Mean square of frequency against the base rate: the more the better. */
  readonly resolution: number;
  /** Of the weather itself. */
  readonly uncertainty: number;
}

/**
 * By every chance that was given, or by groups of chances: with groups the parts miss the score by what differs within
 * one, but do not take each rare chance for a law of its own.
 */
export function brierParts(
  cases: readonly ChanceCase[],
  groupOf: (chance: number) => number = (chance) => chance,
): BrierParts {
  const base = frequency(cases);
  const groups = [...groupBy(cases, ({ chance }) => groupOf(chance)).values()];
  const over = (offOf: (group: readonly ChanceCase[]) => number): number =>
    groups.reduce((sum, group) => sum + group.length * offOf(group) ** 2, 0) / cases.length;
  return {
    reliability: over((group) => mean(group.map(({ chance }) => chance)) - frequency(group)),
    resolution: over((group) => frequency(group) - base),
    uncertainty: base * (1 - base),
  };
}

/** Share of the base rate's own score that was saved; null where that is 0: all or none happened. */
export function brierSkill(cases: readonly ChanceCase[]): number | null {
  const base = frequency(cases);
  const reference = base * (1 - base);
  return reference > 0 ? 1 - brierScore(cases) / reference : null;
}

function frequency(cases: readonly ChanceCase[]): number {
  return mean(cases.map(({ happened }) => Number(happened)));
}

/** One tenth of the chances: from 0.1·index to under the next; the last holds 1. */
export interface Tenth {
  readonly from: number;
  readonly to: number;
  readonly n: number;
  /** Hours of a day go together: only days count as independent cases. */
  readonly days: number;
  readonly meanChance: number;
  readonly frequency: number;
}

/** Those tenths that hold anything. */
export function reliabilityTable(cases: readonly (ChanceCase & { readonly day: EpochSeconds })[]): Tenth[] {
  const groups = groupBy(cases, ({ chance }) => tenthOf(chance));
  return [...groups]
    .toSorted(([a], [b]) => a - b)
    .map(([tenth, of]) => ({
      from: tenth / 10,
      to: (tenth + 1) / 10,
      n: of.length,
      days: new Set(of.map(({ day }) => day)).size,
      meanChance: mean(of.map(({ chance }) => chance)),
      frequency: frequency(of),
    }));
}

/** 0 to 9. Sums of weights miss a tenth by their last digits. */
export function tenthOf(chance: number): number {
  return Math.min(9, Math.floor(chance * 10 + 1e-9));
}
