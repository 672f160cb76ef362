import { ModelError } from '../errors.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook, OutlookMember } from '../weather/outlook.ts';
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
  /** So many of the first hours are the same in whatever goes through the same trace. Absent: none is known to be. */
  readonly sharedHours?: number;
}

/**
 * Beyond these the weather is not of this earth, and the model says nothing: sources give air from −90 to 60 °C, and
 * the members that an error law makes of them lie some 20 K further out.
 */
export const COLDEST_C = -110;
export const HOTTEST_C = 80;

/**
 * A hole or nonsense would run through as a part that never freezes.
 *
 * @throws ModelError where air, ground or wind are no numbers, or air and ground out of range.
 */
export function checkWeather({ temperatureC, groundC, windSpeedMps }: OutlookMember): void {
  for (let hour = 0; hour < temperatureC.length; hour++) {
    if (isWeather(temperatureC[hour]!) && isWeather(groundC[hour]!) && windSpeedMps[hour]! >= 0) continue;
    throw new ModelError(
      `The model takes air and ground from ${COLDEST_C} to ${HOTTEST_C} °C and wind of 0 m/s or more, found ${temperatureC[hour]} °C, ${groundC[hour]} °C and ${windSpeedMps[hour]} m/s in hour ${hour}. Look at what the source of this forecast gives.`,
    );
  }
}

/** So many of the first hours are the same to the last bit in all members: compared, since no source promises it. */
export function sharedHours({ members, hours }: Pick<Outlook, 'members' | 'hours'>): number {
  const [first, ...others] = members;
  if (first === undefined) return 0;
  const isShared = (hour: number): boolean =>
    others.every(
      (m) =>
        Object.is(m.temperatureC[hour], first.temperatureC[hour]) &&
        Object.is(m.groundC[hour], first.groundC[hour]) &&
        Object.is(m.windSpeedMps[hour], first.windSpeedMps[hour]),
    );
  let shared = 0;
  while (shared < hours && isShared(shared)) shared++;
  // An hour is known by both its ends.
  return Math.max(0, shared - 1);
}

function isWeather(celsius: number): boolean {
  return celsius >= COLDEST_C && celsius <= HOTTEST_C;
}

/**
 * A member's wind at one unit, by class: an hour's wind is the mean of its ends, less what the unit's shelter
 * keeps off; under way it is the speed.
 *
 * @param into - with as many classes as the member has hours
 */
export function setWind(
  into: Pick<HourlyAir, 'firstHour' | 'windClass'>,
  unit: Pick<UnitModel, 'windReaching' | 'tows'>,
  { windSpeedMps }: OutlookMember,
): void {
  const { windReaching = 1, tows = [] } = unit;
  for (let hour = 0; hour + 1 < windSpeedMps.length; hour++) {
    const start = into.firstHour + hour * HOUR_S;
    let speed = (windReaching * (windSpeedMps[hour]! + windSpeedMps[hour + 1]!)) / 2;
    for (const tow of tows) {
      if (tow.from < start + HOUR_S && tow.until > start) speed = Math.max(speed, tow.speedMps);
    }
    into.windClass[hour] = windClass(speed);
  }
}

/** @throws ModelError for weather that cannot be. */
export function hourlyAir(
  unit: Pick<UnitModel, 'windReaching' | 'tows'>,
  firstHour: EpochSeconds,
  member: OutlookMember,
): HourlyAir {
  checkWeather(member);
  const { temperatureC, groundC } = member;
  const hours = temperatureC.length - 1;
  const air = { firstHour, hours, temperatureC, groundC, windClass: new Uint8Array(hours) };
  setWind(air, unit, member);
  return air;
}
