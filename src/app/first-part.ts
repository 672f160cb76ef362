import type { ScenarioRisk } from '../model/risk.ts';
import type { UnitModel } from '../model/unit.ts';

/** Id of the part that goes first in most members, by weight; null: none does. */
export function firstPart({ firstPart: parts, weights }: ScenarioRisk, unit: UnitModel): string | null {
  const sums = new Map<string, number>();
  parts.forEach((part, member) => {
    const id = unit.parts[part]?.id;
    if (id !== undefined) sums.set(id, (sums.get(id) ?? 0) + (weights[member] ?? 0));
  });
  let best: { part: string; weight: number } | null = null;
  // A hair's difference in the sum of weights is rounding, and must not hang on the members' order.
  for (const [part, weight] of [...sums].toSorted(([x], [y]) => (x < y ? -1 : 1))) {
    if (best === null || weight > best.weight + 1e-9) best = { part, weight };
  }
  return best?.part ?? null;
}
