/**
 * The air of each zone: a node of the network, or a stated blend of its neighbours that follows with a lag where
 * nobody knows the conductances. Shares are trade practice, lags engineering estimates; no two lags are alike.
 */
import { frameOf, type Frame } from './catalogue-frame.ts';
import type { Network, StatedDefault, UnitSpec, ZoneAir } from './unit.ts';

type End = ZoneAir['of'][number]['end'];

/** A hatch compartment stands about 3 K (0 to 6) above outside under a cabin 20 K warmer. */
const BAY = { insideShare: 0.15, lagS: 5400 };
/** Behind a cupboard on an outside wall 0.3 (0.15 to 0.5) of inside − outside is lost, 0.12 with its door open. */
const CABINET = { insideShare: { shut: 0.7, open: 0.88 }, lagS: 1800 };
/** In a slide 0.7 (0.5 to 0.9) is lost. */
const SLIDE = { insideShare: 0.3, lagS: 1500 };
/** What hangs through the belly skin. Engineering estimate. */
const OUTLET_BELLY_SHARE = 0.5;

export function zoneAirs(spec: UnitSpec, { nodes, outer, below }: Frame): Network['zones'] {
  const underbelly = nodes.includes('underbelly') ? 'underbelly' : below;
  const wall = (insideShare: number, lagS: number): ZoneAir => ({
    of: [
      { end: 'inside', weight: insideShare },
      { end: outer, weight: 1 - insideShare },
    ],
    lagS,
  });
  return {
    outside: at('outside'),
    barn: at(outer),
    post: at(outer),
    underneath: at(below),
    outlet: underbelly === 'underbelly' ? outletOf(below) : at(below),
    underbelly: at(underbelly),
    bay: wall(BAY.insideShare, BAY.lagS),
    cabinet: wall(cabinetShare(spec), CABINET.lagS),
    slide: wall(SLIDE.insideShare, SLIDE.lagS),
    inside: at('inside'),
  };
}

function at(end: End): ZoneAir {
  return { of: [{ end, weight: 1 }], lagS: 0 };
}

function outletOf(below: End): ZoneAir {
  return {
    of: [
      { end: 'underbelly', weight: OUTLET_BELLY_SHARE },
      { end: below, weight: 1 - OUTLET_BELLY_SHARE },
    ],
    lagS: 0,
  };
}

function cabinetShare({ cupboardsOpen }: UnitSpec): number {
  return CABINET.insideShare[cupboardsOpen === true ? 'open' : 'shut'];
}

export function zonesStated(spec: UnitSpec): StatedDefault[] {
  const { nodes } = frameOf(spec);
  const entry = (zone: string, share: number, range: string): StatedDefault => ({
    path: `zones.${zone}`,
    value: `${share} of the way from outside to inside`,
    provenance: 'practice',
    note: range,
  });
  const open = spec.cupboardsOpen === true;
  return [
    entry('bay', BAY.insideShare, '3 K (0 to 6) above outside under a cabin 20 K warmer; follows in 90 min'),
    entry(
      'cabinet',
      cabinetShare(spec),
      open ? 'doors open (0.8 to 0.95); follows in 30 min' : 'doors shut (0.5 to 0.85); follows in 30 min',
    ),
    entry('slide', SLIDE.insideShare, '(0.1 to 0.5); follows in 25 min'),
    ...(nodes.includes('underbelly') && spec.belly === 'heated' ? [outletStated()] : []),
  ];
}

function outletStated(): StatedDefault {
  return {
    path: 'zones.outlet',
    value: `${OUTLET_BELLY_SHARE} underbelly, ${1 - OUTLET_BELLY_SHARE} the air below it`,
    provenance: 'estimate',
    note: 'valves and caps that hang through the skin of a heated belly (0.2 to 0.8)',
  };
}
