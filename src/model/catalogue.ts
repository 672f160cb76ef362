/** From what the config says of a unit's body to what the model computes with. */
import { HOSE_PARTS, catalogueParts, type CataloguePart, type CatalogueZone } from './catalogue-parts.ts';
import { buildShell } from './catalogue-shell.ts';
import type { Heat, OwnPart, Part, StatedDefault, UnitModel, UnitSpec, ZoneId } from './unit.ts';

/** Ice fraction at which a part is blocked: engineering estimates. Dendrites block a rigid bore early. */
const BLOCKED = { rigid: 0.2, flexible: 0.9 } as const;
const SOLID = 0.95;

/** "Heated underbelly" is often one 2-in tap: 4 % of the output (2-8); common practice. Unknown: the same. */
const UNKNOWN_DUCTED_SHARE = 0.04;

/** @throws ModelError when the user's own network cannot be. */
export function buildUnit(spec: UnitSpec): UnitModel {
  const shell = buildShell(spec);
  const heat = buildHeat(spec);
  const parts = [...(spec.parts.catalogue ? fromCatalogue(spec) : []), ...spec.parts.own.map(ownPart)];
  return {
    id: spec.id,
    network: shell.network,
    heat,
    parts,
    stated: [...shell.stated, ...heatStated(spec, heat)],
    assumptions: assumptionsOf(spec),
  };
}

function fromCatalogue(spec: UnitSpec): Part[] {
  const wanted = (part: CataloguePart): boolean =>
    !spec.parts.without.includes(part.id) &&
    (part.kinds.includes(spec.kind) ||
      spec.parts.add.includes(part.id) ||
      (spec.hoseConnected && HOSE_PARTS.includes(part.id)));
  const own = new Set(spec.parts.own.map((p) => p.id));
  return catalogueParts()
    .filter((part) => wanted(part) && !own.has(part.id))
    .map((part) => cataloguePart(part, spec));
}

function cataloguePart(part: CataloguePart, spec: UnitSpec): Part {
  const { kinds: _kinds, zone: where, sheltered, ...rest } = part;
  const zone = zoneOf(where, spec);
  return {
    ...rest,
    zone,
    windShare: sheltered ? 0 : windShareOf(zone, spec),
    wallHeatCapacityJPerK: 0,
    startTemperatureC: null,
    blocked: BLOCKED[part.body],
    solid: SOLID,
  };
}

function zoneOf(zone: CatalogueZone, { belly, heat }: UnitSpec): ZoneId {
  switch (zone) {
    case 'below':
      return belly === 'open' ? 'underneath' : 'underbelly';
    case 'protruding':
      return belly === 'heated' ? 'underbelly' : 'underneath';
    case 'heater':
      return heat?.running === true ? 'cabinet' : 'bay';
    default:
      return zone;
  }
}

/**
 * Wind half a metre up over that at 10 m: 0.5 in the open by the logarithmic profile over short grass, 0.3 under
 * a unit without skirting. Engineering estimates.
 */
function windShareOf(zone: ZoneId, spec: UnitSpec): number {
  if (zone === 'outside' || zone === 'post') return 0.5;
  return zone === 'underneath' && spec.skirting === 'none' ? 0.3 : 0;
}

/** A conductance that the user states is taken as it stands, at any wind. */
function ownPart(own: OwnPart): Part {
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
    blocked: own.blocked ?? BLOCKED[own.body],
    solid: own.solid ?? SOLID,
    iceLayerRatio: 0,
    pocket: own.pocket,
    provenance: 'config',
  };
}

function buildHeat(spec: UnitSpec): Heat | null {
  if (spec.heat === null) return null;
  const { setC, furnaceW, ductedShare, running } = spec.heat;
  return { setC, capacityW: furnaceW, ductedShare: ductedShare ?? defaultShare(spec), running };
}

/** By belly: a heated one at least the tap; others nothing unless said. */
function defaultShare(spec: UnitSpec): number {
  return spec.belly === 'heated' ? UNKNOWN_DUCTED_SHARE : 0;
}

function heatStated(spec: UnitSpec, heat: Heat | null): StatedDefault[] {
  if (heat === null || spec.heat?.ductedShare !== null) return [];
  return [
    {
      path: 'heat.ductedShare',
      value: String(heat.ductedShare),
      provenance: spec.belly === 'heated' ? 'practice' : 'estimate',
      note:
        spec.belly === 'heated'
          ? 'a heated underbelly is often one 2-in tap: 4 % (2 to 8)'
          : 'no duct below is given',
    },
  ];
}

function assumptionsOf(spec: UnitSpec): string[] {
  const sentences: string[] = [];
  if (spec.heat?.running === true && spec.parts.catalogue) {
    sentences.push(
      'The water heater is taken to be on while the heat is: it then keeps its own fittings from freezing.',
    );
  }
  if (spec.heat !== null) {
    sentences.push(
      'Gas, battery and power are taken to last; check the cylinder and the battery before relying on heat.',
    );
  }
  if (spec.belly === 'heated' && spec.heat?.ductedShare === null) {
    sentences.push('How much of the furnace’s output goes below is not given: 4 % is taken.');
  }
  if (spec.lengthM === null) sentences.push('The length is not given: a usual one of its kind is taken.');
  return sentences;
}
