import { SourceError } from '../errors.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from '../weather/forecast.ts';

/** A series that begins later than this after now is about another time. */
const LATEST_START_S = 2 * HOUR_S;

/** Coarser steps than this leave holes that are not bridged. */
const COARSEST_STEP_HOURS = 3;

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
  return stepProblem(forecast, now);
}

/** Each known hour ahead farther from the next than can be bridged: a series in steps of six hours, say. */
function stepProblem({ source, firstHour, members }: Forecast, now: EpochSeconds): SourceError | null {
  const from = Math.max(0, Math.floor((now - firstHour) / HOUR_S));
  const values = members[0]?.temperatureC ?? [];
  const known = values.flatMap((t, i) => (i >= from && !Number.isNaN(t) ? [i] : []));
  const steps = known.slice(1).map((hour, i) => hour - (known[i] ?? hour));
  const finest = Math.min(...steps);
  if (steps.length < 2 || finest <= COARSEST_STEP_HOURS) return null;
  const text = `The source "${source}" gives a temperature every ${finest} hours only; between them anything may happen.`;
  return new SourceError('forecast-empty', text, {
    hint: `Ask another source, or give one temperature an hour, or every ${COARSEST_STEP_HOURS} hours at least.`,
  });
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
