/** All places and units at one instant: forecasts and memory in, assessments out. */
import { setImmediate } from 'node:timers/promises';
import type { Config, UnitConfig } from '../config/config.ts';
import { EMPTY_MEMORY, withoutFuture } from '../decision/memory.ts';
import type { Gathered } from '../forecast/gather.ts';
import { standingMeasures, warmedLike } from '../model/kept-warm.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';
import { assessUnit, type Assessment } from './assess.ts';
import { evaluatePlace, isShort, withShortness, type PlaceEvaluation } from './evaluate-place.ts';
import { heldWater } from './held-water.ts';
import { NOTHING_KNOWN, type PlaceKnowledge } from './knowledge.ts';
import { tunedByReadings, type Tuned } from './tuned.ts';
import { KnownRisks } from './unit-risk.ts';
import { withWorkLeft } from './work-left.ts';

export interface EvaluationRequest {
  readonly config: Config;
  readonly now: EpochSeconds;
  readonly forecasts: ReadonlyMap<string, Gathered>;
  readonly records: ReadonlyMap<string, UnitRecord>;
  /** Of places; one that is absent has nothing but its forecast. */
  readonly knowledge: ReadonlyMap<string, PlaceKnowledge>;
  readonly signal: AbortSignal;
}

export interface UnitEvaluation {
  readonly unit: UnitConfig;
  readonly place: PlaceEvaluation;
  readonly record: UnitRecord;
  /** The newer of the config's and the last mark's. */
  readonly water: UnitWater;
  /** What readings in its zones tell of it, in full sentences. */
  readonly tuning: readonly string[];
  /** Null: unknown, because the place has no usable forecast or the unit's record is damaged. */
  readonly assessment: Assessment | null;
}

export interface Evaluation {
  readonly now: EpochSeconds;
  readonly places: readonly PlaceEvaluation[];
  readonly units: readonly UnitEvaluation[];
}

/** Lets signals and pages through between places and units. Rejects with the signal's reason when it is aborted. */
export async function evaluate(request: EvaluationRequest): Promise<Evaluation> {
  const places = await evaluatePlaces(request);
  const byId = new Map(places.map((p) => [p.place.id, p]));
  const risks = new KnownRisks();
  const units: UnitEvaluation[] = [];
  for (const unit of request.config.units) {
    const place = byId.get(unit.place);
    if (place === undefined) continue;
    units.push(evaluateUnit(unit, place, { ...request, risks }));
    await setImmediate();
    request.signal.throwIfAborted();
  }
  return {
    now: request.now,
    places: places.map((p) => withShortness(p, request.now, request.config.policy.windowHours)),
    units,
  };
}

function evaluateUnit(
  unit: UnitConfig,
  place: PlaceEvaluation,
  request: EvaluationRequest & { readonly risks: KnownRisks },
): UnitEvaluation {
  const record = request.records.get(unit.id) ?? unseen(unit.id);
  const { water, waterAt } = heldWater(unit, record, request.now);
  const tuned = tunedUnit(warmed(unit, water), { place, water }, request);
  const base = { unit: withWorkLeft(tuned.unit, water), place, record, water, tuning: tuned.sentences };
  if (place.outlook === null || record.damaged === true) return { ...base, assessment: null };
  const assessment = assessUnit({
    config: request.config,
    place: place.place,
    unit: base.unit,
    outlook: place.outlook,
    water,
    waterAt,
    checkedAt: record.checkedAt,
    memory: withoutFuture(record.memory, request.now),
    now: request.now,
    risks: request.risks,
  });
  const short = isShort(place, request.now, request.config.policy.windowHours);
  const blind = short && assessment.advice.action === 'nothing';
  return { ...base, assessment: blind ? null : assessment };
}

async function evaluatePlaces(request: EvaluationRequest): Promise<readonly PlaceEvaluation[]> {
  const { config, now, forecasts, knowledge, signal } = request;
  const places: PlaceEvaluation[] = [];
  for (const place of config.places) {
    const known = { gathered: forecasts.get(place.id), knowledge: knowledge.get(place.id) ?? NOTHING_KNOWN };
    places.push(evaluatePlace(place, { config, now, ...known }));
    await setImmediate();
    signal.throwIfAborted();
  }
  return places;
}

/** With what readings in its own zones tell of it. */
function tunedUnit(
  unit: UnitConfig,
  { place, water }: Pick<UnitEvaluation, 'place' | 'water'>,
  { config, knowledge, now }: EvaluationRequest,
): Tuned {
  const { outlook, place: spot } = place;
  const readings = knowledge.get(spot.id)?.readings ?? [];
  if (outlook === null) return { unit, sentences: [] };
  return tunedByReadings({ config, unit, water, spot, outlook, readings, now });
}

/** A unit that somebody keeps warm is as what was asked of the list for dusk leaves it; since when its heat is on, its water says. */
export function warmed(unit: UnitConfig, water: UnitWater): UnitConfig {
  if (water.keptWarm !== true || unit.keptWarm === null) return unit;
  const running = unit.model.heat?.running === true;
  const kept =
    water.keptWarmBy === undefined
      ? unit.keptWarm
      : warmedLike(unit.keptWarm, unit.spec, [...standingMeasures(unit.spec), ...water.keptWarmBy]);
  const { heat } = kept;
  return { ...unit, model: { ...kept, heat: heat === null ? null : { ...heat, running } } };
}

function unseen(unit: string): UnitRecord {
  return { unit, version: 0, water: null, waterAt: null, checkedAt: null, memory: EMPTY_MEMORY };
}
