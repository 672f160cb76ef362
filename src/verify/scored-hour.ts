import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { groupBy } from './group.ts';
import type { KeptForecast } from './kept-forecast.ts';
import { nearestToHours, type Measured } from './truth.ts';

/** One hour of a kept forecast, and what was measured then. */
export interface ScoredHour {
  readonly forecast: KeptForecast;
  /** Of the UTC day, 0 to 23: the index into the forecast's values. */
  readonly hour: number;
  readonly observedC: number;
  /** Of the mean [K]. */
  readonly errorK: number;
}

/**
 * Hours that were still to come when the forecast was kept, of which both it and the measurements know something. Of
 * forecasts of one source for one day at one lead the first counts.
 */
export function scoredHours(kept: readonly KeptForecast[], measured: readonly Measured[]): ScoredHour[] {
  const truth = nearestToHours(measured);
  return oneEach(kept).flatMap((forecast) =>
    forecast.meanC.flatMap((meanC, hour) => {
      const at = forecast.validDay + hour * HOUR_S;
      const observedC = truth.get(at)?.temperatureC ?? Number.NaN;
      const errorK = meanC - observedC;
      return at > forecast.keptAt && Number.isFinite(errorK) ? [{ forecast, hour, observedC, errorK }] : [];
    }),
  );
}

function oneEach(kept: readonly KeptForecast[]): KeptForecast[] {
  const inOrder = kept.toSorted((x, y) => x.keptAt - y.keptAt);
  const groups = groupBy(inOrder, (k) => `${k.place} ${k.source} ${k.leadDay} ${k.validDay}`);
  return [...groups.values()].flatMap(([first]) => first ?? []);
}

/** Hours of a day go together: only days count as independent cases. */
export function daysOf(hours: readonly ScoredHour[]): number {
  return new Set<EpochSeconds>(hours.map(({ forecast }) => forecast.validDay)).size;
}
