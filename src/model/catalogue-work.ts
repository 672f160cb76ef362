/**
 * What the work takes at a unit: minutes and fluid, by its own parts and by what is at hand. Common practice of the
 * trade, no source; each can be overridden in the config.
 */
import { isTank, isTrap } from './circuit-names.ts';
import { STOWED_CIRCUIT } from './damage.ts';
import type { Part } from './unit.ts';

/** Whose hands do the work: an owner alone, or a practised crew. */
export const HANDS = ['owner', 'crew'] as const;
export type Hands = (typeof HANDS)[number];

/** What is at hand for winterizing; null: nobody has said. */
export interface Kit {
  /** Valves that lead the water round the heater. */
  readonly bypass: boolean | null;
  /** A suction hose or valve that lets the unit's own pump draw from a jug. */
  readonly pumpKit: boolean | null;
  readonly compressor: boolean | null;
}

type Minutes = Readonly<Record<Hands, number>>;

const one = (minutes: number): Minutes => ({ owner: minutes, crew: minutes });

const DUSK_LIST = one(10);
const HOSE = one(10);
const GRAVITY_DRAIN: Minutes = { owner: 25, crew: 13 };
/** Run hot until it comes cool, whoever waits. */
const HEATER_COOLED = one(12);
const HEATER_DRAINED: Minutes = { owner: 15, crew: 10 };
/** On the pad; a unit that is towed to the dump takes 75. */
const DUMP = one(20);
/** After draining, with two rounds, traps and pump. */
const AIR: Minutes = { owner: 45, crew: 20 };
/** With draining, bypass and pump kit. The first time takes an owner 150. */
const ANTIFREEZE: Minutes = { owner: 70, crew: 35 };
const NO_PUMP_KIT = one(20);
const JUMPER = one(20);
const TRAPS_ONLY = one(5);

/** What takes its own time beside the lines, by the part that tells of it. */
const EXTRA: ReadonlyMap<string, number> = new Map([
  ['washing-machine', 12],
  ['dishwasher', 10],
  ['ice-maker', 15],
  ['tankless-heater', 15],
  ['hydronic-coil', 15],
  ['water-softener', 5],
  ['second-toilet', 8],
  ['outside-kitchen', 8],
  ['macerator', 5],
]);

/**
 * How the heater is kept out of the antifreeze. `none`: there is no tank to keep out. `jumper`: the two lines are
 * joined at the heater. `fill`: its tank is filled, too.
 */
export type AtHeater = 'none' | 'bypass' | 'jumper' | 'fill' | 'unknown';

/** How a unit is winterized with antifreeze, and what both ways take. */
export interface Route {
  readonly heater: AtHeater;
  /** `kit`: its own pump draws from the jug. `hand`: a hand pump pushes in at the city inlet. */
  readonly pump: 'kit' | 'hand' | 'unknown';
  /** What the heater's tank holds; 0: there is none. */
  readonly heaterGallons: number;
  readonly antifreezeGallons: number;
  /** For traps, toilets and pump, after air. */
  readonly airGallons: number;
}

const LITRES_PER_GALLON = 3.785_411_784;

/** Two gallons with the heater bypassed (1 to 2.5); a second bath, washer, dishwasher and ice maker one more each. */
const LINES_GALLONS = 2;
const GALLON_MORE: readonly string[] = ['second-toilet', 'washing-machine', 'dishwasher', 'ice-maker'];
/** A cup or two in each of some traps, a cup in each toilet, and the pump. */
const AIR_GALLONS = 1;
/** One to two cups. */
const TRAP_GALLONS = 0.1;
/** A quart for what is filled by itself. */
const CIRCUIT_GALLONS = 0.25;

/** What an hour and a gallon cost where the work is done. */
export interface WorkPrices {
  readonly hour: number;
  readonly gallon: number;
}

/**
 * The cheaper way round a heater without a bypass: a jumper costs 20 minutes, filling costs the tank's own gallons.
 * What nobody has said of bypass and pump kit is counted as being there.
 */
export function routeOf(parts: readonly Part[], kit: Kit, prices: WorkPrices): Route {
  const heaterGallons = Math.round(heaterKg(parts) / LITRES_PER_GALLON);
  const heater = heaterRoute(heaterGallons, kit, prices);
  const more = GALLON_MORE.filter((id) => parts.some((part) => part.id === id)).length;
  return {
    heater,
    pump: kit.pumpKit === null ? 'unknown' : kit.pumpKit ? 'kit' : 'hand',
    heaterGallons,
    antifreezeGallons: LINES_GALLONS + more + (heater === 'fill' ? heaterGallons : 0),
    airGallons: AIR_GALLONS,
  };
}

function heaterRoute(gallons: number, { bypass }: Kit, { hour, gallon }: WorkPrices): AtHeater {
  if (gallons === 0) return 'none';
  if (bypass === null) return 'unknown';
  if (bypass) return 'bypass';
  return (JUMPER.owner / 60) * hour <= gallons * gallon ? 'jumper' : 'fill';
}

/** A coil or a tankless heater holds less than a litre and takes its fluid like a line. */
const LEAST_TANK_KG = 5;

function heaterKg(parts: readonly Part[]): number {
  const kg = parts.filter((p) => p.circuit === 'heater').map((p) => p.waterKg);
  return Math.max(0, ...kg.filter((held) => held >= LEAST_TANK_KG));
}

/** The lines inside take what the whole unit does. */
const LINES: readonly string[] = ['cold', 'hot'];

/**
 * Gallons for some circuits alone: traps by the cup, what is filled by itself by the quart.
 *
 * @param whole - what all of the unit takes [gal]
 */
export function partialGallons(circuits: readonly string[], whole: number): number {
  if (circuits.some((circuit) => LINES.includes(circuit))) return whole;
  const filled = circuits.filter((circuit) => !isTank(circuit) && circuit !== STOWED_CIRCUIT);
  const traps = filled.filter(isTrap).length;
  return Math.min(whole, TRAP_GALLONS * traps + CIRCUIT_GALLONS * (filled.length - traps));
}

export interface UsualMinutes {
  readonly keepWarm: number;
  readonly drain: number;
  readonly antifreeze: number;
  readonly air: number;
}

/** For the whole unit, in air that does not slow the hands. */
export function usualMinutes(parts: readonly Part[], hands: Hands, { heater, pump }: Route): UsualMinutes {
  const hasHose = parts.some((p) => p.circuit === STOWED_CIRCUIT);
  const common = commonMinutes(parts, hands);
  const routes = (heater === 'jumper' ? JUMPER[hands] : 0) + (pump === 'hand' ? NO_PUMP_KIT[hands] : 0);
  const hasLines = parts.some((p) => !isTrap(p.circuit) && !isTank(p.circuit));
  const traps = hasLines ? 0 : TRAPS_ONLY[hands];
  const lines = (minutes: Minutes): number => (hasLines ? minutes[hands] : 0);
  return {
    keepWarm: DUSK_LIST[hands] + (hasHose ? HOSE[hands] : 0),
    drain: lines(GRAVITY_DRAIN) + common,
    antifreeze: (hasLines ? ANTIFREEZE[hands] + routes : traps) + common,
    air: lines(GRAVITY_DRAIN) + lines(AIR) + traps + common,
  };
}

/** Of them all what letting the water out takes, for circuits that are all drained: lines, heater, tanks to dump. */
export function emptyingMinutes(parts: readonly Part[], hands: Hands, drained: readonly string[]): number {
  const areDrained = (of: (part: Part) => boolean): boolean => {
    const circuits = parts.filter(of).map((p) => p.circuit);
    return circuits.length > 0 && circuits.every((circuit) => drained.includes(circuit));
  };
  const isLine = ({ circuit }: Part): boolean =>
    !isTrap(circuit) && !isTank(circuit) && circuit !== 'heater' && circuit !== STOWED_CIRCUIT;
  const heater = heaterMinutes(parts, hands);
  return (
    (areDrained(isLine) ? GRAVITY_DRAIN[hands] : 0) +
    (heater > 0 && areDrained((p) => p.circuit === 'heater') ? heater : 0) +
    (areDrained(isDumped) ? DUMP[hands] : 0)
  );
}

function heaterMinutes(parts: readonly Part[], hands: Hands): number {
  return heaterKg(parts) > 0 ? HEATER_COOLED[hands] + HEATER_DRAINED[hands] : 0;
}

function isDumped({ id }: Part): boolean {
  return id === 'grey-tank' || id === 'black-tank';
}

/** What every way of emptying it has in common: heater, tanks and what takes its own time. */
function commonMinutes(parts: readonly Part[], hands: Hands): number {
  const extra = parts.reduce((sum, { id }) => sum + (EXTRA.get(id) ?? 0), 0);
  return heaterMinutes(parts, hands) + (parts.some(isDumped) ? DUMP[hands] : 0) + extra;
}
