/** From an evaluated unit to what a message or the check answer can say of it. */
import type { Config } from '../config/config.ts';
import { READY_TO_USE_PERCENT, fluidCautions, litresNeeded, type Fluid } from '../model/antifreeze.ts';
import { voidWithoutPost } from '../model/catalogue.ts';
import { SHOWER_CIRCUIT, STOWED_CIRCUIT, holdsWater } from '../model/damage.ts';
import { isWarmedBy } from '../model/heat-plan.ts';
import { outsideCircuits } from '../model/outside-circuits.ts';
import { overloadOf, type Overload } from '../model/post-load.ts';
import { circuitState, isWet } from '../model/water-state.ts';
import { trippedWords } from '../message/trip-words.ts';
import { waterStateWords } from '../message/words.ts';
import type { UnitFacts } from '../message/message.ts';
import { isoSecond } from '../quantity/instant.ts';
import { formatNear } from '../quantity/local-time.ts';
import { asksHow } from './answer-record.ts';
import type { UnitEvaluation } from './evaluate.ts';
import type { Problem } from './evaluate-place.ts';
import { otherMethod } from './other-method.ts';
import { serviceFacts, serviceOf } from './service.ts';
import { yetToCome } from './held-water.ts';
import { moneyFacts } from './money-answer.ts';
import { waterAssumptions } from './water-assumptions.ts';
import { workAssumptions } from './work-assumptions.ts';
import { breakerSentence, unknownLoadW } from './unknown-breaker.ts';
import { refusedW, warmingsOf, type WarmQuestion } from './warmings.ts';
import { drainedCircuits } from './work-left.ts';
import { coveredHours, coversWindow, lastHourOf } from './reach.ts';

export function unitFacts(config: Config, evaluated: UnitEvaluation, now: number): UnitFacts {
  const { unit, place, record, water, assessment } = evaluated;
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  const service = serviceOf(config, evaluated, now);
  const warm = assessment?.candidates.find(({ action }) => action === 'keep-warm');
  return {
    asOf: now,
    unit: { id: unit.id, label: unit.label, attended: unit.attended },
    place: { id: place.place.id, label: place.place.label, timeZone: place.place.timeZone },
    advice: assessment?.advice ?? null,
    chances: assessment?.chances ?? null,
    callAheadHours: config.policy.callAheadHours,
    windowHours: coveredHours(place.outlook, now, config.policy.windowHours),
    lowestOutside: outside === undefined ? null : { temperatureC: outside.minimumC, at: outside.minimumAt },
    spells: assessment?.middle.spells.filter((s) => s.zone === 'outside') ?? [],
    firstPart: labelOf(evaluated, assessment?.firstPart),
    firstDamageAt: assessment?.firstDamage.median ?? assessment?.firstDamage.deadlineAt ?? null,
    warmFirstPart: labelOf(evaluated, warm?.firstPart),
    dueAt: assessment?.firstDamage.deadlineAt ?? null,
    suspect: record.memory.suspectSince !== null,
    alreadyDamaged: assessment?.alreadyDamaged ?? false,
    holdOutHours: assessment?.holdOuts?.holdOut?.hours ?? null,
    heatLasts: {
      gasUntil: assessment?.middle.gasOnBoardUntil ?? null,
      gasShortFrom: assessment?.middle.gasShortAt ?? null,
      batteryUntil: assessment?.middle.batteryOutAt ?? null,
    },
    holdOutPart: labelOf(evaluated, assessment?.holdOuts?.holdOut?.part),
    powerCut: powerCutOf(evaluated),
    overloadW: refusedW(warmQuestion(evaluated)),
    tripped: trippedPost(evaluated),
    unknownLoadW: unknownLoadW(evaluated),
    dusk: duskOf(evaluated),
    measures: assessment?.advice.measures ?? warmingsOf(warmQuestion(evaluated))[0]?.measures ?? [],
    pockets: pocketsOf(evaluated),
    outsideCircuits: outsideCircuits(unit.model).filter((circuit) => isHeld(evaluated, circuit)),
    chanceOfNoWater: assessment?.chanceOfNoWater ?? null,
    noWaterPart: labelOf(evaluated, assessment?.noWaterPart),
    hasHeat: unit.model.heat !== null,
    heatFails: heatFails(evaluated),
    heatIsOn: isWarmedBy(unit.model, water),
    hasHose:
      unit.model.parts.some((p) => p.circuit === STOWED_CIRCUIT) &&
      isWet(circuitState(water, STOWED_CIRCUIT).state),
    waterState: `${waterStateWords(water.all.state)}${keptWarmWords(evaluated, now)}`,
    drained: drainedCircuits(unit, water),
    ...(asksHow(evaluated) ? { asks: 'how-winterized' } : {}),
    fluidCautions: fluidsIn(evaluated).flatMap(fluidCautions),
    dilution: dilutionOf(outside?.minimumC),
    problem: place.problem === null ? null : problemWords(place.problem),
    lastKnown: record.memory.lastKnown,
    assumptions: assumptionsOf(config, evaluated, now),
    attributions: place.attributions,
    forecast: place.outlook,
    alerts: place.alerts,
    money: moneyFacts(evaluated),
    route: { ...unit.route, compressor: unit.kit.compressor, ...otherMethod(evaluated) },
    service: service === null ? null : serviceFacts(service, evaluated),
  };
}

function problemWords({ message, hint = '' }: Problem): string {
  return `${message} ${hint}`.trim();
}

/** What the post cannot carry of what is on as the unit stands; null: nothing. */
export function trippedPost({ unit, water }: Pick<UnitEvaluation, 'unit' | 'water'>): Overload | null {
  return overloadOf(unit.model, isWarmedBy(unit.model, water));
}

function labelOf({ unit }: UnitEvaluation, part: string | null | undefined): string | null {
  return unit.model.parts.find((p) => p.id === part)?.label ?? null;
}

function powerCutOf(evaluated: UnitEvaluation): UnitFacts['powerCut'] {
  const cut = evaluated.assessment?.holdOuts?.powerCut;
  return cut === undefined ? null : { hours: cut?.hours ?? null, part: labelOf(evaluated, cut?.part) };
}

/** What somebody keeps up counts, so it is shown; empty: nobody does. */
function keptWarmWords({ water, place }: UnitEvaluation, now: number): string {
  const { keptWarm, keptWarmSince } = water;
  if (keptWarm !== true) return '';
  const since =
    keptWarmSince === undefined ? '' : ` since ${formatNear(keptWarmSince, now, place.place.timeZone)}`;
  return `, kept warm${since}`;
}

/** More likely than not something freezes with the heat on, as it stands or at its best. */
export function heatFails({ assessment, unit, water }: UnitEvaluation): boolean {
  const { 'keep-warm': warm, nothing } = assessment?.chances.perAction ?? {};
  const best = warm ?? (isWarmedBy(unit.model, water) ? nothing : undefined);
  return best !== undefined && best > 0.5;
}

/** As `keptWarm` of the model takes them to be. */
function duskOf({ unit: { spec, keptWarm }, water }: UnitEvaluation): UnitFacts['dusk'] {
  const parts = keptWarm?.parts ?? [];
  const heater = parts.find(
    (p) => p.circuit === 'heater' && p.heat !== undefined && isWet(circuitState(water, p.circuit).state),
  );
  const hasShower = parts.some((p) => p.circuit === SHOWER_CIRCUIT);
  return {
    heaterOn: heater?.heat?.needs ?? null,
    showerValves: hasShower ? (spec.showerValves ?? 'unknown') : null,
  };
}

function warmQuestion({ unit, water, assessment }: UnitEvaluation): WarmQuestion {
  return { unit, water, frozen: assessment?.middle.frozen ?? new Set() };
}

function isHeld({ unit, water }: Pick<UnitEvaluation, 'unit' | 'water'>, circuit: string): boolean {
  return unit.model.parts.some(
    (p) => p.circuit === circuit && holdsWater(p, circuitState(water, circuit).state),
  );
}

/** What stays full after a drain in a hurry, and holds water now. */
export function pocketsOf({ unit, water }: Pick<UnitEvaluation, 'unit' | 'water'>): UnitFacts['pockets'] {
  return unit.model.parts
    .filter((p) => p.pocket !== 'never' && holdsWater(p, circuitState(water, p.circuit).state))
    .map(({ id, label, circuit }) => ({ id, label, circuit }));
}

function fluidsIn({ unit, water }: UnitEvaluation): readonly Fluid[] {
  const states = unit.model.parts.map((p) => circuitState(water, p.circuit).state);
  return [...new Set(states.flatMap((s) => (s.kind === 'antifreeze' ? [s.fluid ?? 'glycol'] : [])))];
}

/** Below the lowest temperature ahead, so that a fluid just strong enough is not called so. */
const SPARE_K = 3;

function dilutionOf(lowestC: number | undefined): UnitFacts['dilution'] {
  if (lowestC === undefined || lowestC >= 0) return null;
  const fluidPercent = READY_TO_USE_PERCENT;
  const litres = litresNeeded({ fluidPercent, leftLitres: 1, limit: 'burst', targetC: lowestC - SPARE_K });
  return { fluidPercent, litres };
}

/** Everything that was taken for granted, in full sentences. */
export function assumptionsOf(config: Config, evaluated: UnitEvaluation, now: number): string[] {
  const { policy } = config;
  const { unit, place } = evaluated;
  const { outlook } = place;
  const trip = trippedPost(evaluated);
  const isVoid = trip === null ? [] : voidWithoutPost(unit.model);
  const ofUnit = unit.model.assumptions.filter((taken) => !isVoid.includes(taken));
  const sentences = [...(outlook?.assumptions ?? []), ...ofUnit, ...evaluated.tuning];
  if (trip !== null) sentences.push(trippedWords(trip));
  const unknownW = unknownLoadW(evaluated);
  if (unknownW > 0) sentences.push(breakerSentence(unknownW));
  sentences.push(...waterAssumptions(config, evaluated), ...workAssumptions(config, evaluated));
  const over = refusedW(warmQuestion(evaluated));
  if (over > 0)
    sentences.push(
      `Kept warm it would draw ${(over / 1000).toFixed(1)} kW more than the post bears, and everything would stop at once: that is not advised. Switch loads off and say so under power and heat.`,
    );
  const gaugedAt = unit.model.heat?.gaugedAt ?? now;
  if (outlook !== null && gaugedAt < outlook.firstHour)
    sentences.push(
      `Gas and charge were read at ${isoSecond(gaugedAt)}, longer ago than is computed: what was used before ${isoSecond(outlook.firstHour)} is not counted. Read them again.`,
    );
  if (gaugedAt > now)
    sentences.push(
      `Gas and charge are said to have been read at ${isoSecond(gaugedAt)}, which is yet to come: they are taken as read now.`,
    );
  const later = yetToCome(unit, now);
  if (later !== null)
    sentences.push(
      `The config says what is in the lines from ${isoSecond(later)} on, which is yet to come: it is not used before.`,
    );
  if (outlook === null) return sentences;
  const end = lastHourOf(outlook);
  if (!coversWindow(outlook, now, policy.windowHours))
    sentences.push(`The forecast ends at ${isoSecond(end)}; what comes after is unknown.`);
  return sentences;
}
