/** What would change the answer most, one unknown at a time. */
import { asItStands, heatStops } from '../decision/options.ts';
import { STOWED_CIRCUIT } from '../model/damage.ts';
import { isWarmedBy } from '../model/heat-plan.ts';
import type { Scenario } from '../model/risk.ts';
import type { Part, UnitModel } from '../model/unit.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook, OutlookMember } from '../weather/outlook.ts';
import type { ExplainQuestion } from './explain-question.ts';
import { assessorOf } from './risk-question.ts';

/** What is said of a variation, and what it changes. */
interface Change {
  readonly unknown: string;
  readonly change: string;
  readonly unit?: UnitModel;
  readonly outlook?: Outlook;
  readonly scenario?: Scenario;
}

/** The first damage after now under each change, the one that moves it most first. */
export function sensitivity(request: ExplainQuestion) {
  const asIs = firstDamageAt(request, { unknown: 'as computed', change: 'none' });
  return changes(request)
    .map((change) => ({ ...change, at: firstDamageAt(request, change) }))
    .toSorted((x, y) => moved(y.at, asIs) - moved(x.at, asIs))
    .map(({ unknown, change, at }) => ({
      unknown,
      change,
      firstDamageAt: at === null ? null : isoSecond(Math.round(at)),
      hoursEarlier: at !== null && asIs !== null ? Math.round(((asIs - at) / HOUR_S) * 1000) / 1000 : null,
    }));
}

/** Hours; damage that comes or goes altogether moves furthest. */
function moved(at: EpochSeconds | null, asIs: EpochSeconds | null): number {
  if (at === null && asIs === null) return 0;
  return at === null || asIs === null ? Number.MAX_VALUE : Math.abs(at - asIs);
}

function firstDamageAt(request: ExplainQuestion, change: Change): EpochSeconds | null {
  const { config, evaluated, now, outlook, member } = request;
  const { unit, water } = evaluated;
  const model = change.unit ?? unit.model;
  const weather = change.outlook ?? outlook;
  const one = { ...weather, members: [weather.members[member] ?? never(member)], middle: 0 };
  const assessor = assessorOf({ config, unit, outlook: one, water, now }, model);
  const [risk] = assessor.assessMember([change.scenario ?? asItStands(model, water, now)], 0);
  const at = risk?.firstAt[0] ?? Infinity;
  return at === Infinity ? null : at;
}

function never(member: number): never {
  throw new Error(`There is no member ${member}; this is a bug.`);
}

function changes(request: ExplainQuestion): Change[] {
  return [
    ...weatherChanges(request.outlook),
    ...partChanges(request.evaluated.unit.model),
    ...unitChanges(request),
  ];
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

function unitChanges({ evaluated, now }: ExplainQuestion): Change[] {
  const { unit, water } = evaluated;
  const { model } = unit;
  const { heat, parts } = model;
  const list: Change[] = [...pathChanges(model)];
  if (parts.some((p) => p.circuit === STOWED_CIRCUIT)) {
    const left = parts.filter((p) => p.circuit !== STOWED_CIRCUIT);
    list.push({ unknown: 'hose', change: 'stowed', unit: { ...model, parts: left } });
  }
  if (heat === null || !isWarmedBy(model, water)) return list;
  const halved = { ...model, heat: { ...heat, ductedShare: heat.ductedShare / 2 } };
  list.push({ unknown: 'share of the furnace’s output below', change: 'halved', unit: halved });
  list.push({ unknown: 'heat', change: 'stops now', scenario: heatStops(model, { water, now, at: now }) });
  if (heat.gas === undefined) return list;
  const less = { ...model, heat: { ...heat, gas: { ...heat.gas, kg: heat.gas.kg / 2 } } };
  return [...list, { unknown: 'gas on board', change: 'half', unit: less }];
}

const VARIED_PATHS = [
  { starts: 'insideOutside', unknown: 'walls and draughts', change: 'half as leaky again', factor: 1.5 },
  { starts: 'underbelly', unknown: 'belly skin', change: 'twice as leaky', factor: 2 },
  { starts: 'underneathOutside', unknown: 'skirting', change: 'twice as leaky', factor: 2 },
] as const;

function pathChanges(model: UnitModel): Change[] {
  return VARIED_PATHS.filter(({ starts }) => model.network.paths.some((p) => p.name.startsWith(starts))).map(
    ({ starts, unknown, change, factor }) => {
      const paths = model.network.paths.map((p) =>
        p.name.startsWith(starts) ? { ...p, calmWPerK: factor * p.calmWPerK } : p,
      );
      return { unknown, change, unit: { ...model, network: { ...model.network, paths } } };
    },
  );
}

function mapMembers(outlook: Outlook, change: (member: OutlookMember) => OutlookMember): Outlook {
  return { ...outlook, members: outlook.members.map(change) };
}

function mapParts(model: UnitModel, change: (part: Part) => Part): UnitModel {
  return { ...model, parts: model.parts.map(change) };
}
