/** Chances: weights of members that come to harm. */
import type { MemberRisk } from '../model/risk.ts';
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
export function chanceOfDamage(members: readonly MemberRisk[], until: EpochSeconds): number {
  return weightOf(members, (m) => m.first !== null && m.first.at <= until);
}

export function chanceOfPart(members: readonly MemberRisk[], part: number, until: EpochSeconds): number {
  return weightOf(members, (m) => (m.parts[part] ?? Infinity) <= until);
}

function weightOf(members: readonly MemberRisk[], chosen: (m: MemberRisk) => boolean): number {
  const sum = members.reduce((total, m) => (chosen(m) ? total + m.weight : total), 0);
  return Math.min(1, Math.round(sum * DIGITS) / DIGITS);
}

/**
 * The q-quantile of the first damage over all members: the earliest instant by which at least that weight is
 * damaged. Null when less weight than q is ever damaged; the undamaged count as never.
 */
function damageQuantile(members: readonly MemberRisk[], q: number): EpochSeconds | null {
  const damaged = members
    .flatMap((m) => (m.first === null ? [] : [{ at: m.first.at, weight: m.weight }]))
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

export function firstDamage(members: readonly MemberRisk[], tolerance: number): FirstDamage {
  const quantile = deadlineQuantile(tolerance);
  return {
    earliest: damageQuantile(members, 0),
    deadlineQuantile: quantile,
    deadlineAt: damageQuantile(members, quantile),
    median: damageQuantile(members, 0.5),
  };
}
