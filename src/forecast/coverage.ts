import { SourceError } from '../errors.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from '../weather/forecast.ts';

/** A series that begins later than this after now is about another time. */
const LATEST_START_S = 2 * HOUR_S;

/**
 * Why a forecast says nothing about now, or null. Yesterday's series, one from the future and one without any
 * temperature ahead all look well formed, and all would read as "no cold in sight".
 */
export function coverageProblem(forecast: Forecast, now: EpochSeconds): SourceError | null {
  const hours = forecast.members[0]?.temperatureC.length ?? 0;
  const last = forecast.firstHour + (hours - 1) * HOUR_S;
  const lastKnown = lastKnownHour(forecast);
  if (lastKnown === null) {
    return new SourceError('forecast-empty', `The source "${forecast.source}" knows no temperature at all.`);
  }
  if (last < now) {
    const text = `The forecast of the source "${forecast.source}" ended at ${isoSecond(last)}, before now.`;
    return new SourceError('forecast-stale', text, { hint: 'Bring it up to date or ask another source.' });
  }
  if (forecast.firstHour > now + LATEST_START_S) {
    const text = `The forecast of the source "${forecast.source}" begins only at ${isoSecond(forecast.firstHour)}.`;
    return new SourceError('forecast-stale', text, { hint: 'Check the clock of this machine.' });
  }
  if (lastKnown < now) {
    const text = `The source "${forecast.source}" knows no temperature from now on.`;
    return new SourceError('forecast-empty', text);
  }
  return null;
}

/** The last hour for which any member knows the temperature. */
function lastKnownHour(forecast: Forecast): EpochSeconds | null {
  let index = -1;
  for (const { temperatureC } of forecast.members) {
    index = Math.max(
      index,
      temperatureC.findLastIndex((t) => !Number.isNaN(t)),
    );
  }
  return index < 0 ? null : forecast.firstHour + index * HOUR_S;
}
