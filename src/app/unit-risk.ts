/** What the cold does to one unit under one outlook, whatever was said of it before: the model's half. */
import type { FirstDamage } from '../decision/advice.ts';
import { chanceOfDamage, chanceOfPart, firstDamage } from '../decision/chance.ts';
import type { Candidate } from '../decision/candidate.ts';
import type { Measure } from '../model/measure.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Tolerances } from '../decision/tolerance.ts';
import { risksOf, type Risks } from './candidates.ts';
import { firstPart } from './first-part.ts';
import { advisedWarmth, holdOuts, standingWarmth, type HoldOuts } from './hold-out.ts';
import { describeMiddle, type MiddleCourse } from './middle-course.ts';
import { assessorOf, type RiskQuestion } from './risk-question.ts';
import { aheadOf, headsUpHours } from './spell.ts';

export interface UnitRisk {
  /** Every feasible action and what it leaves. */
  readonly candidates: readonly Candidate[];
  readonly firstDamage: FirstDamage;
  /** The part that fails first if nothing is done, by the most weight of members. */
  readonly firstPart: string | null;
  /** Within the window, per part in the unit's order. */
  readonly partChances: readonly number[];
  readonly chanceIfWet: number;
  /** Accepted chance of damage per action. */
  readonly tolerance: Tolerances;
  /** What damage within the window costs if nothing is done, and if the unit were full of water. */
  readonly losses: Risks['losses'];
  /** Chance of damage if it were full of water, within as far ahead as any of the unit's people wants to hear. */
  readonly chanceIfWetAhead: number;
  /** That ice closes the way of the water within the window, damage or not; null: no water is on its way. */
  readonly chanceOfNoWater: number | null;
  /** The part in which the way closes first; null: none does, or no water is on its way. */
  readonly noWaterPart: string | null;
  /** Within as far ahead as any of the unit's people wants to hear. */
  readonly chanceAhead: number;
  /** Last damage before now; null: none. The past is the same in every member. */
  readonly damagedAt: EpochSeconds | null;
  /** Null: there is no heat to stop. */
  readonly holdOuts: HoldOuts | null;
  readonly middle: MiddleCourse;
}

function unitRisk(request: RiskQuestion): UnitRisk {
  const { config, unit, outlook, now, water } = request;
  const assessor = assessorOf(request);
  const until = now + config.policy.windowHours * HOUR_S;
  const middle = describeMiddle({ assessor, unit: unit.model, outlook, water, now });
  const { stands, closed, ...risks } = risksOf(request, assessor, middle);
  const damagedAt = stands.lastBefore[outlook.middle] ?? -Infinity;
  return {
    ...risks,
    firstDamage: firstDamage(stands, risks.tolerance.nothing),
    firstPart: firstPart(stands, unit.model),
    noWaterPart: closed === null ? null : firstPart(closed, unit.model),
    partChances: unit.model.parts.map((_, i) => chanceOfPart(stands, i, until)),
    chanceAhead: chanceOfDamage(stands, aheadOf(request)),
    damagedAt: damagedAt === -Infinity ? null : damagedAt,
    holdOuts: holdOuts(request, assessor, standingWarmth(request)),
    middle,
  };
}

/** Units that differ in nothing the cold could see, at one place and time, have the same risk: it is computed once. */
export class KnownRisks {
  readonly #risks = new Map<string, UnitRisk>();
  /** By what they were computed for. */
  readonly #advised = new WeakMap<UnitRisk, Map<string, HoldOuts | null>>();

  of(request: RiskQuestion): UnitRisk {
    const { unit, water, config } = request;
    const { id: _id, ...body } = unit.spec;
    const key = JSON.stringify([
      unit.place,
      body,
      unit.model.heat,
      // Readings may have tuned these.
      unit.model.network.paths,
      unit.attended,
      water,
      unit.work,
      unit.kit,
      unit.policy,
      headsUpHours(config, unit),
    ]);
    const known = this.#risks.get(key) ?? unitRisk(request);
    this.#risks.set(key, known);
    return known;
  }

  /** How long it holds out once it is kept warm by some measures. */
  holdOutsOf(request: RiskQuestion, risk: UnitRisk, measures: readonly Measure[]): HoldOuts | null {
    const known = this.#advised.get(risk) ?? new Map<string, HoldOuts | null>();
    this.#advised.set(risk, known);
    const key = measures.join(' ');
    const warmth = (): HoldOuts | null =>
      holdOuts(request, assessorOf(request), advisedWarmth(request, risk.middle.frozen, measures));
    const found = known.has(key) ? (known.get(key) ?? null) : warmth();
    known.set(key, found);
    return found;
  }
}
