/** A unit whose belly skin and ducted share are others than the catalogue's, and which of them may be. */
import type { HeatPlan } from '../model/heat-plan.ts';
import { hourlyAir } from '../model/hourly-air.ts';
import { Trace, zoneAtHours } from '../model/trace.ts';
import type { BellySkin, UnitModel, UnitSpec, ZoneId } from '../model/unit.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { OutlookMember } from '../weather/outlook.ts';
import type { HourlySeries } from './hourly.ts';

/** What is taken instead of the catalogue's; null: the catalogue's own. */
export interface Tuning {
  /** Of the belly skin's conductance over the catalogue's. */
  readonly skinFactor: number | null;
  /** Of the furnace's output, 0 to 1. */
  readonly ductedShare: number | null;
}

/** What a number is taken to be, and between which it is found in practice. */
export interface Tunable {
  readonly least: number;
  readonly usual: number;
  readonly most: number;
}

/** As the catalogue states them beside its own numbers [W/(K·m)]: 12 (9 to 15), 9 (6 to 12), 25 (20 to 60). */
const SKIN_RANGES: Readonly<Record<BellySkin, Tunable>> = {
  bare: { least: 9 / 12, usual: 1, most: 15 / 12 },
  foil: { least: 6 / 9, usual: 1, most: 12 / 9 },
  torn: { least: 20 / 25, usual: 1, most: 60 / 25 },
};

/** Of a heated belly: 4 % (2 to 8). */
const SHARE_RANGE: Tunable = { least: 0.02, usual: 0.04, most: 0.08 };

/** Null for what the unit has not, or what its owner has stated. */
export function tunables(spec: UnitSpec): {
  readonly skinFactor: Tunable | null;
  readonly ductedShare: Tunable | null;
} {
  const { belly, bellySkin = 'bare', network, heat } = spec;
  const skinStated = (network?.underbellyUnderneath ?? null) !== null;
  const ducted = belly === 'heated' && heat !== null && heat.furnaceW > 0 && heat.ductedShare === null;
  return {
    skinFactor: belly === 'open' || skinStated ? null : SKIN_RANGES[bellySkin],
    ductedShare: ducted ? SHARE_RANGE : null,
  };
}

export function tunedUnit(unit: UnitModel, { skinFactor, ductedShare }: Tuning): UnitModel {
  const factor = skinFactor ?? 1;
  const paths = unit.network.paths.map((path) =>
    path.between.includes('underbelly') && !path.between.includes('inside')
      ? {
          ...path,
          calmWPerK: factor * path.calmWPerK,
          windWPerKPerMps: factor * path.windWPerKPerMps,
        }
      : path,
  );
  const heat = unit.heat === null || ductedShare === null ? unit.heat : { ...unit.heat, ductedShare };
  return { ...unit, heat, network: { ...unit.network, paths } };
}

export interface PastWeather {
  readonly firstHour: EpochSeconds;
  readonly member: OutlookMember;
  /** What was on in those hours. */
  readonly plan: HeatPlan;
}

/** What the model says of the unit's zones in weather that has been. */
export function zonesIn(
  unit: UnitModel,
  weather: PastWeather,
): (tuning: Tuning) => (zone: ZoneId) => HourlySeries {
  const { firstHour, member, plan } = weather;
  return (tuning) => {
    const tuned = tunedUnit(unit, tuning);
    const trace = new Trace(tuned).solve(hourlyAir(tuned, firstHour, member), plan);
    return (zone) => ({ firstHour, temperatureC: zoneAtHours(trace, zone) });
  };
}
