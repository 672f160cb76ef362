/** What each feasible action leaves of the risk, whichever way and whenever its work can be done. */
import { chanceOfDamage, chanceOfDamageBy } from '../decision/chance.ts';
import type { Candidate } from '../decision/candidate.ts';
import { sufficing } from '../decision/decide.ts';
import type { Loss } from '../decision/loss.ts';
import { asItStands, type Option } from '../decision/options.ts';
import type { Tolerances } from '../decision/tolerance.ts';
import { asTapsSee } from '../model/no-water.ts';
import type { RiskAssessor, Scenario, ScenarioRisk } from '../model/risk.ts';
import { circuitState, isWet } from '../model/water-state.ts';
import { chooseWays, consideredOf, workmanshipOf, type Asked, type Considered } from './considered.ts';
import { helped } from './helped.ts';
import type { MiddleCourse } from './middle-course.ts';
import { lossUnder, pricingOf } from './option-money.ts';
import { acceptedChances, preferred } from './priced-ways.ts';
import type { RiskQuestion } from './risk-question.ts';
import { settled } from './settled.ts';
import { aheadOf, spellEnds } from './spell.ts';
import { warmUnits } from './warmings.ts';
import { optionsAt, untilOf, waysOf } from './ways.ts';

export interface Risks {
  readonly stands: ScenarioRisk;
  readonly chanceIfWet: number;
  /** Within as far ahead as any of the unit's people wants to hear. */
  readonly chanceIfWetAhead: number;
  /** Accepted chance of damage per action: as stated, or from what the work costs here. */
  readonly tolerance: Tolerances;
  /** What damage costs if nothing is done, and if the unit were full of water. */
  readonly losses: { readonly ifNothing: Loss; readonly ifWet: Loss };
  readonly candidates: readonly Candidate[];
  /** Chance that ice closes the way of the water as it stands, damage or not; null: no water is on its way. */
  readonly chanceOfNoWater: number | null;
  /** The unit as its taps see it; null: no water is on its way. */
  readonly closed: ScenarioRisk | null;
}

/** The unit as it stands, full of water, and under every feasible action if its work began now. */
export function risksOf(request: RiskQuestion, assessor: RiskAssessor, middle: MiddleCourse): Risks {
  const until = untilOf(request);
  const ways = waysOf(request, middle);
  const asking = { ...request, unitOf: warmUnits(request.unit) };
  const options = ways.flatMap((way) => optionsAt(asking, way, true));
  const first = stoodStill(options);
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
  const asked = { request, chanceIfWet, pricing: pricingOf(request, assessor, { until, ifWet }) };
  const all = consideredOf(options, risks, asked);
  const priced = all.map((c) => c.candidate);
  const tolerance = acceptedChances(request.unit.policy, priced, ifWet);
  const [way] = ways;
  const { caution } = request.unit.policy;
  const weighed = chooseWays(preferred(all, request), { tolerance, caution });
  const chosen = helped(settled(weighed, request, tolerance), { asking, way, assessor, asked, tolerance });
  const ifNothing = lossUnder(request, stands, { scenario: first, until });
  const found = {
    stands,
    chanceIfWet,
    chanceIfWetAhead: chanceOfDamage(wet, aheadOf(request)),
    tolerance,
    losses: { ifNothing, ifWet },
    closed: closed ?? null,
    chanceOfNoWater: closed === undefined ? null : chanceOfDamage(closed, until),
  };
  const candidates = chosen.map((c) => c.candidate);
  const least = sufficing(candidates, tolerance);
  if (least?.action === 'nothing') return { ...found, candidates };
  if (least !== undefined) return { ...found, candidates: inSpell(chosen, assessor, asked) };
  const done = ways.flatMap((one) => optionsAt(asking, one, false));
  const doneRisks = assessor.assess(done.map((o) => o.scenario));
  const ifDone = consideredOf(done, doneRisks, asked);
  return { ...found, candidates: candidates.map((c) => hurried(c, ifDone)) };
}

/** With what it would leave had its work been done already, in the better of its ways. */
function hurried(candidate: Candidate, ifDone: readonly Considered[]): Candidate {
  const chances = ifDone
    .filter((d) => d.candidate.action === candidate.action)
    .map((d) => d.candidate.chance);
  return { ...candidate, chanceIfDone: chances.length === 0 ? candidate.chance : Math.min(...chances) };
}

/** The first option is the unit as it stands. */
function stoodStill([first]: readonly Option[]): Scenario {
  if (first === undefined) throw new Error('There is no option; this is a bug.');
  return first.scenario;
}

/** With what each action leaves to the end of the cold in which the window ends; where it ends mild, no more is asked. */
function inSpell(
  considered: readonly Considered[],
  assessor: RiskAssessor,
  asked: Asked,
): readonly Candidate[] {
  const [until, latest] = [untilOf(asked.request), aheadOf(asked.request)];
  const ends = spellEnds(asked.request.outlook, until, latest);
  if (ends.every((end) => end === until)) return considered.map((c) => c.candidate);
  const inMiddle = ends[asked.request.outlook.middle] ?? until;
  const spellEndsAt = inMiddle > until ? inMiddle : Math.max(...ends);
  const risks = assessor.assess(considered.map(({ option }) => ({ ...option.scenario, until: latest })));
  return considered.map((one, index) => {
    const risk = risks[index];
    if (risk === undefined) return one.candidate;
    const chanceInSpell = Math.max(workmanshipOf(one.option, asked), chanceOfDamageBy(risk, ends));
    return { ...one.candidate, chanceInSpell, spellEndsAt };
  });
}

/** The unit as it stands and as its taps see it; none where no water is on its way to them. */
function ifTapsAreClosed(request: RiskQuestion): readonly Scenario[] {
  const { unit, water, now } = request;
  const seen = asTapsSee(unit.model, water);
  return seen === null
    ? []
    : [{ ...asItStands(unit.model, water, now), unit: seen, until: untilOf(request) }];
}

/** The unit full of water from now on; one that is wet already, as it stands. */
function ifWetScenario({ unit, water, now, ...request }: RiskQuestion): Scenario {
  const stands = asItStands(unit.model, water, now);
  if (unit.model.parts.every((p) => isWet(circuitState(water, p.circuit).state))) return stands;
  const wet = { all: { state: { kind: 'wet' } as const, since: null, by: null }, circuits: {} };
  return { ...stands, change: { at: now, water: wet }, until: aheadOf({ unit, water, now, ...request }) };
}
