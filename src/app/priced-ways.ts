/** What is accepted of the ways there are, and which of two ways to winterize comes first. */
import type { Candidate, Money } from '../decision/candidate.ts';
import type { Loss } from '../decision/loss.ts';
import type { Policy } from '../decision/policy.ts';
import { tolerancesFromCosts, type Tolerances } from '../decision/tolerance.ts';
import type { RiskQuestion } from './risk-question.ts';

export type PricedCandidate = Candidate & { readonly money: Money };

/** As stated, or by what the work costs here and what the cold would. */
export function acceptedChances(
  { tolerance, toleranceFrom, caution }: Policy,
  candidates: readonly PricedCandidate[],
  ifWet: Loss,
): Tolerances {
  if (toleranceFrom === 'stated') return tolerance;
  return tolerancesFromCosts({
    ways: candidates.map(({ action, chance, money }) => ({ action, chance, ...money })),
    lossIfWet: ifWet.chance > 0 ? ifWet.expected / ifWet.chance : null,
    caution,
    usual: tolerance,
  });
}

/**
 * Antifreeze before air, unless there is a compressor and air is the cheaper way, with what a low spot left behind costs
 * on average.
 */
export function preferred<T extends { readonly candidate: PricedCandidate }>(
  all: readonly T[],
  { unit }: RiskQuestion,
): readonly T[] {
  if (unit.kit.compressor !== true) return all;
  const ordered = [...all];
  for (let i = 1; i < ordered.length; i++) {
    const [before, here] = [ordered[i - 1], ordered[i]];
    if (before?.candidate.method !== 'antifreeze' || here?.candidate.method !== 'air') continue;
    if (total(here.candidate) < total(before.candidate)) ordered.splice(i - 1, 2, here, before);
  }
  return ordered;
}

function total({ money }: PricedCandidate): number {
  return money.cost + money.loss;
}
