/** Options weighed: what each leaves of the risk, what it costs, and which of several ways to do the same is taken. */
import { ACTIONS } from '../decision/advice.ts';
import { BLOWN_OUT_RISK, chanceOfDamage } from '../decision/chance.ts';
import type { Option } from '../decision/options.ts';
import { expectedCost } from '../decision/ranking.ts';
import type { Tolerances } from '../decision/tolerance.ts';
import type { ScenarioRisk } from '../model/risk.ts';
import { firstPart } from './first-part.ts';
import { leavesBlown, moneyOf, plainMinutes, type Pricing } from './option-money.ts';
import type { PricedCandidate } from './priced-ways.ts';
import type { RiskQuestion } from './risk-question.ts';
import { untilOf } from './ways.ts';

/** A candidate and what it was made of. */
export interface Considered {
  readonly option: Option;
  readonly candidate: PricedCandidate;
}

export interface Asked {
  readonly request: RiskQuestion;
  readonly chanceIfWet: number;
  readonly pricing: Pricing;
}

export function consideredOf(
  options: readonly Option[],
  risks: readonly ScenarioRisk[],
  asked: Asked,
): readonly Considered[] {
  return options.flatMap((option, i) => {
    const risk = risks[i];
    return risk === undefined ? [] : [{ option, candidate: candidateOf(option, risk, asked) }];
  });
}

/** A circuit that was or would be blown out adds its workmanship's risk where the cold would have hurt it wet. */
export function candidateOf(option: Option, risk: ScenarioRisk, asked: Asked): PricedCandidate {
  const { request, pricing } = asked;
  const chance = Math.max(chanceOfDamage(risk, untilOf(request)), workmanshipOf(option, asked));
  const { action, method, circuits, closed, measures } = option;
  const partial = circuits === null ? {} : { circuits, workMinutes: plainMinutes(request, option) };
  const round = closed === undefined ? {} : { closed };
  const warm =
    measures === null
      ? {}
      : { measures, firstPart: firstPart(risk, option.scenario.unit ?? request.unit.model) };
  return { action, method, chance, ...partial, ...round, ...warm, money: moneyOf(option, risk, pricing) };
}

export function workmanshipOf(
  option: Option,
  { request, chanceIfWet }: Pick<Asked, 'request' | 'chanceIfWet'>,
): number {
  return leavesBlown(option, request) ? Math.round(BLOWN_OUT_RISK * chanceIfWet * 1e9) / 1e9 : 0;
}

/** What the ways to do the same are weighed by. */
export interface Weighing {
  readonly tolerance: Tolerances;
  readonly caution: number;
}

/**
 * Of several ways to do the same, antifreeze before air and at once before later, unless only another stays within
 * the tolerance; where none does, the one that costs least with the loss to expect after it. Of ways to keep it warm,
 * which are the same work, the one that leaves the least.
 */
export function chooseWays(all: readonly Considered[], weighing: Weighing): readonly Considered[] {
  const chosen: Considered[] = [];
  for (const one of all) {
    const at = chosen.findIndex((c) => c.candidate.action === one.candidate.action);
    const known = chosen[at];
    if (known === undefined) chosen.push(one);
    else if (isBetter(one.candidate, known.candidate, weighing)) chosen[at] = one;
  }
  return chosen.toSorted((x, y) => ACTIONS.indexOf(x.candidate.action) - ACTIONS.indexOf(y.candidate.action));
}

function isBetter(one: PricedCandidate, known: PricedCandidate, { tolerance, caution }: Weighing): boolean {
  if (isWarm(known)) return one.chance < known.chance;
  if (known.chance <= tolerance[known.action]) return false;
  if (one.chance <= tolerance[one.action]) return true;
  const [costs, costsKnown] = [expectedCost(one.money, caution), expectedCost(known.money, caution)];
  return costs === costsKnown ? one.chance < known.chance : costs < costsKnown;
}

function isWarm({ action }: PricedCandidate): boolean {
  return action === 'keep-warm';
}
