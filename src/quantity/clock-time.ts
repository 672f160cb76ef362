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

/** `22:00-07:00`. */
export function formatClockSpan(span: ClockSpan): string {
  return `${formatClock(span.fromMinute)}-${formatClock(span.toMinute)}`;
}

function formatClock(minute: number): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
}
