import type { Tolerances } from '../decision/tolerance.ts';
import { isTank, isTrap } from '../model/circuit-names.ts';
import { circuitState } from '../model/water-state.ts';
import type { Considered } from './considered.ts';
import type { RiskQuestion } from './risk-question.ts';

/**
 * A unit that was drained, or winterized, is left with what its work was accepted to leave, or the very work that was asked
 * for would be too little an hour after it was done. Not where more of the same can be done, and not with prices: they say
 * by themselves what the next work is worth.
 */
export function settled(
  all: readonly Considered[],
  { unit, water }: RiskQuestion,
  tolerance: Tolerances,
): readonly Considered[] {
  if (unit.policy.toleranceFrom !== 'stated') return all;
  if (all.some(({ candidate }) => candidate.action === 'drain' || candidate.action === 'drain-part'))
    return all;
  const circuits = [...new Set(unit.model.parts.map(({ circuit }) => circuit))].filter((c) => !isTrap(c));
  const kindOf = (circuit: string): string => circuitState(water, circuit).state.kind;
  // Ice may close the drain of one that is still full: then no work is offered, and it is not done.
  if (circuits.some((circuit) => ['wet', 'unknown'].includes(kindOf(circuit)))) return all;
  const lines = circuits.filter((circuit) => !isTank(circuit));
  if (lines.length === 0) return all;
  const drained = lines.some((circuit) => kindOf(circuit) === 'drained');
  // Traps or a line that was left out are still to be done.
  if (!drained && all.some(({ candidate }) => candidate.circuits !== undefined)) return all;
  const accepted = Math.max(tolerance.nothing, drained ? tolerance.drain : tolerance.winterize);
  return all.map((one) =>
    one.candidate.action === 'nothing' ? { ...one, candidate: { ...one.candidate, accepted } } : one,
  );
}
