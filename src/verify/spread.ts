/**
 * How far forecasts of each lead day were off, against how far apart their members stood. Where members are drawn
 * from the same law as the truth, both are the same (Fortin and others 2014, Journal of Hydrometeorology
 * 15:1708-1713, from memory: RMSE² = (N + 1)/(N − 1)·variance of the N members; `deviationK` has that factor in it).
 */
import type { SpreadRecord } from '../weather/local-record.ts';
import { groupBy } from './group.ts';
import type { KeptForecast } from './kept-forecast.ts';
import { daysOf, scoredHours, type ScoredHour } from './scored-hour.ts';
import { mean } from './scores.ts';
import type { Measured } from './truth.ts';

/** Of one source at one place. Lead days of which fewer than two days are known are left out. */
export function spreadRecords(kept: readonly KeptForecast[], readings: readonly Measured[]): SpreadRecord[] {
  return [...groupBy(scoredHours(kept, readings), ({ forecast }) => forecast.leadDay)]
    .toSorted(([a], [b]) => a - b)
    .map(([leadDay, hours]) => ({
      leadDay,
      days: daysOf(hours),
      errorK: errorAfterBiasK(hours),
      memberK: Math.sqrt(
        mean(hours.map(({ forecast, hour }) => (forecast.untaught.deviationK[hour] ?? Number.NaN) ** 2)),
      ),
    }))
    .filter(({ errorK, memberK }) => Number.isFinite(errorK) && Number.isFinite(memberK));
}

/** The bias is each hour's own over the days, and costs one of them: what is divided by is days less one. */
function errorAfterBiasK(hours: readonly ScoredHour[]): number {
  let squares = 0;
  let free = 0;
  for (const ofHour of groupBy(hours, ({ hour }) => hour).values()) {
    const errors = ofHour.map(untaughtErrorK);
    const biasK = mean(errors);
    squares += errors.reduce((sum, errorK) => sum + (errorK - biasK) ** 2, 0);
    free += ofHour.length - 1;
  }
  return Math.sqrt(squares / free);
}

/** Of the forecast as it was before readings corrected it: what is learned must not depend on what was. */
function untaughtErrorK({ forecast, hour, observedC }: ScoredHour): number {
  return (forecast.untaught.meanC[hour] ?? Number.NaN) - observedC;
}
