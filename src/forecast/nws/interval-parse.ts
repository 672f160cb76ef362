import { parseInstant, type EpochSeconds } from '../../quantity/instant.ts';

/** From `start`, included, to `end`, excluded. */
export interface Interval {
  readonly start: EpochSeconds;
  readonly end: EpochSeconds;
}

/**
 * Reads an ISO-8601 interval as the service may write it: start and end, start and duration, duration and end, with
 * `NOW` in place of either instant (specs/nws.openapi.json, ISO8601Interval). Null for anything else, and for one
 * that ends before it starts.
 */
export function parseInterval(text: string, now: EpochSeconds): Interval | null {
  const [left = '', right = '', ...more] = text.split('/');
  if (more.length > 0) return null;
  const start = readInstant(left, now);
  const end = readInstant(right, now);
  if (start !== null && end !== null) return ordered(start, end);
  if (start !== null) return ordered(start, moved(start, right, 1));
  if (end !== null) return ordered(moved(end, left, -1), end);
  return null;
}

function ordered(start: EpochSeconds | null, end: EpochSeconds | null): Interval | null {
  return start === null || end === null || end < start ? null : { start, end };
}

/** Offsets come as `Z`, `+00:00`, and by the specification also as `+0000` and `+00`. */
function readInstant(text: string, now: EpochSeconds): EpochSeconds | null {
  if (text === 'NOW') return now;
  return parseInstant(
    text.replace(/(T[\d:.]+[+-]\d{2}):?(\d{2})?$/, (_, head, minutes) => `${head}:${minutes ?? '00'}`),
  );
}

const DURATION =
  /^P(?=.)(?:(\d{1,6})Y)?(?:(\d{1,6})M)?(?:(\d{1,6})W)?(?:(\d{1,6})D)?(?:T(?=.)(?:(\d{1,6})H)?(?:(\d{1,6})M)?(?:(\d{1,6})S)?)?$/;

/** The instant a duration later (`sign` 1) or earlier (−1), by the calendar in UTC; null for what is no duration. */
function moved(instant: EpochSeconds, duration: string, sign: 1 | -1): EpochSeconds | null {
  const match = DURATION.exec(duration);
  if (match === null) return null;
  const [years = 0, months = 0, weeks = 0, days = 0, hours = 0, minutes = 0, seconds = 0] = match
    .slice(1)
    .map((digits: string | undefined) => sign * Number(digits ?? 0));
  const date = new Date(instant * 1000);
  date.setUTCFullYear(
    date.getUTCFullYear() + years,
    date.getUTCMonth() + months,
    date.getUTCDate() + 7 * weeks + days,
  );
  const result = date.getTime() / 1000 + hours * 3600 + minutes * 60 + seconds;
  return Number.isNaN(result) ? null : result;
}
