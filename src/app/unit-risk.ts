/** What the cold does to one unit under one outlook, whatever was said of it before: the model's half. */
import type { Config, UnitConfig } from '../config/config.ts';
import type { Action } from '../decision/advice.ts';
import { BLOWN_OUT_RISK, chanceOfDamage, chanceOfPart, firstDamage } from '../decision/chance.ts';
import type { FirstDamage } from '../decision/advice.ts';
import type { Candidate } from '../decision/decide.ts';
import { asItStands, heatStops, optionsOf, type Option } from '../decision/options.ts';
import { workMinutes } from '../decision/policy.ts';
import { RiskAssessor, type MemberRisk, type Scenario } from '../model/risk.ts';
import { circuitState, isWet, type UnitWater } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import { describeMiddle, type MiddleCourse } from './middle-course.ts';

export interface UnitRiskRequest {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly outlook: Outlook;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
}

export interface UnitRisk {
  /** Every feasible action and what it leaves. */
  readonly candidates: readonly Candidate[];
  readonly firstDamage: FirstDamage;
  /** The part that fails first if nothing is done, by the most weight of members. */
  readonly firstPart: string | null;
  /** Within the window, per part in the unit's order. */
  readonly partChances: readonly number[];
  readonly chanceIfWet: number;
  /** Within as far ahead as any of the unit's people wants to hear. */
  readonly chanceAhead: number;
  /** Last damage before now; null: none. The past is the same in every member. */
  readonly damagedAt: EpochSeconds | null;
  /** Null: nothing fails within the forecast; absent: there is no heat to stop. */
  readonly holdOutHours?: number | null;
  readonly middle: MiddleCourse;
}

function unitRisk(request: UnitRiskRequest): UnitRisk {
  const { config, unit, outlook, now, water } = request;
  const { policy } = config;
  const assessor = new RiskAssessor({ unit: unit.model, outlook, water, now, rule: policy.sustained });
  const until = now + policy.windowHours * HOUR_S;
  const middle = describeMiddle({ assessor, unit: unit.model, outlook, water, now });
  const { stands, chanceIfWet, candidates } = risksOf(request, assessor, middle);
  return {
    candidates,
    firstDamage: firstDamage(stands, policy.tolerance.nothing),
    firstPart: firstPart(stands),
    partChances: unit.model.parts.map((_, i) => chanceOfPart(stands, i, until)),
    chanceIfWet,
    chanceAhead: chanceOfDamage(stands, now + headsUpHours(config, unit) * HOUR_S),
    damagedAt: lastOf(stands[outlook.middle]?.before ?? []),
    ...holdOut(request, assessor),
    middle,
  };
}

/** Units that differ in nothing the cold could see, at one place and time, have the same risk: it is computed once. */
export class KnownRisks {
  readonly #risks = new Map<string, UnitRisk>();

  of(request: UnitRiskRequest): UnitRisk {
    const { unit, water, config } = request;
    const { id: _id, ...body } = unit.model;
    const key = JSON.stringify([unit.place, body, water, unit.work, headsUpHours(config, unit)]);
    const known = this.#risks.get(key) ?? unitRisk(request);
    this.#risks.set(key, known);
    return known;
  }
}

/** A forecast is not believed further ahead than people want to be told; never less than the window. */
function headsUpHours({ people, policy }: Config, { contacts }: UnitConfig): number {
  const wanted = people.filter((p) => contacts.includes(p.id)).map((p) => p.headsUpHours);
  return Math.max(policy.windowHours, ...wanted);
}

function lastOf(damage: MemberRisk['before']): EpochSeconds | null {
  return damage.length === 0 ? null : Math.max(...damage.map((d) => d.at));
}

/** What is frozen can be drained, blown or pumped once its way has thawed for long enough; null: it does not. */
function wetWorkStart(
  { frozenPath, thawedPath }: MiddleCourse,
  now: EpochSeconds,
  workS: number,
): EpochSeconds | null {
  if (!frozenPath) return now;
  return thawedPath.find((i) => i.end - i.start >= workS)?.start ?? null;
}

interface Risks {
  readonly stands: readonly MemberRisk[];
  readonly chanceIfWet: number;
  readonly candidates: readonly Candidate[];
}

/** The unit as it stands, full of water, and under every feasible action if its work began now. */
function risksOf(request: UnitRiskRequest, assessor: RiskAssessor, middle: MiddleCourse): Risks {
  const { config, unit, water, now } = request;
  const { tolerance, windowHours } = config.policy;
  const until = now + windowHours * HOUR_S;
  const work = (action: Action): number => 60 * (workMinutes(unit.work, action) + unit.work.travelMinutes);
  const wetWorkFrom = wetWorkStart(middle, now, 60 * unit.work.drainMinutes);
  const startOf = (action: Action): EpochSeconds => (action === 'keep-warm' ? now : (wetWorkFrom ?? now));
  const optionsIf = (endOf: (action: Action) => EpochSeconds): Option[] =>
    optionsOf({ unit: unit.model, water, frozenPath: wetWorkFrom === null, now, endOf });
  const options = optionsIf((action) => startOf(action) + work(action));
  const [wet = [], ...risks] = assessor.assess([ifWet(request), ...options.map((o) => o.scenario)]);
  const chanceIfWet = chanceOfDamage(wet, until);
  const ask = { until, water, chanceIfWet };
  const candidates = chooseMethods(
    options.map((o, i) => candidateOf(o, risks[i] ?? [], ask)),
    tolerance.winterize,
  );
  const [stands = []] = risks;
  if (candidates.some((c) => c.chance <= tolerance[c.action])) return { stands, chanceIfWet, candidates };
  const done = optionsIf(startOf);
  const doneRisks = assessor.assess(done.map((o) => o.scenario));
  const ifDone = chooseMethods(
    done.map((o, i) => candidateOf(o, doneRisks[i] ?? [], ask)),
    tolerance.winterize,
  );
  const hurried = candidates.map((c) => ({
    ...c,
    chanceIfDone: ifDone.find((d) => d.action === c.action)?.chance ?? c.chance,
  }));
  return { stands, chanceIfWet, candidates: hurried };
}

/** The unit full of water from now on; one that is wet already, as it stands. */
function ifWet({ unit, water, now }: UnitRiskRequest): Scenario {
  const stands = asItStands(unit.model);
  if (unit.model.parts.every((p) => isWet(circuitState(water, p.circuit).state))) return stands;
  const wet = { all: { state: { kind: 'wet' } as const, since: null, by: null }, circuits: {} };
  return { ...stands, change: { at: now, water: wet } };
}

interface Asked {
  readonly until: EpochSeconds;
  readonly water: UnitWater;
  readonly chanceIfWet: number;
}

/** A circuit that was or would be blown out adds its workmanship's risk where the cold would have hurt it wet. */
function candidateOf(
  option: Option,
  members: readonly MemberRisk[],
  { until, water, chanceIfWet }: Asked,
): Candidate {
  const after = option.scenario.change?.water ?? water;
  const blown = [after.all, ...Object.values(after.circuits)].some((c) => c.state.kind === 'blown');
  const chance = chanceOfDamage(members, until);
  const workmanship = blown ? Math.round(BLOWN_OUT_RISK * chanceIfWet * 1e9) / 1e9 : 0;
  return { action: option.action, method: option.method, chance: Math.max(chance, workmanship) };
}

/** Of the two ways to winterize, antifreeze unless only air stays within the tolerance. */
function chooseMethods(candidates: readonly Candidate[], tolerance: number): Candidate[] {
  const ways = candidates.filter((c) => c.action === 'winterize');
  const [antifreeze, air] = ways;
  const rest = candidates.filter((c) => c.action !== 'winterize');
  if (antifreeze === undefined || air === undefined) return [...rest, ...ways];
  const better = antifreeze.chance <= tolerance || antifreeze.chance <= air.chance ? antifreeze : air;
  return [...rest, better];
}

function firstPart(stands: readonly MemberRisk[]): string | null {
  const weights = new Map<string, number>();
  for (const { first, weight } of stands) {
    if (first !== null) weights.set(first.part, (weights.get(first.part) ?? 0) + weight);
  }
  let best: { part: string; weight: number } | null = null;
  // A hair's difference in the sum of weights is rounding, and must not hang on the members' order.
  for (const [part, weight] of [...weights].toSorted(([x], [y]) => (x < y ? -1 : 1))) {
    if (best === null || weight > best.weight + 1e-9) best = { part, weight };
  }
  return best?.part ?? null;
}

function holdOut(
  { unit, now, outlook }: UnitRiskRequest,
  assessor: RiskAssessor,
): { holdOutHours?: number | null } {
  if (unit.model.heat?.running !== true) return {};
  const [risk] = assessor.assessMember([heatStops(unit.model, now)], outlook.middle);
  const first = risk?.first ?? null;
  return { holdOutHours: first === null ? null : (first.at - now) / HOUR_S };
}
