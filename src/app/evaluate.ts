/** All places and units at one instant: forecasts and memory in, assessments out. */
import { setImmediate } from 'node:timers/promises';
import type { Config, PlaceConfig, UnitConfig } from '../config/config.ts';
import { EMPTY_MEMORY, withoutFuture } from '../decision/memory.ts';
import { SourceError } from '../errors.ts';
import type { Gathered } from '../forecast/gather.ts';
import type { UnitWater } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { UnitRecord } from '../store/store.ts';
import { outlookOf, type Outlook } from '../weather/outlook.ts';
import { assessUnit, type Assessment } from './assess.ts';
import { heldWater } from './held-water.ts';
import { KnownRisks } from './unit-risk.ts';

export interface EvaluationRequest {
  readonly config: Config;
  readonly now: EpochSeconds;
  readonly forecasts: ReadonlyMap<string, Gathered>;
  readonly records: ReadonlyMap<string, UnitRecord>;
  readonly signal: AbortSignal;
}

export interface Problem {
  readonly code: string;
  readonly message: string;
}

export interface PlaceEvaluation {
  readonly place: PlaceConfig;
  /** Null: no usable forecast. */
  readonly outlook: Outlook | null;
  readonly problem: Problem | null;
}

export interface UnitEvaluation {
  readonly unit: UnitConfig;
  readonly place: PlaceEvaluation;
  readonly record: UnitRecord;
  /** The newer of the config's and the last mark's. */
  readonly water: UnitWater;
  /** Null: unknown, because the place has no usable forecast or the unit's record is damaged. */
  readonly assessment: Assessment | null;
}

export interface Evaluation {
  readonly now: EpochSeconds;
  readonly places: readonly PlaceEvaluation[];
  readonly units: readonly UnitEvaluation[];
}

/**
 * A forecast that ends sooner than this can show that there is something to do, but not that there is nothing.
 */
const SHORTEST_CALM_HOURS = 24;

/** Lets signals and pages through between units. Rejects with the signal's reason when it is aborted. */
export async function evaluate(request: EvaluationRequest): Promise<Evaluation> {
  const places = request.config.places.map((place) => evaluatePlace(place, request));
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

function evaluatePlace(place: PlaceConfig, { config, now, forecasts }: EvaluationRequest): PlaceEvaluation {
  const gathered = forecasts.get(place.id);
  if (gathered === undefined) return unknownPlace(place, []);
  if (!gathered.ok) return unknownPlace(place, gathered.errors);
  try {
    const { errorModel, horizonHours } = config.weather;
    const errorLaw = errorModel.kind === 'none' ? null : errorModel;
    const outlook = outlookOf({ forecast: gathered.forecast, now, horizonHours, spot: place, errorLaw });
    return { place, outlook, problem: null };
  } catch (error) {
    if (error instanceof SourceError) return unknownPlace(place, [error]);
    throw error;
  }
}

function unknownPlace(place: PlaceConfig, errors: readonly SourceError[]): PlaceEvaluation {
  const code = errors.at(-1)?.code ?? 'source-missing-place';
  const message = errors.map((e) => e.message).join(' ') || 'No source was asked for this place.';
  return { place, outlook: null, problem: { code, message } };
}

function hoursAhead({ outlook }: PlaceEvaluation, now: EpochSeconds): number {
  return outlook === null ? 0 : (outlook.firstHour + (outlook.hours - 1) * HOUR_S - now) / HOUR_S;
}

/** Behind a hole the window may hold anything. */
function isShort(place: PlaceEvaluation, now: EpochSeconds, windowHours: number): boolean {
  const hours = hoursAhead(place, now);
  return hours < SHORTEST_CALM_HOURS || (place.outlook?.endsAtHole === true && hours < windowHours);
}

function withShortness(place: PlaceEvaluation, now: EpochSeconds, windowHours: number): PlaceEvaluation {
  const hours = hoursAhead(place, now);
  if (place.outlook === null || !isShort(place, now, windowHours)) return place;
  const message = `The forecast of ${place.outlook.source} ends in ${Math.floor(hours)} h: it can show cold, but not that there is none.`;
  return { ...place, problem: { code: 'forecast-short', message } };
}

function evaluateUnit(
  unit: UnitConfig,
  place: PlaceEvaluation,
  request: EvaluationRequest & { readonly risks: KnownRisks },
): UnitEvaluation {
  const record = request.records.get(unit.id) ?? unseen(unit.id);
  const { water, waterAt } = heldWater(unit, record, request.now);
  const base = { unit: warmed(unit, water), place, record, water };
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

/** A unit that somebody keeps warm is as the list for dusk leaves it; since when its heat is on, its water says. */
function warmed(unit: UnitConfig, water: UnitWater): UnitConfig {
  if (water.keptWarm !== true || unit.keptWarm === null) return unit;
  const running = unit.model.heat?.running === true;
  const { heat } = unit.keptWarm;
  return { ...unit, model: { ...unit.keptWarm, heat: heat === null ? null : { ...heat, running } } };
}

function unseen(unit: string): UnitRecord {
  return { unit, version: 0, water: null, waterAt: null, checkedAt: null, memory: EMPTY_MEMORY };
}
