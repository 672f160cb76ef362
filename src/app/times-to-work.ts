/** When work on a unit is possible and welcome: light, warmth, and hands that are free. */
import type { Config, PlaceConfig, UnitConfig } from '../config/config.ts';
import { aboveFreezing, daylightBetween, intersection, type Interval } from '../decision/daylight.ts';
import { freeOfAny } from '../decision/free-hours.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';

interface Asked {
  readonly config: Config;
  readonly place: PlaceConfig;
  readonly unit: UnitConfig;
  readonly outlook: Outlook;
  readonly now: EpochSeconds;
  /** When the water's way is open. */
  readonly thawedPath: readonly Interval[];
}

export interface TimesToWork {
  readonly daylight: readonly Interval[] | null;
  readonly thawed: readonly Interval[];
  readonly free: readonly Interval[] | null;
}

export function timesToWork({ thawedPath, ...asked }: Asked): TimesToWork {
  const { config, outlook, now, place, unit } = asked;
  const end = outlook.firstHour + outlook.hours * HOUR_S;
  const air = outlook.members[outlook.middle]?.temperatureC ?? new Float64Array(0);
  return {
    ...timesWithoutForecast({ config, place, unit, now, end }),
    thawed: intersection(aboveFreezing(outlook.firstHour, air), thawedPath),
  };
}

/** What is known without a forecast; of warmth nothing. */
export function timesWithoutForecast({
  config,
  place,
  unit,
  now,
  end,
}: Omit<Asked, 'thawedPath' | 'outlook'> & { readonly end: EpochSeconds }): TimesToWork {
  return {
    daylight: config.policy.daylight ? daylightBetween(place, now, end) : null,
    thawed: [],
    free: freeOfAny(
      config.people.filter(({ id }) => unit.contacts.includes(id)),
      now,
      end,
    ),
  };
}
