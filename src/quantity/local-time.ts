import { DAY_S, HOUR_S } from './instant.ts';
import type { EpochSeconds } from './instant.ts';

/**
 * Instants as people of a zone read them: 24-hour clock, English names, rounded down to the minute, so that a
 * deadline is never printed late. An unknown IANA zone is a RangeError of `Intl`.
 */

/** Each locale abbreviates only the zones its readers know: which to ask, by the first word of the zone. */
const NAMING_LOCALES: ReadonlyMap<string, readonly string[]> = new Map([
  ['America', ['en-US', 'en-CA']],
  ['Europe', ['en-GB']],
  ['Australia', ['en-AU']],
  ['Pacific', ['en-US', 'en-NZ']],
  ['Africa', ['en-ZA']],
  ['Asia', ['en-IN']],
]);

const OTHER_LOCALES: readonly string[] = ['en-US', 'en-GB'];

/** Beyond this a weekday alone could be taken for the wrong week. */
const WEEKDAY_ALONE_S = 6 * DAY_S;

/** Making one takes a hundred times as long as using it, and a message uses over a hundred. */
const FORMATS = new Map<string, Intl.DateTimeFormat>();

function formatOf(locale: string, options: Intl.DateTimeFormatOptions): Intl.DateTimeFormat {
  const key = `${locale} ${options.timeZone} ${options.timeZoneName ?? ''}`;
  const known = FORMATS.get(key) ?? new Intl.DateTimeFormat(locale, options);
  FORMATS.set(key, known);
  return known;
}

/** `Thu 26 Nov, 15:10 MST` */
export function formatLocal(instant: EpochSeconds, timeZone: string): string {
  const local = localParts(instant, timeZone);
  return `${local.date}, ${local.clock} ${zoneAbbreviation(instant, timeZone)}`;
}

/** `15:10` */
export function formatClock(instant: EpochSeconds, timeZone: string): string {
  return localParts(instant, timeZone).clock;
}

/** `Thu 26 Nov` */
export function formatLocalDate(instant: EpochSeconds, timeZone: string): string {
  return localParts(instant, timeZone).date;
}

/**
 * The shortest form that `asOf`'s reader cannot mistake: the weekday within six days, the date beyond, and the
 * zone wherever the clocks change in between.
 */
export function formatNear(instant: EpochSeconds, asOf: EpochSeconds, timeZone: string): string {
  const zone = zoneAbbreviation(instant, timeZone);
  const changed = zone === zoneAbbreviation(asOf, timeZone) ? '' : ` ${zone}`;
  const local = localParts(instant, timeZone);
  const day = Math.abs(instant - asOf) < WEEKDAY_ALONE_S ? local.weekday : `${local.date},`;
  return `${day} ${local.clock}${changed}`;
}

/** `MST`, `CET`, or `GMT-3` where English has no name for it. */
export function zoneAbbreviation(instant: EpochSeconds, timeZone: string): string {
  let offset = 'UTC';
  for (const locale of NAMING_LOCALES.get(timeZone.split('/')[0] ?? '') ?? OTHER_LOCALES) {
    const parts = formatOf(locale, { timeZone, timeZoneName: 'short' }).formatToParts(dateOf(instant));
    const name = parts.find((part) => part.type === 'timeZoneName')?.value;
    if (name === undefined) continue;
    if (!/^GMT[+-]/.test(name)) return name;
    offset = name;
  }
  return offset;
}

/** Whether clocks in both zones show the same at that instant. */
export function sameClock(instant: EpochSeconds, zoneA: string, zoneB: string): boolean {
  if (zoneA === zoneB) return true;
  const [a, b] = [localParts(instant, zoneA), localParts(instant, zoneB)];
  return a.date === b.date && a.clock === b.clock;
}

/** The days that begin between two instants, in order: each with its midnight by the clocks of the zone. */
export function localDays(
  from: EpochSeconds,
  to: EpochSeconds,
  timeZone: string,
): { readonly at: EpochSeconds; readonly date: string }[] {
  const days: { at: EpochSeconds; date: string }[] = [];
  let day = nextDay(from, timeZone);
  while (day < to) {
    days.push({ at: day, date: localParts(day, timeZone).date });
    // Whatever a zone does with its clocks, the loop ends.
    day = Math.max(day + HOUR_S, nextDay(day, timeZone));
  }
  return days;
}

/** Where the clocks change before it, the first guess is off by what they change; where midnight is skipped, after it. */
function nextDay(after: EpochSeconds, timeZone: string): EpochSeconds {
  const today = localParts(after, timeZone).date;
  const guess = Math.floor(after / 60) * 60 + DAY_S - sinceMidnightS(after, timeZone);
  const date = localParts(guess, timeZone).date;
  if (date === today) return guess + DAY_S - sinceMidnightS(guess, timeZone);
  const midnight = guess - sinceMidnightS(guess, timeZone);
  return localParts(midnight, timeZone).date === date ? midnight : guess;
}

function sinceMidnightS(instant: EpochSeconds, timeZone: string): number {
  const [hours = 0, minutes = 0] = localParts(instant, timeZone).clock.split(':').map(Number);
  return 3600 * hours + 60 * minutes;
}

interface LocalParts {
  readonly weekday: string;
  /** With the weekday. */
  readonly date: string;
  readonly clock: string;
}

function localParts(instant: EpochSeconds, timeZone: string): LocalParts {
  const format = formatOf('en-US', {
    timeZone,
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });
  const found = new Map(format.formatToParts(dateOf(instant)).map((part) => [part.type, part.value]));
  const value = (type: Intl.DateTimeFormatPartTypes): string => found.get(type) ?? '';
  const weekday = value('weekday');
  return {
    weekday,
    date: `${weekday} ${value('day')} ${value('month')}`,
    clock: `${value('hour')}:${value('minute')}`,
  };
}

function dateOf(instant: EpochSeconds): Date {
  return new Date(Math.floor(instant) * 1000);
}
