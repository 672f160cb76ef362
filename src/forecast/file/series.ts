import { SourceError } from '../../errors.ts';
import { HOUR_S, isoSecond, parseInstant, type EpochSeconds } from '../../quantity/instant.ts';

/** A series file as read: each member with its own hours, in rising order. NaN for an empty value. */
export interface Series {
  readonly issuedAt: EpochSeconds | null;
  readonly members: readonly SeriesMember[];
}

export interface SeriesMember {
  readonly weight: number;
  readonly times: readonly EpochSeconds[];
  readonly temperatureC: readonly number[];
  /** Null: the file does not give it. */
  readonly windSpeedMps: readonly number[] | null;
  readonly cloudPercent: readonly number[] | null;
}

/** The values a series may hold, and the range outside which a number can only be a mistake. */
export const QUANTITIES = {
  temperatureC: { least: -90, most: 60, unit: '°C' },
  windSpeedMps: { least: 0, most: 120, unit: 'm/s' },
  cloudPercent: { least: 0, most: 100, unit: '%' },
} as const;

export type Quantity = keyof typeof QUANTITIES;

/** Where in which file. `at` is a line number or a path such as `members.0.weight`. */
export interface Spot {
  readonly file: string;
  readonly at: string | number;
}

/** `series.csv:12: rule, found "x".` */
export function seriesMistake(spot: Spot, rule: string, found?: string): SourceError {
  const shown = found === undefined ? '' : `, found "${printable(found.slice(0, 60))}"`;
  const hint = 'Correct the series file; its format stands in docs/configuration.md, under Weather.';
  return new SourceError('source-file', `${spot.file}:${spot.at}: ${printable(rule)}${shown}.`, { hint });
}

/** The runtime quotes the file in its own messages, too. */
function printable(text: string): string {
  return text.replace(/[\p{Cc}\p{Cs}]/gu, ' ');
}

/** Reads a whole UTC hour such as `2026-11-30T15:00Z`. Throws a `SourceError` for anything else. */
export function readHour(text: string, spot: Spot): EpochSeconds {
  const instant = text.endsWith('Z') ? parseInstant(text) : null;
  // A day that the month does not have is moved into the next month by the runtime instead of refused.
  if (instant === null || isoSecond(instant).slice(0, 13) !== text.slice(0, 13)) {
    throw seriesMistake(spot, 'a time is an existing UTC hour such as 2026-11-30T15:00Z', text);
  }
  if (instant % HOUR_S !== 0) {
    throw seriesMistake(spot, 'the series is hourly, so minutes and seconds must be 0', text);
  }
  return instant;
}

/** Throws unless the value is within the range of its quantity; NaN, for unknown, passes. */
export function checkRange(value: number, quantity: Quantity, spot: Spot): number {
  const { least, most, unit } = QUANTITIES[quantity];
  if (Number.isNaN(value) || (value >= least && value <= most)) return value;
  throw seriesMistake(spot, `${quantity} must be between ${least} and ${most} ${unit}`, String(value));
}

/** Throws when `time` does not come after the one before it. */
export function checkRising(time: EpochSeconds, before: EpochSeconds | undefined, spot: Spot): void {
  if (before === undefined || time > before) return;
  throw seriesMistake(spot, `times must rise from each to the next of a member`, isoSecond(time));
}
