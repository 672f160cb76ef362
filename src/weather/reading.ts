import type { EpochSeconds } from '../quantity/instant.ts';

/** One temperature that was measured, at a place or in a unit's zone. */
export interface Reading {
  readonly place: string;
  /** Null: of the place's own air outside. */
  readonly unit: string | null;
  /** `outside`, or a zone of the unit. */
  readonly zone: string;
  readonly at: EpochSeconds;
  readonly temperatureC: number;
  /** Who says it. */
  readonly origin: ReadingOrigin;
}

export const READING_ORIGINS = ['said', 'file', 'http', 'mqtt'] as const;
export type ReadingOrigin = (typeof READING_ORIGINS)[number];

/** The air at a public station near a place: somewhere else, so it scores forecasts and corrects nothing. */
export interface Observation {
  readonly station: string;
  readonly at: EpochSeconds;
  readonly temperatureC: number;
  readonly distanceKm: number | null;
}
