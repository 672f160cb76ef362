/** A day of the calendar, wherever it is. */
export interface LocalDate {
  readonly year: number;
  /** From 1. */
  readonly month: number;
  readonly day: number;
}

const DATE = /^(\d{4})-(\d{2})-(\d{2})$/;

/** Reads `2026-11-15`; null for anything else, and for a day that no calendar has. */
export function parseLocalDate(text: string): LocalDate | null {
  const [, year = 0, month = 0, day = 0] = (DATE.exec(text.trim()) ?? []).map(Number);
  const found = new Date(Date.UTC(year, month - 1, day));
  const isThere = year >= 1970 && found.getUTCMonth() === month - 1 && found.getUTCDate() === day;
  return isThere ? { year, month, day } : null;
}

/** Below 0: the first comes before the second. */
export function compareDates(a: LocalDate, b: LocalDate): number {
  return a.year - b.year || a.month - b.month || a.day - b.day;
}
