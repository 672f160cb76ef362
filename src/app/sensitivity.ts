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

/** Instants by the ids of the parts that are lost. */
type Losses = ReadonlyMap<string, EpochSeconds>;

/**
 * What each change does to every part, the one that moves most first: parts that come or go before hours. Parts that
 * are lost anyway say nothing of what the rest hangs on, so the first damage alone would not do.
 */
export function sensitivity(request: ExplainQuestion) {
  const asIs = lossesUnder(request, { unknown: 'as computed', change: 'none' });
  return changes(request)
    .map((change) => effectOf(change, asIs, lossesUnder(request, change)))
    .toSorted((x, y) => partsMoved(y) - partsMoved(x) || hoursMoved(y) - hoursMoved(x));
}

function effectOf({ unknown, change }: Change, asIs: Losses, changed: Losses) {
  const before = firstOf(asIs);
  const at = firstOf(changed);
  const more = [...changed].filter(([id]) => !asIs.has(id)).toSorted(([, x], [, y]) => x - y);
  const moved = [...changed]
    .flatMap(([part, then]) => {
      const was = asIs.get(part);
      return was === undefined
        ? []
        : [{ part, at: isoSecond(Math.round(then)), hoursEarlier: hours(was - then) }];
    })
    .toSorted((x, y) => Math.abs(y.hoursEarlier) - Math.abs(x.hoursEarlier));
  return {
    unknown,
    change,
    firstDamageAt: at === null ? null : isoSecond(Math.round(at)),
    hoursEarlier: at !== null && before !== null ? hours(before - at) : null,
    /** Lost by the change alone, the first first. */
    moreParts: more.map(([part, then]) => ({ part, at: isoSecond(Math.round(then)) })),
    /** Lost as it stands, and spared by the change. */
    fewerParts: [...asIs.keys()].filter((id) => !changed.has(id)),
    /** Of the parts that are lost either way the one that moves furthest; null: there is none. */
    mostMoved: moved[0] ?? null,
  };
}

type Effect = ReturnType<typeof effectOf>;

function partsMoved({ moreParts, fewerParts }: Effect): number {
  return moreParts.length + fewerParts.length;
}

function hoursMoved({ hoursEarlier, mostMoved }: Effect): number {
  return Math.max(Math.abs(hoursEarlier ?? 0), Math.abs(mostMoved?.hoursEarlier ?? 0));
}

function hours(seconds: number): number {
  return Math.round((seconds / HOUR_S) * 1000) / 1000 + 0;
}

function firstOf(losses: Losses): EpochSeconds | null {
  return losses.size === 0 ? null : Math.min(...losses.values());
}

/**
 * From the first hour on, or since a person found the unit whole: damage that has come already is damage, and a
 * change must not seem to spare it by letting the next night count as the first.
 */
function lossesUnder(request: ExplainQuestion, change: Change): Losses {
  const { config, evaluated, now, outlook, member } = request;
  const { unit, water, record } = evaluated;
  const model = change.unit ?? unit.model;
  const weather = change.outlook ?? outlook;
  const one = { ...weather, members: [weather.members[member] ?? never(member)], middle: 0 };
  const from = Math.max(outlook.firstHour - 1, Math.min(now, record.checkedAt ?? -Infinity));
  const assessor = assessorOf({ config, unit, outlook: one, water, now: from }, model);
  const [risk] = assessor.assessMember([change.scenario ?? asItStands(model, water, now)], 0);
  const lost = model.parts.map(({ id }, i) => [id, risk?.partAt[i] ?? Infinity] as const);
  return new Map(lost.filter(([, at]) => at < Infinity));
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
  list.push({
    unknown: 'heat',
    change: 'stops now',
    scenario: heatStops(asItStands(model, water, now), now),
  });
  if (heat.capacityW === 0) return list;
  if (heat.ductedShare > 0) {
    const halved = { ...model, heat: { ...heat, ductedShare: heat.ductedShare / 2 } };
    list.push({ unknown: 'share of the furnace’s output below', change: 'halved', unit: halved });
  }
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
