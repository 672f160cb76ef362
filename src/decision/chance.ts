/** Chances: weights of members that come to harm. */
import type { ScenarioRisk } from '../model/risk.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { FirstDamage } from './advice.ts';

/**
 * Blowing out can leave a low spot: chance that a unit blown out comes to harm in a freeze that would have hurt
 * it wet. Common practice, no source: a few per cent.
 */
export const BLOWN_OUT_RISK = 0.03;

/** Weights are summed and then rounded, so that the order of the members cannot show. */
const DIGITS = 1e9;

/** Weight of the members damaged after `now` and up to `until`. */
export function chanceOfDamage({ weights, firstAt }: ScenarioRisk, until: EpochSeconds): number {
  return weightOf(weights, (member) => (firstAt[member] ?? Infinity) <= until);
}

/** The same where each member has an end of its own. */
export function chanceOfDamageBy(
  { weights, firstAt }: ScenarioRisk,
  untils: readonly EpochSeconds[],
): number {
  return weightOf(weights, (member) => (firstAt[member] ?? Infinity) <= (untils[member] ?? -Infinity));
}

/** The same of one part, by its place in the unit's order. */
export function chanceOfPart(risk: ScenarioRisk, part: number, until: EpochSeconds): number {
  const { weights, partAt } = risk;
  const parts = partAt.length / weights.length;
  return weightOf(weights, (member) => (partAt[member * parts + part] ?? Infinity) <= until);
}

function weightOf(weights: Float64Array, chosen: (member: number) => boolean): number {
  const sum = weights.reduce((total, weight, member) => (chosen(member) ? total + weight : total), 0);
  return Math.min(1, Math.round(sum * DIGITS) / DIGITS);
}

/**
 * The q-quantile of the first damage over all members: the earliest instant by which at least that weight is
 * damaged. Null when less weight than q is ever damaged; the undamaged count as never.
 */
function damageQuantile({ weights, firstAt }: ScenarioRisk, q: number): EpochSeconds | null {
  const damaged = Array.from(weights, (weight, member) => ({ at: firstAt[member] ?? Infinity, weight }))
    .filter(({ at }) => at < Infinity)
    .toSorted((x, y) => x.at - y.at);
  let sum = 0;
  for (const { at, weight } of damaged) {
    sum += weight;
    if (sum >= q - 1 / DIGITS) return at;
  }
  return null;
}

/** The deadline's quantile leaves at least half of the accepted chance unused. */
function deadlineQuantile(tolerance: number): number {
  return Math.min(0.1, tolerance / 2);
}

export function firstDamage(risk: ScenarioRisk, tolerance: number): FirstDamage {
  const quantile = deadlineQuantile(tolerance);
  return {
    earliest: damageQuantile(risk, 0),
    deadlineQuantile: quantile,
    deadlineAt: damageQuantile(risk, quantile),
    median: damageQuantile(risk, 0.5),
  };
}
