/** What each way of acting costs, and the loss to expect when it is done. */
import { BLOWN_OUT_RISK } from '../decision/chance.ts';
import { coldFactor, isSlowed } from '../decision/cold-work.ts';
import type { Action } from '../decision/advice.ts';
import type { Money } from '../decision/candidate.ts';
import { lossOf, type Loss } from '../decision/loss.ts';
import { asItStands, type Option } from '../decision/options.ts';
import { partialMinutes, workMinutes } from '../decision/policy.ts';
import { workCost } from '../decision/work-cost.ts';
import type { RiskAssessor, Scenario, ScenarioRisk } from '../model/risk.ts';
import { GIVEN_J_PER_KG } from '../model/supply.ts';
import { furnaceByHour } from '../model/trace.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import type { RiskQuestion } from './risk-question.ts';

/** What prices are asked against. */
export interface Pricing {
  readonly request: RiskQuestion;
  /** Of the window. */
  readonly until: EpochSeconds;
  /** Of the unit full of water in this cold. */
  readonly ifWet: Loss;
  /** Gas that a scenario burns within the window [kg]. */
  readonly gasKg: (scenario: Scenario) => number;
}

export function pricingOf(
  request: RiskQuestion,
  assessor: RiskAssessor,
  { until, ifWet }: Pick<Pricing, 'until' | 'ifWet'>,
): Pricing {
  const gasKg = (scenario: Scenario): number => burntKg(request, assessor, { scenario, until });
  return { request, until, ifWet, gasKg };
}

/** What damage under a scenario costs within the window. */
export function lossUnder(
  { unit, water }: RiskQuestion,
  risk: ScenarioRisk,
  { scenario, until }: { readonly scenario: Scenario; readonly until: EpochSeconds },
): Loss {
  const { model, policy } = unit;
  return lossOf(risk, { parts: model.parts, scenario, water, until, costs: policy.costs });
}

/** More are not read in a line. */
const STAKES_NAMED = 3;

/** Price and loss of one way. Keeping warm costs the gas that it burns beyond what is burnt anyway. */
export function moneyOf(option: Option, risk: ScenarioRisk, pricing: Pricing): Money {
  const { request, until, ifWet } = pricing;
  const { work, route, policy } = request.unit;
  const { action, method, circuits, scenario } = option;
  const minutes = minutesAt(request, option, request.now);
  const cost = workCost(
    { action, method, minutes, circuits, moreGasKg: moreGasKg(option, pricing) },
    { work, route, costs: policy.costs },
  );
  const { expected, parts } = lossUnder(request, risk, { scenario, until });
  const blown = leavesBlown(option, request) ? BLOWN_OUT_RISK * ifWet.expected : 0;
  const atStake = parts.slice(0, STAKES_NAMED).map(({ label }) => label);
  return { cost, loss: Math.max(expected, blown), atStake };
}

/** Who is warm anyway burns no more of it; what a weaker plan saves is not counted. */
function moreGasKg({ action, scenario }: Option, { request, gasKg }: Pricing): number {
  const { unit, water, now } = request;
  if (action !== 'keep-warm' || (unit.keptWarm?.heat?.capacityW ?? 0) === 0) return 0;
  return gasKg(scenario) - gasKg(asItStands(unit.model, water, now));
}

/** A circuit that was or would be blown out. */
export function leavesBlown({ scenario }: Option, { water }: RiskQuestion): boolean {
  const after = scenario.change?.water ?? water;
  return [after.all, ...Object.values(after.circuits)].some((c) => c.state.kind === 'blown');
}

/** Minutes of an option, in air that does not slow it. */
export function plainMinutes({ unit: { work } }: RiskQuestion, option: Option): number {
  const { action, method, circuits } = option;
  const whole = workMinutes(work, action, method);
  return circuits === null ? whole : Math.min(whole, partialMinutes(work, action, circuits));
}

function minutesAt(request: RiskQuestion, option: Option, at: EpochSeconds): number {
  const { action, circuits } = option;
  const isQuick = !isSlowed(request.unit.work, action, circuits);
  return plainMinutes(request, option) * (isQuick ? 1 : slownessAt(request, action, at));
}

/** How many times as long an action takes in the air of an instant. */
export function slownessAt({ unit, outlook }: RiskQuestion, action: Action, at: EpochSeconds): number {
  return isSlowed(unit.work, action, null) ? coldFactor(coldestAir(outlook, at, at)) : 1;
}

/** The coldest air of the middle member between two instants, to the full hours around them [°C]. */
export function coldestAir(outlook: Outlook, from: EpochSeconds, to: EpochSeconds): number {
  const air = outlook.members[outlook.middle]?.temperatureC ?? new Float64Array(0);
  const [first, last] = [from, to].map((at) => (at - outlook.firstHour) / HOUR_S);
  const hours = air.subarray(Math.max(0, Math.floor(first ?? 0)), Math.ceil(last ?? 0) + 1);
  return Math.min(...hours);
}

/** By the middle member. */
function burntKg(
  { outlook, now }: RiskQuestion,
  assessor: RiskAssessor,
  { scenario, until }: { readonly scenario: Scenario; readonly until: EpochSeconds },
): number {
  const trace = assessor.trace(scenario, outlook.middle);
  const watts = furnaceByHour(trace);
  const from = Math.max(0, Math.floor((now - outlook.firstHour) / HOUR_S));
  const to = Math.ceil((until - outlook.firstHour) / HOUR_S);
  const joules = watts.subarray(from, to).reduce((sum, watt) => sum + watt * HOUR_S, 0);
  return joules / GIVEN_J_PER_KG;
}
