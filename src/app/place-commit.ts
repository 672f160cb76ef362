/** What a round keeps of each place beside its units. Pure. */
import { HOUR_S } from '../quantity/instant.ts';
import type { PastHour, PlaceCommit } from '../store/places.ts';
import { keptForecasts } from '../verify/keep.ts';
import type { Forecast } from '../weather/forecast.ts';
import type { Evaluation } from './evaluate.ts';
import type { PlaceEvaluation } from './evaluate-place.ts';

/** As far back as a computation starts, and one hour more. */
const PAST_HOURS = 73;

export function placeCommits({ places, now }: Evaluation): PlaceCommit[] {
  return places.flatMap((evaluated) => placeCommit(evaluated, now));
}

function placeCommit({ place, outlook, forecast, learned }: PlaceEvaluation, now: number): PlaceCommit[] {
  if (outlook === null) return [];
  return [
    {
      place: place.id,
      pastHours: forecast === null ? [] : pastHours(forecast, now),
      kept: keptForecasts(outlook, { place: place.id, keptAt: now }),
      records: learned === null ? [] : [{ source: outlook.source, state: learned.lesson }],
    },
  ];
}

/** The hours that have passed, as the forecast itself has them: its single course, before any correction. */
function pastHours({ source, firstHour, members, gridElevationM }: Forecast, now: number): PastHour[] {
  const [first] = members;
  const passed = Math.floor((now - firstHour) / HOUR_S);
  if (first === undefined) return [];
  const at = (values: readonly number[] | null, i: number): number | null => {
    const value = values?.[i] ?? Number.NaN;
    return Number.isNaN(value) ? null : value;
  };
  return first.temperatureC.slice(0, passed + 1).flatMap((temperatureC, i) => {
    if (i <= passed - PAST_HOURS || Number.isNaN(temperatureC)) return [];
    return {
      hour: firstHour + i * HOUR_S,
      source,
      temperatureC,
      windSpeedMps: at(first.windSpeedMps, i),
      cloudPercent: at(first.cloudPercent, i),
      soilTemperatureC: at(first.soilTemperatureC, i),
      gridElevationM: gridElevationM ?? null,
    };
  });
}
