import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * What one source answered for one place, as it came: hourly, UTC, NaN for an hour it does not know.
 * Every array has the same length; `firstHour` is a whole hour.
 */
export interface Forecast {
  readonly source: string;
  /** Attribution line to be shown wherever the data is shown; null for the user's own file. */
  readonly attribution: string | null;
  readonly issuedAt: EpochSeconds | null;
  readonly fetchedAt: EpochSeconds;
  readonly firstHour: EpochSeconds;
  /** True for a series file: it is never cut to the configured horizon. */
  readonly whole: boolean;
  readonly members: readonly ForecastMember[];
}

/** One possible course of the weather. Null: the source does not give that variable at all. */
export interface ForecastMember {
  /** Positive; the weights of a forecast need not sum to 1. */
  readonly weight: number;
  readonly temperatureC: readonly number[];
  readonly windSpeedMps: readonly number[] | null;
  readonly cloudPercent: readonly number[] | null;
  readonly soilTemperatureC: readonly number[] | null;
}
