import type { SourceError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from '../weather/forecast.ts';

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
    }
  | { readonly ok: false; readonly error: SourceError };

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
