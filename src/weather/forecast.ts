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
  /** Height of the ground that the temperatures are for, before any correction of ours; absent: not said. */
  readonly gridElevationM?: number;
  /** Height of the ground at the very point, where the service told it; absent: not said. */
  readonly groundElevationM?: number;
  /** Hours before this one were not of this answer but filled in from what was kept; absent: all are its own. */
  readonly ownFrom?: EpochSeconds;
  /** Whose the hours before `ownFrom` are, hour by hour from `firstHour`; null: nothing was kept of it. */
  readonly pastSources?: readonly (string | null)[];
}

/** One possible course of the weather. Null: the source does not give that variable at all. */
export interface ForecastMember {
  /** Positive; the weights of a forecast need not sum to 1. */
  readonly weight: number;
  readonly temperatureC: readonly number[];
  readonly windSpeedMps: readonly number[] | null;
  readonly cloudPercent: readonly number[] | null;
  readonly soilTemperatureC: readonly number[] | null;
  /** The model whose ensemble it is of; absent: a single forecast, which stands for itself. */
  readonly model?: string;
  /**
   * Height of the ground of an ensemble's own grid cell, for its hours from the present one on (those before are the
   * single forecast's); absent: the forecast's.
   */
  readonly gridElevationM?: number;
  /**
   * Per hour, the step [h] at which the service really computes there: 1, 3 or 6. What lies between such steps is the
   * service's own interpolation, or NaN. Absent: every hour.
   */
  readonly stepHours?: readonly number[];
  /** Lowest temperatures that the service names for stretches of hours. */
  readonly lows?: readonly Low[];
}

/** The lowest temperature between two hours, both included, by their indexes in the series. */
export interface Low {
  readonly from: number;
  readonly to: number;
  readonly temperatureC: number;
}
