/** Five-field cron expressions: minute, hour, day of the month, month, day of the week. */
interface FieldRange {
  readonly min: number;
  readonly max: number;
  /** Names that stand for `min`, `min + 1`, … */
  readonly names: readonly string[];
}

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec'];
const WEEKDAYS = ['sun', 'mon', 'tue', 'wed', 'thu', 'fri', 'sat'];

const FIELDS: readonly FieldRange[] = [
  { min: 0, max: 59, names: [] },
  { min: 0, max: 23, names: [] },
  { min: 1, max: 31, names: [] },
  { min: 1, max: 12, names: MONTHS },
  { min: 0, max: 7, names: WEEKDAYS },
];

/** Whether the text is five fields of `*`, numbers, names, ranges, steps and lists of them. */
export function isCronExpression(text: string): boolean {
  const parts = text.trim().split(/\s+/u);
  return parts.length === FIELDS.length && FIELDS.every((range, index) => isField(parts[index] ?? '', range));
}

function isField(text: string, range: FieldRange): boolean {
  return text.split(',').every((item) => isItem(item, range));
}

function isItem(text: string, range: FieldRange): boolean {
  const [span = '', step, ...rest] = text.split('/');
  if (rest.length > 0 || (step !== undefined && !isStep(step, range))) return false;
  if (span === '*') return true;
  const bounds = span.split('-').map((bound) => numberOf(bound, range));
  const [from = null, to = from] = bounds;
  return bounds.length <= 2 && from !== null && to !== null && from <= to;
}

function isStep(text: string, range: FieldRange): boolean {
  return /^\d{1,2}$/u.test(text) && Number(text) >= 1 && Number(text) <= range.max;
}

function numberOf(text: string, range: FieldRange): number | null {
  const named = range.names.indexOf(text.toLowerCase());
  if (named >= 0) return range.min + named;
  if (!/^\d{1,2}$/u.test(text)) return null;
  const value = Number(text);
  return value >= range.min && value <= range.max ? value : null;
}

/** So far back it is looked for a run: a yearly schedule would leave a place unwatched for longer than anybody could want. */
const LOOKED_BACK_DAYS = 62;
const MINUTE_S = 60;

/**
 * When the schedule was due before that instant, the how many-th time counting back; null: not within two months.
 * All five fields hold together, as the scheduler takes them; UTC.
 */
export function dueBefore(expression: string, before: number, count: number): number | null {
  const sets = expression
    .trim()
    .split(/\s+/u)
    .map((text, index) => valuesOf(text, FIELDS[index]));
  let left = count;
  const last = before - LOOKED_BACK_DAYS * 86_400;
  for (let at = Math.ceil(before / MINUTE_S - 1) * MINUTE_S; at >= last; at -= MINUTE_S) {
    if (isDue(sets, new Date(at * 1000))) left -= 1;
    if (left === 0) return at;
  }
  return null;
}

function isDue([minutes, hours, days, months, weekdays]: readonly ReadonlySet<number>[], at: Date): boolean {
  return (
    minutes?.has(at.getUTCMinutes()) === true &&
    hours?.has(at.getUTCHours()) === true &&
    days?.has(at.getUTCDate()) === true &&
    months?.has(at.getUTCMonth() + 1) === true &&
    weekdays?.has(at.getUTCDay()) === true
  );
}

function valuesOf(text: string, range: FieldRange | undefined): ReadonlySet<number> {
  if (range === undefined) return new Set();
  const values = text.split(',').flatMap((item) => {
    const [span = '', step = '1'] = item.split('/');
    const bounds = span.split('-').map((bound) => numberOf(bound, range));
    const [from, to] = span === '*' ? [range.min, range.max] : [bounds[0] ?? 0, bounds[1] ?? bounds[0] ?? 0];
    return Array.from({ length: to - from + 1 }, (_, i) => from + i).filter((_, i) => i % Number(step) === 0);
  });
  // Sunday is both 0 and 7.
  return new Set(range.max === 7 ? values.map((value) => value % 7) : values);
}
