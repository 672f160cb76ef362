/** The way to winterize that is not advised, where what it takes is at hand. */
import { isSlowed } from '../decision/cold-work.ts';
import { workMinutes } from '../decision/policy.ts';
import { workCost } from '../decision/work-cost.ts';
import type { RouteFacts } from '../message/message.ts';
import type { UnitEvaluation } from './evaluate.ts';

/** Absent: it is not winterized as a whole, or nobody has said that there is a compressor. */
export function otherMethod({ unit, assessment }: UnitEvaluation): Pick<RouteFacts, 'other'> {
  if (assessment === null || unit.kit.compressor !== true) return {};
  const { advice, candidates } = assessment;
  const { work, route, policy } = unit;
  const way = candidates.find(({ action }) => action === 'winterize');
  if (way === undefined || way.circuits !== undefined || advice.action === 'nothing') return {};
  const method = way.method === 'air' ? 'antifreeze' : 'air';
  const factor = isSlowed(work, 'winterize', null) ? (advice.slowed?.factor ?? 1) : 1;
  const minutes = Math.round(factor * workMinutes(work, 'winterize', method));
  const done = { action: 'winterize', method, minutes, circuits: null, moreGasKg: 0 } as const;
  return { other: { method, minutes, cost: workCost(done, { work, route, costs: policy.costs }) } };
}
