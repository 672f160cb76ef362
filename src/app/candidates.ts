/** What each feasible action leaves of the risk, whichever way and whenever its work can be done. */
import type { Action, Method } from '../decision/advice.ts';
import { BLOWN_OUT_RISK, chanceOfDamage } from '../decision/chance.ts';
import type { Candidate } from '../decision/decide.ts';
import { asItStands, optionsOf, type Option } from '../decision/options.ts';
import type { Loss } from '../decision/loss.ts';
import { workMinutes } from '../decision/policy.ts';
import type { Tolerances } from '../decision/tolerance.ts';
import { asTapsSee } from '../model/no-water.ts';
import type { RiskAssessor, Scenario, ScenarioRisk } from '../model/risk.ts';
import { circuitState, isWet } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { MiddleCourse } from './middle-course.ts';
import {
  leavesBlown,
  lossUnder,
  moneyOf,
  plainMinutes,
  pricingOf,
  slownessAt,
  type Pricing,
} from './option-money.ts';
import { acceptedChances, preferred, type PricedCandidate } from './priced-ways.ts';
import type { RiskQuestion } from './risk-question.ts';

export interface Risks {
  readonly stands: ScenarioRisk;
  readonly chanceIfWet: number;
  /** Accepted chance of damage per action: as stated, or from what the work costs here. */
  readonly tolerance: Tolerances;
  /** What damage costs if nothing is done, and if the unit were full of water. */
  readonly losses: { readonly ifNothing: Loss; readonly ifWet: Loss };
  readonly candidates: readonly Candidate[];
  /** Chance that ice closes the way of the water as it stands, damage or not; null: no water is on its way. */
  readonly chanceOfNoWater: number | null;
}

/** The unit as it stands, full of water, and under every feasible action if its work began now. */
export function risksOf(request: RiskQuestion, assessor: RiskAssessor, middle: MiddleCourse): Risks {
  const until = untilOf(request);
  const ways = waysOf(request, middle);
  const options = ways.flatMap((way) => optionsAt(request, way, true));
  const scenarios = options.map((o) => o.scenario);
  const [wet, ...risks] = assessor.assess([
    ifWetScenario(request),
    ...scenarios,
    ...ifTapsAreClosed(request),
  ]);
  const [stands] = risks;
  if (wet === undefined || stands === undefined) throw new Error('Nothing was assessed; this is a bug.');
  const closed = risks[options.length];
  const chanceIfWet = chanceOfDamage(wet, until);
  const ifWet = lossUnder(request, wet, { scenario: ifWetScenario(request), until });
  const pricing = pricingOf(request, assessor, { until, ifWet });
  const all = pricedWays(options, risks, { request, chanceIfWet, pricing });
  const tolerance = acceptedChances(request.unit.policy, all, ifWet);
  const candidates = chooseWays(preferred(all, request), tolerance);
  const ifNothing = lossUnder(request, stands, { scenario: stoodStill(options), until });
  const found = {
    stands,
    chanceIfWet,
    tolerance,
    losses: { ifNothing, ifWet },
    chanceOfNoWater: closed === undefined ? null : chanceOfDamage(closed, until),
  };
  if (candidates.some((c) => c.chance <= tolerance[c.action])) return { ...found, candidates };
  const done = ways.flatMap((way) => optionsAt(request, way, false));
  const doneRisks = assessor.assess(done.map((o) => o.scenario));
  const ifDone = chooseWays(pricedWays(done, doneRisks, { request, chanceIfWet, pricing }), tolerance);
  const hurried = candidates.map((c) => ({
    ...c,
    chanceIfDone: ifDone.find((d) => d.action === c.action)?.chance ?? c.chance,
  }));
  return { ...found, candidates: hurried };
}

function pricedWays(
  options: readonly Option[],
  risks: readonly ScenarioRisk[],
  asked: Asked,
): readonly PricedCandidate[] {
  return options.flatMap((option, i) => {
    const risk = risks[i];
    return risk === undefined ? [] : [candidateOf(option, risk, asked)];
  });
}

/** The first option is the unit as it stands. */
function stoodStill([first]: readonly Option[]): Scenario {
  if (first === undefined) throw new Error('There is no option; this is a bug.');
  return first.scenario;
}

/** The unit as it stands and as its taps see it; none where no water is on its way to them. */
function ifTapsAreClosed(request: RiskQuestion): readonly Scenario[] {
  const { unit, water, now } = request;
  const seen = asTapsSee(unit.model, water);
  return seen === null
    ? []
    : [{ ...asItStands(unit.model, water, now), unit: seen, until: untilOf(request) }];
}

function untilOf({ now, config }: RiskQuestion): EpochSeconds {
  return now + config.policy.windowHours * HOUR_S;
}

/** The coldest air of any member from now to the end of the window. */
function coldestC(request: RiskQuestion): number {
  const { members, firstHour } = request.outlook;
  const from = Math.floor((request.now - firstHour) / HOUR_S);
  const to = Math.ceil((untilOf(request) - firstHour) / HOUR_S);
  return Math.min(...members.map((m) => Math.min(...m.temperatureC.subarray(Math.max(0, from), to + 1))));
}

/** When work with water can begin, and which circuits are then closed by ice. */
interface Way {
  readonly from: EpochSeconds;
  readonly frozen: ReadonlySet<string>;
}

/**
 * At once with what is open; and, where ice closes something, once all of it has thawed for long enough. The
 * unit as it stands and kept warm comes with the first.
 */
function waysOf({ now, unit }: RiskQuestion, { frozen, thawedPath }: MiddleCourse): readonly Way[] {
  const atOnce = { from: now, frozen };
  if (frozen.size === 0) return [atOnce];
  const workS = 60 * unit.work.drainMinutes;
  const thawed = thawedPath.find((i) => i.end - i.start >= workS);
  return thawed === undefined ? [atOnce] : [atOnce, { from: Math.max(now, thawed.start), frozen: new Set() }];
}

/** @param withWork - their work takes its time; otherwise as if it were done already. */
function optionsAt(request: RiskQuestion, { from, frozen }: Way, withWork: boolean): readonly Option[] {
  const { unit, water, now } = request;
  const endOf = (action: Action, method: Method | null = null): EpochSeconds => {
    const start = action === 'keep-warm' ? now : from;
    if (!withWork) return start;
    const slowness = slownessAt(request, action, start);
    const minutes = Math.round(slowness * workMinutes(unit.work, action, method));
    return start + 60 * (minutes + unit.work.travelMinutes);
  };
  const { model, keptWarm, attended } = unit;
  const asked = { unit: model, keptWarm, attended, water, now, frozen, endOf, until: untilOf(request) };
  const options = optionsOf({ ...asked, coldestC: coldestC(request) });
  return from === now ? options : options.filter((o) => o.action === 'drain' || o.action === 'winterize');
}

/** The unit full of water from now on; one that is wet already, as it stands. */
function ifWetScenario({ unit, water, now, ...request }: RiskQuestion): Scenario {
  const stands = { ...asItStands(unit.model, water, now), until: untilOf({ unit, water, now, ...request }) };
  if (unit.model.parts.every((p) => isWet(circuitState(water, p.circuit).state))) return stands;
  const wet = { all: { state: { kind: 'wet' } as const, since: null, by: null }, circuits: {} };
  return { ...stands, change: { at: now, water: wet } };
}

interface Asked {
  readonly request: RiskQuestion;
  readonly chanceIfWet: number;
  readonly pricing: Pricing;
}

/** A circuit that was or would be blown out adds its workmanship's risk where the cold would have hurt it wet. */
function candidateOf(
  option: Option,
  risk: ScenarioRisk,
  { request, chanceIfWet, pricing }: Asked,
): PricedCandidate {
  const chance = chanceOfDamage(risk, untilOf(request));
  const workmanship = leavesBlown(option, request) ? Math.round(BLOWN_OUT_RISK * chanceIfWet * 1e9) / 1e9 : 0;
  const { action, method, circuits } = option;
  const partial = circuits === null ? {} : { circuits, workMinutes: plainMinutes(request, option) };
  const money = moneyOf(option, risk, pricing);
  return { action, method, chance: Math.max(chance, workmanship), ...partial, money };
}

/**
 * Of several ways to do the same, antifreeze before air and at once before later, unless only another stays within
 * the tolerance or leaves less.
 */
function chooseWays(candidates: readonly Candidate[], tolerance: Tolerances): Candidate[] {
  const chosen: Candidate[] = [];
  for (const candidate of candidates) {
    const at = chosen.findIndex((c) => c.action === candidate.action);
    const known = chosen[at];
    if (known === undefined) chosen.push(candidate);
    else if (known.chance > tolerance[known.action] && candidate.chance < known.chance)
      chosen[at] = candidate;
  }
  return chosen;
}
