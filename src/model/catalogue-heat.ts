/** What heats a unit: what its furnace can give where it stands, and what is taken of gas and power. */
import type { Heat, Provenance, StatedDefault, UnitSpec } from './unit.ts';

/** "Heated underbelly" is often one 2-in tap: 4 % of the output (2-8); common practice. Unknown: the same. */
const UNKNOWN_DUCTED_SHARE = 0.04;
/** Thin air burns less gas: 4 % per 1,000 ft (3 to 5). Common practice; not beyond 0.4 of the rating. */
const LOSS_PER_M = 0.04 / 304.8;
const LEAST_SHARE = 0.4;

export function buildHeat(spec: UnitSpec): Heat | null {
  if (spec.heat === null) return null;
  const {
    setC,
    furnaceW,
    ductedShare,
    running,
    shore = true,
    electricW,
    heatPump,
    gas,
    battery,
    gaugedAt,
  } = spec.heat;
  return {
    setC,
    capacityW: furnaceW * shareAtHeight(spec.elevationM ?? 0),
    ductedShare: ductedShare ?? defaultShare(spec),
    running,
    shore,
    ...(electricW === undefined ? {} : { electricW }),
    ...(heatPump === undefined ? {} : { heatPump }),
    ...(gaugedAt === undefined ? {} : { gaugedAt }),
    ...(gas === undefined ? {} : { gas }),
    ...(battery === undefined ? {} : { battery }),
  };
}

/** Of what a furnace gives at sea level. */
function shareAtHeight(elevationM: number): number {
  return Math.max(LEAST_SHARE, 1 - LOSS_PER_M * Math.max(0, elevationM));
}

/** By belly: a heated one at least the tap; others nothing unless said. */
function defaultShare(spec: UnitSpec): number {
  return spec.belly === 'heated' ? UNKNOWN_DUCTED_SHARE : 0;
}

export function heatStated(spec: UnitSpec, heat: Heat | null): StatedDefault[] {
  if (heat === null || spec.heat === null) return [];
  const entries: StatedDefault[] = [];
  const add = (path: string, value: string, [provenance, note]: readonly [Provenance, string]): void => {
    entries.push({ path: `heat.${path}`, value, provenance, note });
  };
  if (spec.heat.furnaceW > 0) {
    const height = `${Math.round(spec.elevationM ?? 0)} m`;
    add('capacity', `${Math.round(heat.capacityW)} W`, [
      'derived',
      `${Math.round(spec.heat.furnaceW)} W at sea level, 4 % less per 1,000 ft (3 to 5), at ${height}`,
    ]);
  }
  if (spec.heat.ductedShare === null && spec.heat.furnaceW > 0) {
    add('ductedShare', String(heat.ductedShare), shareNote(spec));
  }
  if (heat.gas !== undefined) {
    add('cylinder', `${round(heat.gas.kg)} kg on board, ${round(heat.gas.cylinderKg)} kg to a cylinder`, [
      'practice',
      'unless given: 20-lb cylinders up to 40 lb on board, 30-lb ones beyond, one tank of 80 lb in a motorhome or van',
    ]);
  }
  if (heat.battery !== undefined) add('battery', batteryText(heat.battery), BATTERY_NOTE);
  return entries;
}

function shareNote({ belly }: UnitSpec): readonly [Provenance, string] {
  return belly === 'heated'
    ? ['practice', 'a heated underbelly is often one 2-in tap: 4 % (2 to 8)']
    : ['estimate', 'no duct below is given'];
}

const BATTERY_NOTE = [
  'practice',
  'lead: half of its capacity (0.4 to 0.6) and 8 % less per year, 0.6 of that at −15 °C; lithium: 0.9, 2 % and 0.8',
] as const;

function batteryText({ usableAh, shareAtMinus15, blowerA, standbyA }: NonNullable<Heat['battery']>): string {
  return `${round(usableAh)} Ah usable, ${round(shareAtMinus15)} of it at −15 °C; blower ${round(blowerA)} A, all else ${round(standbyA)} A`;
}

function round(value: number): number {
  return Number(value.toPrecision(3));
}

export const SHORE_LASTS = 'Shore power is taken to last.';

export function heatAssumptions(spec: UnitSpec): string[] {
  if (spec.heat === null) return [];
  const { furnaceW, gas, shore = true, battery, ductedShare, gaugedAt } = spec.heat;
  const sentences: string[] = [];
  if (furnaceW > 0 && gas === undefined) {
    sentences.push('How much gas is on board is not given: it is taken to last; check the cylinder.');
  }
  if (gas?.refilled === true) {
    sentences.push('Empty cylinders are taken to be changed in time.');
  } else if (gas !== undefined && gaugedAt === undefined) {
    sentences.push(
      'The gas that is given is taken to be on board now, whenever that is: say with `gauged` when it was read.',
    );
  }
  if (shore) {
    sentences.push(SHORE_LASTS);
  } else if (battery === undefined) {
    sentences.push('The battery is not given: it is taken to last; check it before relying on heat.');
  }
  if (furnaceW > 0 && spec.elevationM === undefined) {
    sentences.push(
      'The height of the place is not given: the furnace is taken to give what it does at sea level.',
    );
  }
  if (spec.belly === 'heated' && ductedShare === null && furnaceW > 0) {
    sentences.push('How much of the furnace’s output goes below is not given: 4 % is taken.');
  }
  return sentences;
}
