/** Heat, power, tanks and journeys that cannot be together. */
import { catalogueParts } from '../model/catalogue-parts.ts';
import { parseInstant } from '../quantity/instant.ts';
import type { Draft } from './draft.ts';
import { has, mapAt, mapsAt, numberAt, problemAt, quantityAt, textAt, textsAt } from './draft.ts';
import { shown } from './found.ts';
import type { Problem } from './problem.ts';

export function protectionRules(unit: Draft): readonly Problem[] {
  return [
    ...heatRules(unit),
    ...shoreRules(unit),
    ...shellRules(unit),
    ...heaterRules(unit),
    ...showerRules(unit),
    ...tankRules(unit),
    ...towingRules(unit),
  ];
}

const SOURCES = ['furnace', 'electric', 'heatPump'] as const;
/** What means nothing without another key beside it. */
const BESIDE = [
  { key: 'cylinder', needs: 'propane' },
  { key: 'refilled', needs: 'propane' },
  { key: 'gauged', needs: 'propane' },
  { key: 'ductedShare', needs: 'furnace' },
] as const;

function heatRules(unit: Draft): readonly Problem[] {
  const heat = mapAt(unit, 'heat');
  if (!isMap(unit, 'heat')) return [];
  const missing = SOURCES.some((key) => has(heat, key))
    ? []
    : [problemAt(heat, 'furnace', 'is missing; give furnace, electric or heatPump, or heat: none')];
  const idle = BESIDE.filter(({ key, needs }) => has(heat, key) && !has(heat, needs)).map(({ key, needs }) =>
    problemAt(heat, key, `needs ${needs} beside it, found none`),
  );
  return [...missing, ...idle];
}

function isMap(draft: Draft, key: string): boolean {
  const value = draft.fields[key];
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** Off shore power there is none for what needs it. */
function shoreRules(unit: Draft): readonly Problem[] {
  const power = mapAt(unit, 'power');
  if (textAt(power, 'supply') !== 'battery') return [];
  const heat = mapAt(unit, 'heat');
  const taped = mapsAt(mapAt(unit, 'parts'), 'lines').filter(
    (line) => (quantityAt(line, 'tape', 'powerPerLength') ?? 0) > 0,
  );
  const asked: readonly (readonly [Draft, string])[] = [
    ...(['electric', 'heatPump'] as const).filter((key) => has(heat, key)).map((key) => [heat, key] as const),
    ...(textAt(unit, 'waterHeater') === 'shore' ? [[unit, 'waterHeater'] as const] : []),
    ...(textAt(unit, 'hose') === 'heated' ? [[unit, 'hose'] as const] : []),
    ...(has(unit, 'tankPads') ? [[unit, 'tankPads'] as const] : []),
    ...taped.map((line) => [line, 'tape'] as const),
    ...(['breaker', 'voltage', 'legs', 'other'] as const)
      .filter((key) => has(power, key))
      .map((key) => [power, key] as const),
  ];
  return asked.map(([draft, key]) => problemAt(draft, key, 'needs shore power, found supply: battery'));
}

const BARN_KEYS = ['barnCapacity', 'barnOutside', 'barnGround'];

function shellRules(unit: Draft): readonly Problem[] {
  const network = mapAt(unit, 'network');
  const belly = textAt(unit, 'belly') ?? 'open';
  const skin =
    has(unit, 'bellySkin') && belly === 'open'
      ? [problemAt(unit, 'bellySkin', 'belongs to a belly that is enclosed or heated, found an open one')]
      : [];
  if (textAt(unit, 'shelter') === 'barn') return skin;
  const idle = BARN_KEYS.filter((key) => has(network, key));
  return [...skin, ...idle.map((key) => problemAt(network, key, 'belongs to shelter: barn, found no barn'))];
}

/** Whether the catalogue's part is in the unit, and not in the place of an own one. */
function hasPart(unit: Draft, id: string): boolean {
  const parts = mapAt(unit, 'parts');
  const listed = (key: string): boolean => textsAt(parts, key).some(({ text }) => text === id);
  if (parts.fields['catalogue'] === false || listed('without') || ownIds(parts).includes(id)) return false;
  const kinds = catalogueParts().find((part) => part.id === id)?.kinds ?? [];
  return listed('add') || kinds.some((kind) => kind === textAt(unit, 'kind'));
}

function ownIds(parts: Draft): readonly (string | null)[] {
  return [...mapsAt(parts, 'own'), ...mapsAt(parts, 'lines')].map((part) => textAt(part, 'id'));
}

function heaterRules(unit: Draft): readonly Problem[] {
  const word = textAt(unit, 'waterHeater') ?? 'off';
  const tank =
    word === 'off' || hasPart(unit, 'heater-tank')
      ? []
      : [problemAt(unit, 'waterHeater', noPart('heater-tank', word))];
  const tankless =
    unit.fields['tanklessProtection'] !== true || hasPart(unit, 'tankless-heater')
      ? []
      : [problemAt(unit, 'tanklessProtection', noPart('tankless-heater', true))];
  return [...tank, ...tankless];
}

const SHOWERS = ['outside-shower', 'outside-shower-hot', 'spray-port'];

function showerRules(unit: Draft): readonly Problem[] {
  const parts = mapAt(unit, 'parts');
  const own = [...mapsAt(parts, 'own'), ...mapsAt(parts, 'lines')];
  const there =
    SHOWERS.some((id) => hasPart(unit, id)) || own.some((part) => textAt(part, 'circuit') === SHOWERS[0]);
  if (!has(unit, 'outsideShowerValves') || there) return [];
  return [
    problemAt(unit, 'outsideShowerValves', noPart('outside-shower', unit.fields['outsideShowerValves'])),
  ];
}

function noPart(id: string, found: unknown): string {
  return `needs the catalogue's part ${id}, which this unit has not (parts.add), found ${shown(found)}`;
}

const TANKS = [
  { key: 'fresh', ids: ['fresh-tank', 'portable-tank'] },
  { key: 'grey', ids: ['grey-tank'] },
  { key: 'black', ids: ['black-tank'] },
] as const;

function tankRules(unit: Draft): readonly Problem[] {
  const fills = mapAt(unit, 'tanks');
  const there = TANKS.filter(({ ids }) => ids.some((id) => hasPart(unit, id)));
  const lost = TANKS.filter((tank) => has(fills, tank.key) && !there.includes(tank));
  const strangers = lost.map(({ key, ids }) =>
    problemAt(fills, key, noPart(ids[0], numberAt(fills, key) ?? fills.fields[key])),
  );
  const wet = there.some(({ key }) => numberAt(fills, key) !== 0);
  if (!has(unit, 'tankPads') || wet) return strangers;
  const why = there.length === 0 ? "a unit without the catalogue's tanks" : 'empty tanks only';
  return [
    ...strangers,
    problemAt(unit, 'tankPads', `must not heat an empty tank; they need one with water, found ${why}`),
  ];
}

/** Instants of a journey; null where one is not readable. */
interface Journey {
  readonly draft: Draft;
  readonly from: number | null;
  readonly until: number | null;
}

function towingRules(unit: Draft): readonly Problem[] {
  const journeys = mapsAt(unit, 'towing').map((draft) => ({
    draft,
    from: instantAt(draft, 'from'),
    until: instantAt(draft, 'until'),
  }));
  return [
    ...journeys.flatMap(backwards),
    ...journeys.flatMap((one, i) => overlap(one, journeys.slice(0, i))),
  ];
}

function instantAt(draft: Draft, key: string): number | null {
  const text = textAt(draft, key);
  return text === null ? null : parseInstant(text);
}

function backwards({ draft, from, until }: Journey): readonly Problem[] {
  if (from === null || until === null || until > from) return [];
  const text = `must be after from (${textAt(draft, 'from')}), found ${shown(textAt(draft, 'until'))}`;
  return [problemAt(draft, 'until', text)];
}

function overlap({ draft, from, until }: Journey, earlier: readonly Journey[]): readonly Problem[] {
  const crossed = earlier.some(
    (other) =>
      from !== null &&
      until !== null &&
      other.from !== null &&
      other.until !== null &&
      from < other.until &&
      other.from < until,
  );
  if (!crossed) return [];
  const text = `must not overlap another journey of this unit, found ${shown(textAt(draft, 'from'))}`;
  return [problemAt(draft, 'from', text)];
}
