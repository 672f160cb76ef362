/** The wet parts of one unit: those of the catalogue that it has, as full and as warm as the config says. */
import {
  HEATED_HOSE_PARTS,
  HOSE_PARTS,
  catalogueParts,
  tankVessel,
  type CataloguePart,
  type CatalogueZone,
} from './catalogue-parts.ts';
import { TANK_OF, isTank, warmerOf } from './catalogue-warmers.ts';
import { partWindShare } from './catalogue-wind.ts';
import { ICE_THRESHOLDS } from './ice-thresholds.ts';
import type { OwnPart, Part, UnitSpec, ZoneId } from './unit.ts';

/** Above this there is no room for the ice of a whole tank, which takes up 9 % more than its water. */
const FULL_ABOVE = 0.9;

/** Without those that an own part or line takes the place of, and without empty tanks. */
export function wetParts(spec: UnitSpec): Part[] {
  const own = new Set([...spec.parts.own, ...(spec.parts.lines ?? [])].map((part) => part.id));
  return catalogueParts()
    .filter((part) => isThere(part, spec) && !own.has(part.id) && fillOf(part.id, spec) !== 0)
    .map((part) => wetPart(part, spec));
}

function isThere({ id, kinds }: CataloguePart, spec: UnitSpec): boolean {
  const hose = spec.hoseHeated === true ? HEATED_HOSE_PARTS : HOSE_PARTS;
  if (spec.parts.without.includes(id)) return false;
  return (
    kinds.includes(spec.kind) || spec.parts.add.includes(id) || (spec.hoseConnected && hose.includes(id))
  );
}

/** How full a tank is said to be; null: not said, or no tank. */
function fillOf(id: string, { tanks }: UnitSpec): number | null {
  return isTank(id) ? (tanks?.[TANK_OF[id]] ?? null) : null;
}

function wetPart(part: CataloguePart, spec: UnitSpec): Part {
  const { kinds: _kinds, zone: where, sheltered, box, ...rest } = part;
  const zone = zoneOf(where, spec);
  const { blocked, solid } = spec.thresholds ?? ICE_THRESHOLDS;
  const fill = fillOf(part.id, spec);
  const warmer = warmerOf(part.id, spec);
  return {
    ...rest,
    zone,
    windShare: sheltered ? 0 : partWindShare(zone, spec),
    wallHeatCapacityJPerK: 0,
    startTemperatureC: null,
    blocked: blocked[part.body],
    solid,
    ...(box === undefined || fill === null ? {} : tankVessel(box, fill)),
    ...(hasRoom(part.id, fill) ? { headroom: true as const } : {}),
    ...(warmer === null ? {} : { heat: warmer.heat }),
  };
}

/** Open at their warm end: they freeze from the cold end up, towards water that is still open. */
const OPEN_ABOVE: readonly string[] = ['petcock', 'low-points'];

/** A tank that is not full has room above its ice, and so has what is open above. */
function hasRoom(id: string, fill: number | null): boolean {
  return OPEN_ABOVE.includes(id) || (fill !== null && fill <= FULL_ABOVE);
}

/** From this share of the furnace’s output on, ducts run in the belly and it is built round the valves; less is a tap. */
const DUCTED_BELLY = 0.12;

function zoneOf(zone: CatalogueZone, spec: UnitSpec): ZoneId {
  const { belly, heat } = spec;
  if (zone === 'below') return belly === 'open' ? 'underneath' : 'underbelly';
  if (zone === 'protruding') return belly === 'heated' ? 'outlet' : 'underneath';
  if (zone === 'enclosable') {
    const ducted = belly === 'heated' && (heat?.ductedShare ?? 0) >= DUCTED_BELLY;
    return ducted ? 'underbelly' : zoneOf('protruding', spec);
  }
  return zone;
}

/** A conductance that the user states is taken as it stands, at any wind. */
export function ownPart(own: OwnPart, { thresholds = ICE_THRESHOLDS }: UnitSpec): Part {
  return {
    id: own.id,
    label: own.label ?? own.id,
    zone: own.zone,
    circuit: own.circuit,
    waterKg: own.waterKg,
    conductanceWPerK: own.conductanceWPerK,
    windShare: 0,
    wallHeatCapacityJPerK: own.wallHeatCapacityJPerK,
    startTemperatureC: own.startTemperatureC,
    body: own.body,
    blocked: own.blocked ?? thresholds.blocked[own.body],
    solid: own.solid ?? thresholds.solid,
    iceLayerRatio: 0,
    pocket: own.pocket,
    provenance: 'config',
  };
}
