import type { SourceError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Alert } from '../weather/alert.ts';
import type { Forecast } from '../weather/forecast.ts';
import type { Observation } from '../weather/reading.ts';

/** Where a forecast is wanted. */
export interface Point {
  readonly id: string;
  readonly latitude: number;
  readonly longitude: number;
  /** Height above sea level; null: let the service take the ground's. */
  readonly elevationM: number | null;
}

export type SourceAnswer =
  | {
      readonly ok: true;
      readonly forecast: Forecast;
      /** When its file was last written: its age where it does not say when it was issued. */
      readonly writtenAt?: EpochSeconds;
      /** Why this is the last good answer and not a new one; absent: it is new. */
      readonly keptSince?: SourceError;
      /** Official warnings of cold in force at the point; absent: the service issues none. */
      readonly alerts?: readonly Alert[];
      /** The nearest station's latest air temperature. */
      readonly observation?: Observation;
      /** What is to be said of this answer beside its numbers: full sentences. */
      readonly remarks?: readonly string[];
    }
  | {
      readonly ok: false;
      readonly error: SourceError;
      /** Official warnings that could be had although there is no forecast; absent: none were asked for. */
      readonly alerts?: readonly Alert[];
    };

/**
 * The port every weather service is behind. `fetch` never rejects for what the service does: each asked
 * point has an answer in the map, a forecast or the error that stands in its way. It rejects only when
 * `signal` is aborted.
 */
export interface ForecastSource {
  readonly id: string;
  fetch(
    points: readonly Point[],
    now: EpochSeconds,
    signal: AbortSignal,
  ): Promise<ReadonlyMap<string, SourceAnswer>>;
}
