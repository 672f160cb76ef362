/** Where no action leaves little enough: which of them is advised, and when it takes another's place. */
import type { Candidate } from './candidate.ts';

/**
 * Of advice in force another action must save this share of what is to be expected: forecasts move by more than less
 * from run to run. Engineering estimate.
 */
const CLEARLY_LESS = 0.2;

/**
 * The one that costs least, its work and the loss to expect after it; of several the one with the least chance, then the
 * one that would have left least had it been done by now, then the least work. Doing nothing is no way out of work that
 * comes too late only by the clock of one forecast: what would have helped is then still the one to hurry with.
 *
 * @param candidates - in rising order of work, at least one
 */
export function leastLeft(candidates: readonly Candidate[], caution: number): Candidate {
  const burden = burdenOf(candidates, caution);
  const best = leastOf(candidates, [burden, ({ chance }) => chance, ifDone]);
  if (best.action !== 'nothing') return best;
  const missed = candidates.filter((c) => ifDone(c) < c.chance && ifDone(c) < ifDone(best));
  return missed.length === 0 ? best : leastOf(missed, [ifDone, burden]);
}

/** Whether so much less is to be expected of an action that the one in force may be let go for it. */
export function isClearlyLess(
  one: Candidate,
  inForce: Candidate,
  { candidates, caution }: { readonly candidates: readonly Candidate[]; readonly caution: number },
): boolean {
  const burden = burdenOf(candidates, caution);
  return burden(one) < (1 - CLEARLY_LESS) * burden(inForce);
}

type Measured = (candidate: Candidate) => number;

/** Money, where it is counted of all of them; else the chance of damage alone. */
function burdenOf(candidates: readonly Candidate[], caution: number): Measured {
  const isPriced = candidates.every(({ money }) => money !== undefined);
  return isPriced ? ({ money }) => expectedCost(money, caution) : ({ chance }) => chance;
}

/** Work and the loss to expect after it, which counts `caution` times as much as itself. */
export function expectedCost(money: Candidate['money'], caution: number): number {
  return money === undefined ? 0 : money.cost + caution * money.loss;
}

function ifDone({ chance, chanceIfDone }: Candidate): number {
  return chanceIfDone ?? chance;
}

/** By the first measure in which two differ; the first of those that differ in none. */
function leastOf([first, ...others]: readonly Candidate[], measures: readonly Measured[]): Candidate {
  if (first === undefined) throw new Error('There is no candidate; this is a bug.');
  const isLess = (a: Candidate, b: Candidate): boolean => {
    const telling = measures.find((measure) => measure(a) !== measure(b));
    return telling !== undefined && telling(a) < telling(b);
  };
  return others.reduce((best, one) => (isLess(one, best) ? one : best), first);
}
