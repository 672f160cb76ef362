/** From the words about heat and power to what the model's catalogue takes. */
import { USUAL_BATTERY, batteryOf } from '../model/catalogue-battery.ts';
import type { Battery, Electrics, Gas, UnitSpec } from '../model/unit.ts';
import type { ParsedUnit } from './schema.ts';

export type ParsedHeat = Exclude<ParsedUnit['heat'], 'none'>;

/** What a breaker bears for hours, of what it is rated for: common practice, as electrical codes have it. */
const CONTINUOUS_SHARE = 0.8;
const POUND_KG = 0.45359237;

export function heatOf(unit: ParsedUnit): ParsedHeat | null {
  return unit.heat === 'none' ? null : unit.heat;
}

export function deriveHeat(unit: ParsedUnit): UnitSpec['heat'] {
  const heat = heatOf(unit);
  if (heat === null) return null;
  const gas = deriveGas(unit, heat);
  const battery = deriveBattery(unit, heat);
  return {
    setC: heat.set,
    furnaceW: heat.furnace ?? 0,
    ductedShare: heat.ductedShare ?? null,
    running: heat.running,
    shore: isOnShore(unit),
    ...(heat.electric === undefined ? {} : { electricW: heat.electric }),
    ...(heat.heatPump === undefined
      ? {}
      : { heatPump: { watts: heat.heatPump.power, limitC: heat.heatPump.limit } }),
    ...(heat.gauged === undefined ? {} : { gaugedAt: heat.gauged }),
    ...(gas === null ? {} : { gas }),
    ...(battery === null ? {} : { battery }),
  };
}

function isOnShore({ power }: ParsedUnit): boolean {
  return power?.supply !== 'battery';
}

function deriveGas({ kind, attended }: ParsedUnit, heat: ParsedHeat): Gas | null {
  if (heat.propane === undefined) return null;
  return {
    kg: heat.propane,
    cylinderKg: heat.cylinder ?? usualCylinderKg(kind, heat.propane),
    refilled: heat.refilled ?? attended,
  };
}

/** One tank of 80 lb in a motorhome or van; elsewhere 20-lb cylinders, or 30-lb ones. Common practice. */
function usualCylinderKg(kind: ParsedUnit['kind'], onBoardKg: number): number {
  if (kind === 'motorhome' || kind === 'van') return Math.max(onBoardKg, 80 * POUND_KG);
  return (onBoardKg <= 40 * POUND_KG ? 20 : 30) * POUND_KG;
}

/** Off shore power there is one, said or not; on it, one matters only when the power fails. */
function deriveBattery(unit: ParsedUnit, heat: ParsedHeat): Battery | null {
  const furnaceW = heat.furnace ?? 0;
  const given = unit.power?.battery;
  if (given !== undefined) {
    return batteryOf({
      capacityAh: given.capacity,
      kind: given.kind,
      charge: given.charge,
      ageYears: given.age,
      furnaceW,
    });
  }
  return isOnShore(unit) ? null : batteryOf({ ...USUAL_BATTERY, furnaceW });
}

/** What a reader should know was taken of the battery. */
export function batteryAssumptions(unit: ParsedUnit): string[] {
  if (isOnShore(unit) || heatOf(unit) === null || unit.power?.battery !== undefined) return [];
  const { capacityAh, kind } = USUAL_BATTERY;
  return [`The battery is not given: one of ${capacityAh} Ah, ${kind}, new and full, is taken.`];
}

/**
 * A 50-A post has two legs of 120 V, each behind its pole of the breaker; smaller ones have one. Common practice, no
 * source. Loads are taken to be spread over both.
 */
const TWO_LEGS = { breakerA: 50, belowV: 150 };

function legsOf({ breaker = 0, voltage, legs }: NonNullable<ParsedUnit['power']>): number {
  return legs ?? (breaker === TWO_LEGS.breakerA && voltage < TWO_LEGS.belowV ? 2 : 1);
}

/** What a reader should know was taken of the post. */
export function postAssumptions({ power }: ParsedUnit): string[] {
  if (power?.breaker === undefined || power.supply === 'battery' || legsOf(power) === 1) return [];
  const { breaker, voltage } = power;
  const kW = ((breaker * voltage * CONTINUOUS_SHARE) / 1000).toFixed(1);
  return [
    `The ${breaker}-A post is taken to have two legs of ${voltage} V that carry ${kW} kW each for long, with the loads spread over both.`,
  ];
}

export function deriveElectrics({ power }: ParsedUnit): Electrics | null {
  if (power === undefined) return null;
  const { breaker, voltage, other } = power;
  return {
    limitW: breaker === undefined ? null : breaker * voltage * legsOf(power) * CONTINUOUS_SHARE,
    loads: other === undefined ? [] : [{ label: 'other loads', watts: other }],
  };
}

/** Without a word, on where somebody lives in a heated unit. `on` is gas where gas is said to be, else shore power. */
export function deriveWaterHeater(unit: ParsedUnit): 'off' | 'gas' | 'shore' {
  const heat = heatOf(unit);
  const word = unit.waterHeater ?? (unit.attended && heat?.running === true ? 'on' : 'off');
  if (word !== 'on') return word;
  return heat?.propane !== undefined || !isOnShore(unit) ? 'gas' : 'shore';
}
