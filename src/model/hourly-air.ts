import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { OutlookMember } from '../weather/outlook.ts';
import { windClass } from './film.ts';
import type { UnitModel } from './unit.ts';

/** The weather that reaches a unit: so many hours, and one instant more. */
export interface HourlyAir {
  readonly firstHour: EpochSeconds;
  readonly hours: number;
  /** hours + 1 values, linear in between. */
  readonly temperatureC: Float64Array;
  /** hours + 1 values, linear in between. */
  readonly groundC: Float64Array;
  /** By hour, constant within: a wind's class, see `windClass`. */
  readonly windClass: Uint8Array;
}

/** Beyond these the model says nothing. */
export const COLDEST_C = -60;
export const HOTTEST_C = 60;

/**
 * A member's wind at one unit, by class: an hour's wind is the mean of its ends, less what the unit's shelter
 * keeps off; under way it is the speed.
 *
 * @param into - as many values as the member has hours
 */
export function windClassesAt(
  unit: Pick<UnitModel, 'windReaching' | 'tows'>,
  of: { firstHour: EpochSeconds; member: OutlookMember },
  into: Uint8Array,
): void {
  const { windSpeedMps } = of.member;
  const { windReaching = 1, tows = [] } = unit;
  for (let hour = 0; hour + 1 < windSpeedMps.length; hour++) {
    const start = of.firstHour + hour * HOUR_S;
    let speed = (windReaching * (windSpeedMps[hour]! + windSpeedMps[hour + 1]!)) / 2;
    for (const tow of tows) {
      if (tow.from < start + HOUR_S && tow.until > start) speed = Math.max(speed, tow.speedMps);
    }
    into[hour] = windClass(speed);
  }
}

export function hourlyAir(
  unit: Pick<UnitModel, 'windReaching' | 'tows'>,
  firstHour: EpochSeconds,
  member: OutlookMember,
): HourlyAir {
  const { temperatureC, groundC } = member;
  const hours = temperatureC.length - 1;
  const classes = new Uint8Array(hours);
  windClassesAt(unit, { firstHour, member }, classes);
  return { firstHour, hours, temperatureC, groundC, windClass: classes };
}
