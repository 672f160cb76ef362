/** Hours that a forecast no longer tells, from what was kept of earlier ones. */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast, ForecastMember } from './forecast.ts';
import { heightsOf, neverWarmingK } from './height.ts';
import type { Spot } from './local-correction.ts';

/** What was last known of one hour that has passed, as its source gave it: before any correction of ours. */
export interface KeptHour {
  readonly hour: EpochSeconds;
  readonly temperatureC: number;
  readonly windSpeedMps: number | null;
  readonly cloudPercent: number | null;
  readonly soilTemperatureC: number | null;
  readonly source: string;
  /** Height of the ground that the temperature is for; null: not known, taken as that of the forecast at hand. */
  readonly gridElevationM: number | null;
}

/**
 * Puts kept hours before the first that any member knows, in every member alike. Hours of which nothing was kept stay
 * unknown; nothing that the forecast itself says is touched.
 *
 * Other services have other cells. A kept temperature is put in such that at the place it is what it would be if its
 * own forecast were still in use: the place's height and lie will be accounted for from the new forecast's cell.
 *
 * @param kept - at most one per hour, in any order
 */
export function withPast(forecast: Forecast, kept: readonly KeptHour[], spot: Spot): Forecast {
  const unknown = leadingUnknown(forecast.members);
  const ownFrom = forecast.firstHour + unknown * HOUR_S;
  const past = kept.filter((k) => k.hour < ownFrom && !Number.isNaN(k.temperatureC));
  if (past.length === 0) return forecast;
  const firstHour = Math.min(forecast.firstHour, ...past.map((k) => k.hour));
  const added = (forecast.firstHour - firstHour) / HOUR_S;
  const byHour = new Map(past.map((k) => [k.hour, levelled(k, forecast, spot)]));
  const hours = Array.from({ length: added + unknown }, (_, i) => byHour.get(firstHour + i * HOUR_S));
  return {
    ...forecast,
    firstHour,
    ownFrom,
    pastSources: hours.map((k) => k?.source ?? null),
    members: forecast.members.map((member) => lengthened(member, hours, added)),
  };
}

function levelled(kept: KeptHour, forecast: Forecast, spot: Spot): KeptHour {
  if (forecast.gridElevationM === undefined) return kept;
  const own = neverWarmingK(heightsOf(forecast, kept.gridElevationM), spot);
  const itsK = neverWarmingK(heightsOf(forecast, forecast.gridElevationM), spot);
  return { ...kept, temperatureC: kept.temperatureC + (own - itsK) };
}

function lengthened(
  member: ForecastMember,
  hours: readonly (KeptHour | undefined)[],
  added: number,
): ForecastMember {
  const own = hours.length - added;
  const before = (
    pick: (k: KeptHour) => number | null,
    values: readonly number[] | null,
  ): readonly number[] => [
    ...hours.map((k, i) => (k === undefined ? undefined : pick(k)) ?? values?.[i - added] ?? Number.NaN),
    ...(values?.slice(own) ?? member.temperatureC.slice(own).map(() => Number.NaN)),
  ];
  return {
    ...member,
    temperatureC: before((k) => k.temperatureC, member.temperatureC),
    windSpeedMps: before((k) => k.windSpeedMps, member.windSpeedMps),
    cloudPercent: before((k) => k.cloudPercent, member.cloudPercent),
    soilTemperatureC: before((k) => k.soilTemperatureC, member.soilTemperatureC),
    ...(member.stepHours && {
      stepHours: [...hours.map(() => 1), ...member.stepHours.slice(own)],
    }),
    ...(member.lows && {
      lows: member.lows.map((low) => ({ ...low, from: low.from + added, to: low.to + added })),
    }),
  };
}

/** Hours at the start that no member knows. */
function leadingUnknown(members: readonly ForecastMember[]): number {
  const first = (values: readonly number[]): number => {
    const i = values.findIndex((t) => !Number.isNaN(t));
    return i < 0 ? values.length : i;
  };
  return members.length === 0 ? 0 : Math.min(...members.map((m) => first(m.temperatureC)));
}
