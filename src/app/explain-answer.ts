/** The answer of `drainby explain`, `drainby.explain/1`: every parameter and series of one member. */
import { asItStands } from '../decision/options.ts';
import { windOfClass } from '../model/film.ts';
import { BAND_K, UNDERBELLY_CAP_C } from '../model/heat-law.ts';
import { pathConductance } from '../model/linear-system.ts';
import { conductanceAt } from '../model/part.ts';
import { furnaceByHour, runPart, zoneAtHours, type Trace } from '../model/trace.ts';
import { ZONES, type Part, type UnitModel, type ZoneId } from '../model/unit.ts';
import { circuitState } from '../model/water-state.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../model/water.ts';
import { HOUR_S, isoSecond } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import type { UnitEvaluation } from './evaluate.ts';
import type { ExplainQuestion } from './explain-question.ts';
import { flowsAnswer } from './flows-answer.ts';
import { sensitivity } from './sensitivity.ts';
import { assessorOf } from './risk-question.ts';

export type ExplainAnswer = ReturnType<typeof explainAnswer>;

export function explainAnswer(request: ExplainQuestion) {
  const { config, evaluated, outlook, member, now } = request;
  const { unit, water } = evaluated;
  const { model } = unit;
  const assessor = assessorOf({ config, unit, outlook, water, now });
  const trace = assessor.trace(asItStands(model, water, now), member);
  const time = Array.from({ length: outlook.hours }, (_, i) => isoSecond(outlook.firstHour + i * HOUR_S));
  return {
    schema: 'drainby.explain/1',
    asOf: isoSecond(now),
    unit: unit.id,
    member: {
      index: member,
      middle: member === outlook.middle,
      weight: outlook.members[member]?.weight ?? null,
    },
    constants: {
      latentHeatJPerKg: LATENT_HEAT_J_PER_KG,
      waterHeatCapacityJPerKgK: WATER_HEAT_CAPACITY_J_PER_KG_K,
      iceHeatCapacityJPerKgK: ICE_HEAT_CAPACITY_J_PER_KG_K,
    },
    hours: {
      time,
      windSpeedMps: numbers(Float64Array.from(trace.air.windClass, windOfClass)),
      furnaceW: numbers(furnaceByHour(trace)),
      zonesC: Object.fromEntries(zonesOf(model).map((zone) => [zone, numbers(zoneAtHours(trace, zone))])),
      groundC: numbers(trace.air.groundC),
    },
    network: networkAnswer(model, trace),
    blends: model.network.zones,
    furnace: model.heat === null ? null : { ...model.heat, bandK: BAND_K, underbellyCapC: UNDERBELLY_CAP_C },
    heatLasts: {
      gasUntil: outAt(trace.track.gasOutS, outlook),
      batteryUntil: outAt(trace.track.batteryOutS, outlook),
    },
    flows: flowsAnswer(model, trace, now),
    parts: model.parts.map((part) => partAnswer(part, trace, evaluated)),
    sensitivity: sensitivity(request),
  };
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

/** Series of the part full of water, or holding what its circuit's state leaves in it; null before it held any. */
function partAnswer(part: Part, trace: Trace, { water }: UnitEvaluation) {
  const circuit = circuitState(water, part.circuit);
  const run = runPart(trace, { part, wetSince: circuit.since });
  const byHour = (): number[] =>
    numbers(Float64Array.from(trace.air.windClass, (wind) => conductanceAt(part, wind)));
  return {
    id: part.id,
    label: part.label,
    zone: part.zone,
    circuit: part.circuit,
    waterState: circuit.state.kind,
    waterKg: part.waterKg,
    wallHeatCapacityJPerK: part.wallHeatCapacityJPerK,
    startTemperatureC: part.startTemperatureC ?? firstKnown(run.temperatureC),
    conductanceWPerK: part.windShare > 0 ? byHour() : part.conductanceWPerK,
    calmConductanceWPerK: part.conductanceWPerK,
    ...(part.heat === undefined ? {} : { heat: part.heat }),
    iceLayerRatio: part.iceLayerRatio,
    blocked: part.blocked,
    solid: part.solid,
    temperatureC: numbers(run.temperatureC),
    iceFraction: numbers(run.iceFraction),
    usedKelvinHours: numbers(run.usedKelvinHours),
  };
}

function firstKnown(values: Float64Array): number | null {
  return values.find((v) => !Number.isNaN(v)) ?? null;
}

/** NaN is not JSON: unknown is null. */
function numbers(values: Float64Array): number[] {
  return Array.from(values, (v) =>
    Number.isNaN(v) ? (null as unknown as number) : Math.round(v * 1e9) / 1e9 + 0,
  );
}
