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
