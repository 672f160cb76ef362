/** Why more is advised than would do within the window: the cold in which that ends goes on. */
import type { Action, PerAction, ReasonCode, ThroughCold } from './advice.ts';
import { isStronger } from './advice.ts';
import { acceptedOf, type Candidate } from './candidate.ts';
import type { Policy } from './policy.ts';

interface Decided {
  readonly action: Action;
  readonly reasonCode: ReasonCode;
}

/** Null: what is advised is the least that does within the window, too. */
export function throughCold(
  candidates: readonly Candidate[],
  { action, reasonCode }: Decided,
  tolerance: Policy['tolerance'],
): ThroughCold | null {
  if (reasonCode !== 'cold-ahead') return null;
  const passed = candidates.filter(
    (c) =>
      c.action !== 'nothing' &&
      isStronger(action, c.action) &&
      c.chance <= acceptedOf(c, tolerance) &&
      (c.chanceInSpell ?? 0) > acceptedOf(c, tolerance),
  );
  const until = passed[0]?.spellEndsAt;
  if (until === undefined) return null;
  const chances: PerAction = Object.fromEntries(
    passed.map((c): [Action, number] => [c.action, c.chanceInSpell ?? c.chance]),
  );
  return { until, chances };
}
