/** The kinds of value a config field can have, as zod types whose messages say the rule and what was found. */
import { z } from 'zod';
import { parseClock, parseClockSpan, parseFreeTime } from '../quantity/clock-time.ts';
import { parseInstant } from '../quantity/instant.ts';
import { parseLocalDate } from '../quantity/local-date.ts';
import type { Dimension } from '../quantity/quantity.ts';
import { parseQuantity, quantityExamples, quantityRule } from '../quantity/quantity.ts';
import { shown } from './found.ts';

/** Bounds as a person would write them: `{ from: '-430 m', to: '8849 m' }`. */
interface Bounds {
  readonly from?: string;
  readonly to?: string;
  readonly above?: string;
  readonly below?: string;
}

interface Range {
  readonly rule: string;
  readonly holds: (value: number) => boolean;
}

/** A rule broken: the rule and what was found; nothing for a missing value, which has its own message. */
export function broken(rule: string): (issue: { readonly input?: unknown }) => string | undefined {
  return (issue) => (issue.input === undefined ? undefined : `${rule}, found ${shown(issue.input)}`);
}

/** A text that is read into something else; `read` answers null for a text that breaks the rule. */
function readText<T extends object | number>(rule: string, read: (text: string) => T | null) {
  return z.string({ error: broken(rule) }).transform((text, context): T => {
    const value = read(text);
    if (value !== null) return value;
    context.addIssue({ code: 'custom', message: `${rule}, found ${shown(text)}` });
    return z.NEVER;
  });
}

/** A number with its unit, in base units. */
export function quantity(dimension: Dimension, bounds: Bounds = {}) {
  const ranges = rangesOf(dimension, bounds);
  return z
    .string({ error: broken(`expected ${quantityRule(dimension)}`) })
    .meta({ examples: [...quantityExamples(dimension)] })
    .transform((text, context): number => {
      const result = parseQuantity(dimension, text);
      const problem = result.ok ? rangeProblem(ranges, result.value, text) : result.problem;
      if (problem === null && result.ok) return result.value;
      context.addIssue({ code: 'custom', message: problem ?? '' });
      return z.NEVER;
    });
}

function rangeProblem(ranges: readonly Range[], value: number, text: string): string | null {
  const range = ranges.find((one) => !one.holds(value));
  return range === undefined ? null : `${range.rule}, found ${shown(text)}`;
}

function rangesOf(dimension: Dimension, bounds: Bounds): readonly Range[] {
  const { from, to, above, below } = bounds;
  const base = (text: string): number => baseOf(dimension, text);
  return [
    from === undefined ? null : { rule: `must be at least ${from}`, holds: (v: number) => v >= base(from) },
    to === undefined ? null : { rule: `must be at most ${to}`, holds: (v: number) => v <= base(to) },
    above === undefined ? null : { rule: `must be above ${above}`, holds: (v: number) => v > base(above) },
    below === undefined ? null : { rule: `must be below ${below}`, holds: (v: number) => v < base(below) },
  ].filter((range) => range !== null);
}

function baseOf(dimension: Dimension, text: string): number {
  const result = parseQuantity(dimension, text);
  if (!result.ok) throw new RangeError(result.problem);
  return result.value;
}

/** A plain number within bounds that belong to the range. */
export function numberFrom(min: number, max: number) {
  const error = broken(`must be a number from ${min} to ${max}`);
  return z.number({ error }).min(min, { error }).max(max, { error });
}

/** A whole number within bounds that belong to the range. */
export function wholeNumberFrom(min: number, max: number) {
  const error = broken(`must be a whole number from ${min} to ${max}`);
  return z.number({ error }).multipleOf(1, { error }).min(min, { error }).max(max, { error });
}

/** A share above 0, up to 1. */
export function shareAboveZero() {
  const error = broken('must be a share above 0, at most 1');
  return z.number({ error }).gt(0, { error }).max(1, { error });
}

/** Ids go into mail headers, file names and command lines. */
export function id() {
  const error = broken(
    'must be an id of small letters, digits and hyphens, 40 at most, such as "blue-trailer"',
  );
  return z.string({ error }).regex(/^[a-z0-9][a-z0-9-]{0,39}$/, { error });
}

/**
 * Control characters, line ends, marks that turn the direction of writing, what shows nothing at all, and halves of
 * characters. Joiners (U+200C, U+200D) stay: words and pictures are written with them.
 */
const UNPRINTABLE =
  /[\p{Cc}\p{Cs}\u00ad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb\u{e0000}-\u{e007f}]/u;

/** A name that people read. It also ends up in a mail's subject, so it must stay on one line. */
export function label() {
  const error = broken('must be a text of 1 to 80 characters on one line');
  return z
    .string({ error })
    .min(1, { error })
    .max(80, { error })
    .refine((text) => text.trim() !== '' && !UNPRINTABLE.test(text), { error });
}

export function emailAddress() {
  const error = broken('must be an e-mail address such as "ann@example.org"');
  return z.string({ error }).max(254, { error }).regex(z.regexes.html5Email, { error });
}

/** An IANA time zone that this machine knows. */
export function timeZone() {
  const error = broken('must be an IANA time zone such as "America/Denver"');
  return z.string({ error }).refine(isTimeZone, { error });
}

function isTimeZone(name: string): boolean {
  if (!/^[A-Za-z]/u.test(name)) return false;
  try {
    return new Intl.DateTimeFormat('en-US', { timeZone: name }).format(0) !== '';
  } catch {
    return false;
  }
}

/** A file or directory, relative to the config file. */
export function path() {
  const error = broken('must be a path, absolute or relative to this file ("~" is not understood)');
  return z
    .string({ error })
    .min(1, { error })
    .refine((text) => !text.startsWith('~') && !text.includes('\0'), { error });
}

/** An http or https address. The value is not repeated in messages: it may hold a secret. */
export function httpUrl() {
  return z
    .string()
    .refine((text) => ['http:', 'https:'].includes(urlOf(text)?.protocol ?? ''), {
      error: 'must be an address that begins with http:// or https://',
      abort: true,
    })
    .refine((text) => urlOf(text)?.username === '' && urlOf(text)?.password === '', {
      error: 'must not hold a user name or password; this file is no place for secrets',
    });
}

function urlOf(text: string): URL | null {
  return URL.canParse(text) ? new URL(text) : null;
}

/** Name of an environment variable. The value is not repeated in messages: a secret may have been put there. */
export function environmentName() {
  const error = (issue: { readonly input?: unknown }): string | undefined =>
    issue.input === undefined
      ? undefined
      : 'must be the name of an environment variable such as "DRAINBY_SMTP_PASSWORD", not the secret itself';
  return z.string({ error }).regex(/^[A-Za-z_][A-Za-z0-9_]{0,99}$/, { error });
}

/** An instant that names its offset, as epoch seconds. */
export function instant() {
  return readText('must be an instant with its offset such as "2026-10-01T00:00:00Z"', parseInstant);
}

export function clockSpan() {
  return readText('must be a span of hours such as "22:00-07:00"', parseClockSpan);
}

/** An hour of the day, as minutes after local midnight. */
export function clock() {
  return readText('must be an hour of the day such as "08:00"', parseClock);
}

/** A day of the calendar, in the zone of the place. */
export function localDate() {
  return readText('must be a date such as "2026-11-15"', parseLocalDate);
}

/** Days of the week and hours in which somebody is free. */
export function freeTime() {
  return readText('must be days and hours such as "Mo-Fr 17:00-21:00" or "Sa 08:00-18:00"', parseFreeTime);
}

/** `none`, or the map that `fields` describes. */
export function noneOr<T extends z.ZodType>(fields: T) {
  return z.union([z.literal('none'), fields], { error: broken('must be "none" or a map of its settings') });
}
