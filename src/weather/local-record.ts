import type { EpochSeconds } from '../quantity/instant.ts';

/**
 * What a place's own readings have taught about its forecasts of one source, as used by the next outlook.
 * Errors are those of an outlook's `untaught` mean, and deviations its `untaught` ones: after every correction of ours
 * but this record's own and the nights' bias, which it stands in for. Otherwise a correction would learn itself away.
 */
export interface LocalRecord {
  /** By hour of the UTC day, 24 values [K]; to be taken off the forecast. 0 where nothing is known. */
  readonly biasK: readonly number[];
  /** Readings behind each of them; old ones count less, so that it need not be whole. */
  readonly readings: readonly number[];
  /** The same, each by how much it tells of clear calm nights: by day 1, by night how clear and calm it was. */
  readonly weighed: readonly number[];
  /** The last reading that was believed. */
  readonly lastReadingAt: EpochSeconds;
  /** By lead day, from 0. */
  readonly spread: readonly SpreadRecord[];
}

/** How far forecasts of one lead day were off, and how far apart their members stood. */
export interface SpreadRecord {
  readonly leadDay: number;
  /** Independent days behind it. */
  readonly days: number;
  /** Root mean square of the mean member's error, its bias taken off [K]. */
  readonly errorK: number;
  /** Root mean square of the members' deviation about their mean [K]. */
  readonly memberK: number;
}
