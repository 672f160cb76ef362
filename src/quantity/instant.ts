/** Instants: whole or fractional seconds since 1970-01-01T00:00:00Z. Zones appear only where people read. */
export type EpochSeconds = number;

export const HOUR_S = 3600;
export const DAY_S = 86_400;

const ISO = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:\d{2})$/;

/** Reads an ISO-8601 instant that names its offset (`Z` or `±hh:mm`); null for anything else. */
export function parseInstant(text: string): EpochSeconds | null {
  if (!ISO.test(text) || !isDate(text.slice(0, 10))) return null;
  const ms = Date.parse(text);
  return Number.isNaN(ms) ? null : ms / 1000;
}

/** The runtime moves 30 February to March instead of refusing it. */
function isDate(date: string): boolean {
  const ms = Date.parse(`${date}T00:00:00Z`);
  return !Number.isNaN(ms) && new Date(ms).toISOString().slice(0, 10) === date;
}

/** `2026-11-25T08:30:00Z`: to the second, rounded down, so that a deadline is never printed late. */
export function isoSecond(instant: EpochSeconds): string {
  return `${new Date(Math.floor(instant) * 1000).toISOString().slice(0, 19)}Z`;
}

export function floorToHour(instant: EpochSeconds): EpochSeconds {
  return Math.floor(instant / HOUR_S) * HOUR_S;
}
