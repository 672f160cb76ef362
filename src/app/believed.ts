/** Which readings of a place's own air can be believed to score by, however far back. Pure. */
import type { PlaceConfig } from '../config/config.ts';
import { DAY_S, floorToHour, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { TemperatureUnit } from '../quantity/temperature.ts';
import { groupBy } from '../verify/group.ts';
import type { KeptForecast } from '../verify/kept-forecast.ts';
import { judgeSensor } from '../verify/sensor.ts';
import type { Measured } from '../verify/truth.ts';
import { nightOf } from '../weather/local-correction.ts';

/** A sensor is judged by stretches of days: it may have been mended, and its clock and forecast be told apart. */
const STRETCH_DAYS = 20;

export interface BelievedQuestion {
  readonly place: PlaceConfig;
  /** In order of time. */
  readonly readings: readonly Measured[];
  /** What was forecast for the days of the readings; they are held against the nearest. */
  readonly kept: readonly KeptForecast[];
  readonly temperature: TemperatureUnit;
}

export interface Believed {
  readonly readings: readonly Measured[];
  readonly doubted: number;
  /** What is wrong with the sensor: each once. */
  readonly doubts: readonly string[];
}

export function believedReadings({ readings, ...rest }: BelievedQuestion): Believed {
  const stretches = groupBy(readings, ({ at }) => Math.floor(at / (STRETCH_DAYS * DAY_S)));
  const judged = [...stretches.values()].map((stretch) => believedStretch({ ...rest, readings: stretch }));
  return {
    readings: judged.flatMap((of) => of.readings),
    doubted: judged.reduce((sum, of) => sum + of.doubted, 0),
    doubts: [...new Set(judged.flatMap((of) => of.doubts))],
  };
}

function believedStretch({ place, readings, kept, temperature }: BelievedQuestion): Believed {
  const [first, last] = [readings[0]?.at ?? 0, readings.at(-1)?.at ?? 0];
  const firstHour = floorToHour(first);
  const hours = Math.ceil((last - firstHour) / HOUR_S) + 1;
  const forecast = { firstHour, temperatureC: nearestForecast(kept, firstHour, hours) };
  const night = nightOf(place, firstHour, hours);
  const asked = { readings, of: 'outside', forecast, night, now: last, unit: temperature } as const;
  const { doubts, summary } = judgeSensor(asked);
  const believed = readings.filter((_, i) => doubts[i] === null);
  return {
    readings: believed,
    doubted: readings.length - believed.length,
    doubts: summary.map(({ message }) => message),
  };
}

/** By hour, of the shortest lead. */
function nearestForecast(kept: readonly KeptForecast[], firstHour: EpochSeconds, hours: number): number[] {
  const byDay = new Map<EpochSeconds, KeptForecast>();
  for (const forecast of kept) {
    const other = byDay.get(forecast.validDay);
    if (other === undefined || forecast.leadDay < other.leadDay) byDay.set(forecast.validDay, forecast);
  }
  return Array.from({ length: hours }, (_, i) => {
    const at = firstHour + i * HOUR_S;
    const day = Math.floor(at / DAY_S) * DAY_S;
    return byDay.get(day)?.meanC[(at - day) / HOUR_S] ?? Number.NaN;
  });
}
