/** The answer of `drainby explain`, `drainby.explain/1`: every parameter and series of one member. */
import { asItStands } from '../decision/options.ts';
import { harmOf, type Harm } from '../model/damage.ts';
import { windOfClass } from '../model/film.ts';
import { BAND_K, UNDERBELLY_CAP_C } from '../model/heat-law.ts';
import { pathConductance } from '../model/linear-system.ts';
import type { RiskAssessor, ScenarioRisk } from '../model/risk.ts';
import { heatByHour } from '../model/heat-by-hour.ts';
import { zoneAtHours, type Trace } from '../model/trace.ts';
import { ZONES, type Part, type UnitModel, type ZoneId } from '../model/unit.ts';
import { circuitState } from '../model/water-state.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../model/water.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import { damagedUnit } from './damaged-unit.ts';
import { adviceAnswer, keptWarmAnswer, overloadAnswer } from './check-answer.ts';
import { numbers, partAnswer } from './explain-part.ts';
import type { UnitEvaluation } from './evaluate.ts';
import type { ExplainQuestion } from './explain-question.ts';
import { assumptionsOf } from './facts.ts';
import { flowsAnswer } from './flows-answer.ts';
import { gasOnBoardUntil } from './gas-on-board.ts';
import { advisedWarmth, holdOuts, standingWarmth, type HoldOut } from './hold-out.ts';
import { assessorOf, sustainedRule, type RiskQuestion } from './risk-question.ts';
import { moneyFacts } from './money-answer.ts';
import { placeAnswer } from './place-answer.ts';
import { sensitivity } from './sensitivity.ts';

export type ExplainAnswer = ReturnType<typeof explainAnswer>;

export function explainAnswer(request: ExplainQuestion) {
  const { config, evaluated, outlook, member, now } = request;
  const { unit, water } = evaluated;
  const { model } = unit;
  const assessor = assessorOf({ config, unit, outlook, water, now });
  const stands = asItStands(model, water, now);
  const trace = assessor.trace(stands, member);
  const heat = heatByHour(trace);
  const { partAt, ...damageAnswer } = damageUnder(request);
  const time = Array.from({ length: outlook.hours }, (_, i) => isoSecond(outlook.firstHour + i * HOUR_S));
  return {
    schema: 'drainby.explain/1',
    asOf: isoSecond(now),
    ...headAnswer(request),
    constants: {
      latentHeatJPerKg: LATENT_HEAT_J_PER_KG,
      waterHeatCapacityJPerKgK: WATER_HEAT_CAPACITY_J_PER_KG_K,
      iceHeatCapacityJPerKgK: ICE_HEAT_CAPACITY_J_PER_KG_K,
    },
    hours: {
      time,
      windSpeedMps: numbers(Float64Array.from(trace.air.windClass, windOfClass)),
      furnaceW: numbers(heat.furnaceW),
      electricW: numbers(heat.electricW),
      ductW: numbers(heat.ductW),
      zonesC: Object.fromEntries(zonesOf(model).map((zone) => [zone, numbers(zoneAtHours(trace, zone))])),
      groundC: numbers(trace.air.groundC),
    },
    network: networkAnswer(model, trace),
    blends: model.network.zones,
    furnace: model.heat === null ? null : { ...model.heat, bandK: BAND_K, underbellyCapC: UNDERBELLY_CAP_C },
    ...overloadAnswer(evaluated),
    heatLasts: {
      gasUntil: outAt(Math.min(trace.track.gasOutS, trace.track.gasShortS), outlook),
      batteryUntil: outAt(trace.track.batteryOutS, outlook),
      gasShortFrom: outAt(trace.track.gasShortS, outlook),
      gasOnBoardUntil: onBoardUntil(gasOnBoardUntil(trace, { from: stands.plan.suppliedFrom, now })),
    },
    ...damageAnswer,
    flows: flowsAnswer(model, { trace, heat, now }),
    parts: model.parts.map((part, i) =>
      partAnswer(part, { trace, water, now, harm: harmTo(part, request), damagedAt: partAt[i] ?? Infinity }),
    ),
    money: moneyFacts(evaluated),
    sensitivity: sensitivity(request),
    assumptions: assumptionsOf(config, evaluated, now),
  };
}

/** Which unit and which member. */
function headAnswer({ config, evaluated, outlook, member, now }: ExplainQuestion) {
  const { unit, place, record, water, assessment } = evaluated;
  return {
    unit: unit.id,
    label: unit.label,
    place: placeAnswer(config, place),
    ...(record.damaged === true ? { problem: problemOf(unit.id) } : {}),
    waterState: water.all.state.kind,
    ...keptWarmAnswer(water),
    suspect: record.memory.suspectSince !== null || (assessment?.alreadyDamaged ?? false),
    // Over all members, as `check` has it.
    advice: adviceAnswer(config, evaluated, now),
    member: {
      index: member,
      middle: member === outlook.middle,
      weight: outlook.members[member]?.weight ?? null,
    },
  };
}

function problemOf(unit: string) {
  const { code, message, hint } = damagedUnit(unit);
  return { code, message, hint };
}

/** What the member damages first, and how long the unit holds out once its heat stops. It has traces of its own. */
function damageUnder(request: ExplainQuestion) {
  const { config, evaluated, outlook, member, now } = request;
  const { unit, water } = evaluated;
  const question = { config, unit, outlook: { ...outlook, middle: member }, water, now };
  const assessor = assessorOf(question);
  const [risk] = assessor.assessMember([asItStands(unit.model, water, now)], member);
  const partAt = risk?.partAt ?? new Float64Array(0);
  return { partAt, firstDamage: firstDamage(request, risk), ...stopsAnswer(question, assessor, evaluated) };
}

interface StopsAnswer {
  readonly holdOut?: ReturnType<typeof stopAnswer>;
  readonly powerCut?: ReturnType<typeof stopAnswer>;
}

/** Nothing where there is no heat to stop; no power cut where there is no shore power. */
function stopsAnswer(
  question: RiskQuestion,
  assessor: RiskAssessor,
  { assessment }: UnitEvaluation,
): StopsAnswer {
  const measures = assessment?.advice.measures;
  const warmth =
    assessment === null || measures === undefined
      ? standingWarmth(question)
      : advisedWarmth(question, assessment.middle.frozen, measures);
  const found = holdOuts(question, assessor, warmth);
  if (found === null) return {};
  const { holdOut, powerCut } = found;
  return {
    holdOut: stopAnswer(holdOut),
    ...(powerCut === undefined ? {} : { powerCut: stopAnswer(powerCut) }),
  };
}

function stopAnswer(stop: HoldOut | null) {
  if (stop === null) return null;
  return {
    hours: Math.round(stop.hours * 1e6) / 1e6,
    stopsAt: isoSecond(stop.stopsAt),
    firstPart: stop.part,
  };
}

/** What goes first as it stands, and whether ice does it or its zone being so cold for so long; null: nothing. */
function firstDamage(request: ExplainQuestion, risk: ScenarioRisk | undefined) {
  const part = request.evaluated.unit.model.parts[risk?.firstPart[0] ?? -1];
  if (risk === undefined || part === undefined) return null;
  const by = harmTo(part, request);
  return by === null
    ? null
    : { part: part.id, at: isoSecond(Math.round(risk.firstAt[0] ?? request.now)), by };
}

function harmTo(part: Part, { config, evaluated }: ExplainQuestion): Harm {
  return harmOf(part, circuitState(evaluated.water, part.circuit).state, sustainedRule(config));
}

function onBoardUntil(at: EpochSeconds | null): string | null {
  return at === null ? null : isoSecond(Math.round(at));
}

function outAt(seconds: number, { firstHour }: Outlook): string | null {
  return seconds === Infinity ? null : isoSecond(Math.round(firstHour + seconds));
}

function zonesOf(model: UnitModel): ZoneId[] {
  const held = new Set<string>([
    'outside',
    ...model.network.nodes.map((n) => n.id),
    ...model.parts.map((p) => p.zone),
  ]);
  return ZONES.filter((zone) => held.has(zone));
}

/** A conductance that the wind changes is one number per hour. */
function networkAnswer({ network }: UnitModel, { air }: Trace) {
  const conductances = network.paths.map((path) => {
    const byHour = (): number[] =>
      numbers(Float64Array.from(air.windClass, (wind) => pathConductance(path, windOfClass(wind))));
    return [path.name, path.windWPerKPerMps === 0 ? path.calmWPerK : byHour()] as const;
  });
  return {
    capacitiesJPerK: Object.fromEntries(network.nodes.map((n) => [n.id, n.capacityJPerK])),
    conductancesWPerK: Object.fromEntries(conductances),
    paths: Object.fromEntries(network.paths.map((p) => [p.name, p.between])),
  };
}
