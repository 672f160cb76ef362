/** Times of the day without a date, as minutes after local midnight. */
export interface ClockSpan {
  readonly fromMinute: number;
  readonly toMinute: number;
}

const SPAN = /^([01]\d|2[0-3]):([0-5]\d)\s*[-–]\s*([01]\d|2[0-3]):([0-5]\d)$/u;

/** Reads `22:00-07:00`, which may wrap midnight; null for anything else, and for a span of no length. */
export function parseClockSpan(text: string): ClockSpan | null {
  const match = SPAN.exec(text.trim());
  if (match === null) return null;
  const [fromHour = 0, fromMinute = 0, toHour = 0, toMinute = 0] = match.slice(1).map(Number);
  const span = { fromMinute: fromHour * 60 + fromMinute, toMinute: toHour * 60 + toMinute };
  return span.fromMinute === span.toMinute ? null : span;
}

const CLOCK = /^([01]\d|2[0-3]):([0-5]\d)$/u;

/** Reads `08:00` as minutes after local midnight; null for anything else. */
export function parseClock(text: string): number | null {
  const match = CLOCK.exec(text.trim());
  return match === null ? null : Number(match[1]) * 60 + Number(match[2]);
}

/** A span of hours on some days of the week. One that wraps midnight ends on the next day. */
export interface FreeTime extends ClockSpan {
  /** 1 is Monday, 7 Sunday. */
  readonly days: readonly number[];
}

const DAYS = ['mo', 'tu', 'we', 'th', 'fr', 'sa', 'su'] as const;
const FREE = /^([A-Za-z]{2})(?:\s*[-–]\s*([A-Za-z]{2}))?\s+(\S.*)$/u;

/** `Mo-Fr 17:00-21:00`, or each day where they do not follow one another. */
export function formatFreeTime({ days, ...span }: FreeTime): string {
  const names = days
    .map((day) => DAYS[day - 1] ?? '')
    .map((name) => `${name.charAt(0).toUpperCase()}${name.slice(1)}`);
  const follow = days.every((day, i) => i === 0 || day === ((days[i - 1] ?? 0) % 7) + 1);
  const [first = '', last = ''] = [names[0], names.at(-1)];
  const which = days.length === 1 ? first : follow ? `${first}-${last}` : names.join(' ');
  return `${which} ${formatClockSpan(span)}`;
}

/** Reads `Mo-Fr 17:00-21:00` or `Sa 08:00-18:00`; days may wrap (`Sa-Mo`). Null for anything else. */
export function parseFreeTime(text: string): FreeTime | null {
  const [, first = '', last = first, hours = ''] = FREE.exec(text.trim()) ?? [];
  const from = dayOf(first);
  const to = dayOf(last);
  const span = parseClockSpan(hours);
  if (from === 0 || to === 0 || span === null) return null;
  const count = ((to - from + 7) % 7) + 1;
  return { days: Array.from({ length: count }, (_, i) => ((from - 1 + i) % 7) + 1), ...span };
}

/** 0: it is none. */
function dayOf(text: string): number {
  return DAYS.findIndex((day) => day === text.toLowerCase()) + 1;
}

/** `22:00-07:00`. */
export function formatClockSpan(span: ClockSpan): string {
  return `${formatClock(span.fromMinute)}-${formatClock(span.toMinute)}`;
}

/** `17:00` */
export function formatClock(minute: number): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
}
