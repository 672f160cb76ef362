/** The answer of `drainby check`, `drainby.check/1`: fields may be added, never change meaning. */
import type { Config } from '../config/config.ts';
import {
  outsideAction,
  outsideActions,
  type Advice,
  type PerAction,
  type PerOutsideAction,
} from '../decision/advice.ts';
import type { StoreError } from '../errors.ts';
import { reasonText } from '../message/reason.ts';
import { isWarmedBy } from '../model/heat-plan.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { Overload } from '../model/post-load.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { deliveryAnswer, type DeliveryState } from './delivery-answer.ts';
import { damagedUnit } from './damaged-unit.ts';
import type { Evaluation, UnitEvaluation } from './evaluate.ts';
import { assumptionsOf, heatFails, pocketsOf, trippedPost, unitFacts } from './facts.ts';
import type { HoldOut } from './hold-out.ts';
import type { MiddleCourse, PartCourse } from './middle-course.ts';
import { saidAnswer } from './said.ts';
import { instant, rounded } from './answer-values.ts';
import { cents, moneyAnswer } from './money-answer.ts';
import { placeAnswer } from './place-answer.ts';
import { serviceAnswer } from './service-answer.ts';

export type CheckAnswer = ReturnType<typeof checkAnswer>;

/** @param delivery absent: what was told is not part of the answer */
export function checkAnswer(config: Config, { now, places, units }: Evaluation, delivery?: DeliveryState) {
  return {
    schema: 'drainby.check/1',
    asOf: isoSecond(now),
    windowHours: config.policy.windowHours,
    currency: config.policy.costs.currency,
    places: places.map((place) => placeAnswer(config, place)),
    units: units.map((unit) => unitAnswer(config, unit, now)),
    ...(delivery === undefined ? {} : { delivery: deliveryAnswer(config, delivery) }),
  };
}

function unitAnswer(config: Config, evaluated: UnitEvaluation, now: EpochSeconds) {
  const { unit, water, record, assessment } = evaluated;
  return {
    id: unit.id,
    label: unit.label,
    place: unit.place,
    waterState: water.all.state.kind,
    waterStateSince: instant(water.all.since),
    ...keptWarmAnswer(water),
    suspect: record.memory.suspectSince !== null || (assessment?.alreadyDamaged ?? false),
    alreadyDamaged: assessment?.alreadyDamaged ?? null,
    advice: adviceAnswer(config, evaluated, now),
    chanceOfDamage: assessment === null ? null : outsideActions(assessment.chances.perAction),
    tolerance: assessment === null ? null : outsideActions(assessment.chances.tolerance),
    ...partialAnswer(evaluated),
    ...noWaterAnswer(evaluated),
    ...moneyOutside(moneyAnswer(evaluated)),
    firstDamage: assessment === null ? null : damageAnswer(assessment.firstDamage),
    firstPart: assessment?.firstPart ?? null,
    ...overloadAnswer(evaluated),
    ...heatAnswer(evaluated),
    ...courseAnswer(evaluated),
    ...serviceAnswer(config, evaluated, now),
    assumptions: assumptionsOf(config, evaluated, now),
    ...saidAnswer(config, evaluated, now),
    ...(record.damaged === true ? { problem: problemOf(damagedUnit(unit.id)) } : {}),
  };
}

/** Absent: nobody keeps it warm. */
export function keptWarmAnswer({ keptWarm, keptWarmSince }: UnitWater): {
  keptWarmSince?: string | null;
} {
  return keptWarm === true ? { keptWarmSince: instant(keptWarmSince ?? null) } : {};
}

function problemOf({ code, message }: StoreError): { code: string; message: string } {
  return { code, message };
}

export function adviceAnswer(config: Config, evaluated: UnitEvaluation, now: EpochSeconds) {
  const advice = evaluated.assessment?.advice;
  if (advice === undefined) return null;
  const display = { temperature: config.display.temperature, timeZone: evaluated.place.place.timeZone };
  return {
    ...outsideAction(advice.action),
    ...(advice.method === null ? {} : { method: advice.method }),
    ...(advice.circuits === undefined ? {} : { circuits: advice.circuits }),
    ...(advice.closed === undefined ? {} : { closed: advice.closed }),
    ...(advice.measures === undefined ? {} : { measures: advice.measures }),
    ...pocketsAnswer(evaluated),
    startBy: instant(advice.startBy),
    late: advice.late,
    boundBy: advice.boundBy,
    ...(advice.inFreeHours === undefined ? {} : { inFreeHours: advice.inFreeHours }),
    workMinutes: advice.workMinutes,
    ...(advice.slowed === undefined
      ? {}
      : { slowed: { factor: advice.slowed.factor, airC: rounded(advice.slowed.airC) } }),
    ...throughColdAnswer(advice),
    reasonCode: advice.reasonCode,
    reason: reasonText(advice, unitFacts(config, evaluated, now), display),
  };
}

/** By the names that actions have outside. */
function throughColdAnswer({ throughCold }: Advice): {
  throughCold?: { until: string | null; chanceOfDamage: PerOutsideAction };
} {
  if (throughCold === undefined) return {};
  const { until, chances } = throughCold;
  return { throughCold: { until: instant(until), chanceOfDamage: outsideActions(chances) } };
}

/** Parts that gravity leaves full, for a drain to look at: those of the circuits that it empties. */
function pocketsAnswer(evaluated: UnitEvaluation): { pockets?: readonly string[] } {
  const advice = evaluated.assessment?.advice;
  if (advice === undefined || outsideAction(advice.action).action !== 'drain') return {};
  const { circuits } = advice;
  const pockets = pocketsOf(evaluated).filter((p) => circuits?.includes(p.circuit) ?? true);
  return { pockets: pockets.map(({ id }) => id) };
}

interface PartialAnswer {
  partialDrain?: {
    circuits: readonly string[];
    workMinutes: number;
    /** Work and material. */
    costOfWork: number | null;
    chanceOfDamage: number;
    tolerance: number;
  };
}

/** By the names that actions have outside. */
function moneyOutside<T extends { costOfWork: PerAction | null; expectedCost: PerAction | null }>(money: T) {
  const { costOfWork, expectedCost } = money;
  return {
    ...money,
    costOfWork: costOfWork === null ? null : outsideActions(costOfWork),
    expectedCost: expectedCost === null ? null : outsideActions(expectedCost),
  };
}

/** What emptying only what lies outside would leave; absent: it is not feasible, or brings nothing. */
function partialAnswer({ assessment }: UnitEvaluation): PartialAnswer {
  const chance = assessment?.chances.perAction['drain-part'];
  const tolerance = assessment?.chances.tolerance['drain-part'];
  const candidate = assessment?.candidates.find((c) => c.action === 'drain-part');
  if (chance === undefined || tolerance === undefined || candidate === undefined) return {};
  const { circuits = [], workMinutes = 0, money } = candidate;
  const costOfWork = money === undefined ? null : cents(money.cost);
  return { partialDrain: { circuits, workMinutes, costOfWork, chanceOfDamage: chance, tolerance } };
}

/** The stop that leaves the least time; null: none does harm. */
type StopAnswer = { hours: number | null; stopsAt: string; firstPart: string } | null;

/** Absent where there is no heat; null is longer than the forecast, or not counted. */
interface HeatAnswer {
  /** Something freezes although the heat is on or switched on; the hours are of what it keeps. */
  heatFails?: true;
  holdOutHours?: number | null;
  holdOut?: StopAnswer;
  powerCut?: StopAnswer;
  heatLasts?: {
    /** When gas is out, or the cold cylinder first gives too little of it, whichever is sooner. */
    gasUntil: string | null;
    batteryUntil: string | null;
    /** When what is on board is burned, though somebody brings more in time. */
    gasOnBoardUntil: string | null;
    /** From when on the cold cylinder cannot feed the furnace fully. */
    gasShortFrom: string | null;
  };
}

/** What is on that the post cannot carry, which is counted as tripped; absent: it bears it, or nobody knows. */
export function overloadAnswer(evaluated: UnitEvaluation): { overload?: Overload } {
  const overload = trippedPost(evaluated);
  return overload === null ? {} : { overload };
}

/** How long it holds out once heat stops at the worst time, and what heat itself lasts. */
function heatAnswer(evaluated: UnitEvaluation): HeatAnswer {
  const { assessment, unit, water } = evaluated;
  const holdOuts = assessment?.holdOuts ?? null;
  if (assessment === null || holdOuts === null) return {};
  const { middle } = assessment;
  const { holdOut, powerCut } = holdOuts;
  return {
    ...(heatFails(evaluated) ? { heatFails: true } : {}),
    holdOutHours: rounded(holdOut?.hours ?? null),
    holdOut: stopAnswer(holdOut),
    ...(powerCut === undefined ? {} : { powerCut: stopAnswer(powerCut) }),
    ...(isWarmedBy(unit.model, water) ? { heatLasts: heatLasts(middle) } : {}),
  };
}

/** Of the heat that is on as it stands. */
function heatLasts(middle: MiddleCourse): NonNullable<HeatAnswer['heatLasts']> {
  return {
    gasUntil: nearest(middle.gasOutAt),
    batteryUntil: nearest(middle.batteryOutAt),
    gasOnBoardUntil: nearest(middle.gasOnBoardUntil),
    gasShortFrom: nearest(middle.gasShortAt),
  };
}

/** Chance that ice closes the way to the taps, damage or not, and where first; absent: there is no water on its way. */
function noWaterAnswer({ assessment }: UnitEvaluation): {
  chanceOfNoWater?: number;
  noWaterPart?: string | null;
} {
  const chance = assessment?.chanceOfNoWater ?? null;
  return chance === null ? {} : { chanceOfNoWater: chance, noWaterPart: assessment?.noWaterPart ?? null };
}

function stopAnswer(stop: HoldOut | null): StopAnswer {
  if (stop === null) return null;
  return { hours: rounded(stop.hours), stopsAt: isoSecond(stop.stopsAt), firstPart: stop.part };
}

function damageAnswer(damage: NonNullable<UnitEvaluation['assessment']>['firstDamage']) {
  return {
    earliest: nearest(damage.earliest),
    deadlineQuantile: damage.deadlineQuantile,
    deadlineAt: nearest(damage.deadlineAt),
    median: nearest(damage.median),
  };
}

/** Zones, spells and parts of the middle member from now on. */
function courseAnswer({ assessment }: UnitEvaluation) {
  if (assessment === null) return { zones: null, coldSpells: null, parts: null };
  const { middle, partChances } = assessment;
  const zones = middle.zones.map(({ zone, statistics, samples }) => [
    zone,
    {
      minimumC: rounded(statistics.minimumC),
      minimumAt: isoSecond(statistics.minimumAt),
      degreeHours: rounded(statistics.degreeHours),
      longestHoursAtOrBelowMinus4C: rounded(statistics.longestHoursAtOrBelowMinus4C),
      ...(samples === null
        ? {}
        : {
            samplesBelow0: samples.below0,
            samplesAtOrBelowMinus4: samples.atOrBelowMinus4,
            longestSamplesAtOrBelowMinus4: samples.longestAtOrBelowMinus4,
          }),
    },
  ]);
  const coldSpells = middle.spells.map((spell) => ({
    zone: spell.zone,
    start: nearest(spell.start),
    end: nearest(spell.end),
    degreeHours: rounded(spell.degreeHours),
    minimumC: rounded(spell.minimumC),
    longestHoursAtOrBelowMinus4C: rounded(spell.longestHoursAtOrBelowMinus4C),
  }));
  const parts = middle.parts.map((course, i) => partAnswer(course, partChances[i] ?? null));
  return { zones: Object.fromEntries(zones) as Record<string, Record<string, unknown>>, coldSpells, parts };
}

function partAnswer({ part, ...course }: PartCourse, chanceOfDamage: number | null) {
  return {
    id: part.id,
    label: part.label,
    zone: part.zone,
    circuit: part.circuit,
    budgetKelvinHours: { blocked: rounded(course.budget.blocked), solid: rounded(course.budget.solid) },
    usedKelvinHours: rounded(course.usedKelvinHours),
    reachesZeroAt: nearest(course.reachesZeroAt),
    blockedAt: nearest(course.blockedAt),
    solidAt: nearest(course.solidAt),
    peakIceFraction: rounded(course.peakIceFraction),
    chanceOfDamage,
  };
}

/** Computed events to the nearest second. */
function nearest(at: EpochSeconds | null): string | null {
  return at === null ? null : isoSecond(Math.round(at));
}
