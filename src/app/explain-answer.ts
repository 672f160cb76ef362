/** The answer of `drainby explain`, `drainby.explain/1`: every parameter and series of one member. */
import { asItStands, heatStops } from '../decision/options.ts';
import { STOWED_CIRCUIT } from '../model/damage.ts';
import { RiskAssessor, type Scenario } from '../model/risk.ts';
import { pathConductance } from '../model/regime.ts';
import { furnaceByHour, runPart, zoneAtHours, type Trace } from '../model/trace.ts';
import { ZONES, type Part, type UnitModel, type ZoneId } from '../model/unit.ts';
import { circuitState } from '../model/water-state.ts';
import {
  ICE_HEAT_CAPACITY_J_PER_KG_K,
  LATENT_HEAT_J_PER_KG,
  WATER_HEAT_CAPACITY_J_PER_KG_K,
} from '../model/water.ts';
import { BLENDS } from '../model/zones.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook, OutlookMember } from '../weather/outlook.ts';
import type { Config } from '../config/config.ts';
import type { UnitEvaluation } from './evaluate.ts';

export type ExplainAnswer = ReturnType<typeof explainAnswer>;

export interface ExplainRequest {
  readonly config: Config;
  readonly evaluated: UnitEvaluation;
  readonly outlook: Outlook;
  readonly member: number;
  readonly now: EpochSeconds;
}

export function explainAnswer(request: ExplainRequest) {
  const { evaluated, outlook, member, now } = request;
  const { model } = evaluated.unit;
  const trace = assessorOf(request, outlook, model).trace(asItStands(model), member);
  return {
    schema: 'drainby.explain/1',
    asOf: isoSecond(now),
    unit: evaluated.unit.id,
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
      time: Array.from({ length: outlook.hours }, (_, i) => isoSecond(outlook.firstHour + i * HOUR_S)),
      windSpeedMps: numbers(trace.air.windSpeedMps),
      furnaceW: numbers(furnaceByHour(trace)),
      zonesC: Object.fromEntries(zonesOf(model).map((zone) => [zone, numbers(zoneAtHours(trace, zone))])),
      groundC: numbers(trace.air.groundC),
    },
    network: networkAnswer(model, trace),
    blends: BLENDS,
    furnace: model.heat === null ? null : { ...model.heat, bandK: 1, underbellyCapC: 25 },
    parts: model.parts.map((part) => partAnswer(part, trace, evaluated)),
    sensitivity: sensitivity(request),
  };
}

function assessorOf(
  { config, evaluated, now }: ExplainRequest,
  outlook: Outlook,
  unit: UnitModel,
): RiskAssessor {
  return new RiskAssessor({ unit, outlook, water: evaluated.water, now, rule: config.policy.sustained });
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
function networkAnswer({ network }: UnitModel, trace: Trace) {
  const conductances = network.paths.map((path) => {
    const byHour = (): number[] => numbers(trace.air.windSpeedMps.map((w) => pathConductance(path, w)));
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
  const factors = trace.windFactors(part.windShare);
  const run = runPart(trace, { part, wetSince: circuit.since, leaveAfter: null });
  return {
    id: part.id,
    label: part.label,
    zone: part.zone,
    circuit: part.circuit,
    waterState: circuit.state.kind,
    waterKg: part.waterKg,
    wallHeatCapacityJPerK: part.wallHeatCapacityJPerK,
    startTemperatureC: part.startTemperatureC ?? firstKnown(run.temperatureC),
    conductanceWPerK:
      part.windShare > 0 ? numbers(factors.map((f) => f * part.conductanceWPerK)) : part.conductanceWPerK,
    calmConductanceWPerK: part.conductanceWPerK,
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

/** What is said of a variation, and what it changes. */
type Change = Pick<Variation, 'unknown' | 'change'> &
  Partial<Pick<Variation, 'unit' | 'outlook' | 'scenario'>>;

interface Variation {
  readonly unknown: string;
  readonly change: string;
  readonly unit: UnitModel;
  readonly outlook: Outlook;
  readonly scenario: Scenario;
}

/** What would change the answer most, one unknown at a time: the first damage after now under each. */
function sensitivity(request: ExplainRequest) {
  const asIs = firstDamageAt(request, variation(request, { unknown: 'as computed', change: 'none' }));
  return variations(request).map((varied) => {
    const at = firstDamageAt(request, varied);
    const known = at !== null && asIs !== null;
    return {
      unknown: varied.unknown,
      change: varied.change,
      firstDamageAt: at === null ? null : isoSecond(Math.round(at)),
      hoursEarlier: known ? Math.round(((asIs - at) / HOUR_S) * 1000) / 1000 : null,
    };
  });
}

function firstDamageAt(request: ExplainRequest, { unit, outlook, scenario }: Variation): EpochSeconds | null {
  const one = { ...outlook, members: [outlook.members[request.member] ?? never(request.member)], middle: 0 };
  return assessorOf(request, one, unit).assessMember([scenario], 0)[0]?.first?.at ?? null;
}

function never(member: number): never {
  throw new Error(`There is no member ${member}; this is a bug.`);
}

function variation({ evaluated, outlook }: ExplainRequest, over: Change): Variation {
  const unit = over.unit ?? evaluated.unit.model;
  return { outlook, scenario: asItStands(unit), ...over, unit };
}

function variations(request: ExplainRequest): Variation[] {
  return [
    ...weatherChanges(request.outlook),
    ...partChanges(request.evaluated.unit.model),
    ...unitChanges(request),
  ].map((change) => variation(request, change));
}

function weatherChanges(outlook: Outlook): Change[] {
  const warmer = (k: number): Outlook =>
    mapMembers(outlook, (m) => ({ ...m, temperatureC: m.temperatureC.map((t) => t + k) }));
  const windier = mapMembers(outlook, (m) => ({ ...m, windSpeedMps: m.windSpeedMps.map((w) => 2 * w) }));
  return [
    { unknown: 'air', change: '2 K colder', outlook: warmer(-2) },
    { unknown: 'air', change: '2 K warmer', outlook: warmer(2) },
    { unknown: 'wind', change: 'doubled', outlook: windier },
  ];
}

function partChanges(model: UnitModel): Change[] {
  const leakier = mapParts(model, (p) => ({ ...p, conductanceWPerK: 1.5 * p.conductanceWPerK }));
  const smaller = mapParts(model, (p) => ({ ...p, waterKg: p.waterKg / 1.5 }));
  return [
    { unknown: 'conductance of the parts', change: 'half as much again', unit: leakier },
    { unknown: 'water in the parts', change: 'a third less', unit: smaller },
  ];
}

function unitChanges({ evaluated, now }: ExplainRequest): Change[] {
  const { model } = evaluated.unit;
  const { network, heat, parts } = model;
  const changes: Change[] = [];
  if (network.nodes.some((n) => n.id === 'underbelly')) {
    const paths = network.paths.map((p) =>
      p.name.startsWith('underbelly') ? { ...p, calmWPerK: 2 * p.calmWPerK } : p,
    );
    changes.push({
      unknown: 'belly skin',
      change: 'twice as leaky',
      unit: { ...model, network: { ...network, paths } },
    });
  }
  if (parts.some((p) => p.circuit === STOWED_CIRCUIT)) {
    const left = parts.filter((p) => p.circuit !== STOWED_CIRCUIT);
    changes.push({ unknown: 'hose', change: 'stowed', unit: { ...model, parts: left } });
  }
  if (heat?.running !== true) return changes;
  const halved = { ...model, heat: { ...heat, ductedShare: heat.ductedShare / 2 } };
  changes.push({ unknown: 'share of the furnace’s output below', change: 'halved', unit: halved });
  changes.push({ unknown: 'heat', change: 'stops now', scenario: heatStops(model, now) });
  return changes;
}

function mapMembers(outlook: Outlook, change: (member: OutlookMember) => OutlookMember): Outlook {
  return { ...outlook, members: outlook.members.map(change) };
}

function mapParts(model: UnitModel, change: (part: Part) => Part): UnitModel {
  return { ...model, parts: model.parts.map(change) };
}
