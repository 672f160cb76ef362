/** How far apart rounds are, from the cron expression that starts them. */

const MINUTES_OF_HOUR = 60;
const HOURS_OF_DAY = 24;

/** The longest time between two rounds of a day on which there are any [h]; on some days there may be none. */
export function longestGapHours(schedule: string): number {
  const [minute = '*', hour = '*'] = schedule.trim().split(/\s+/);
  const minutes = valuesOf(minute, MINUTES_OF_HOUR);
  const starts = valuesOf(hour, HOURS_OF_DAY).flatMap((h) => minutes.map((m) => h * MINUTES_OF_HOUR + m));
  const [first = 0] = starts;
  const next = [...starts.slice(1), first + HOURS_OF_DAY * MINUTES_OF_HOUR];
  return Math.max(...starts.map((start, i) => (next[i] ?? start) - start)) / MINUTES_OF_HOUR;
}

/** In rising order. The config has checked that it is a field of cron. */
function valuesOf(field: string, end: number): readonly number[] {
  const values = new Set<number>();
  for (const item of field.split(',')) {
    const [span = '*', step] = item.split('/');
    const [low = 0, high] = span === '*' ? [0, end - 1] : span.split('-').map(Number);
    const last = high ?? (step === undefined ? low : end - 1);
    for (let value = low; value <= last; value += Number(step ?? 1)) values.add(value);
  }
  return [...values].toSorted((a, b) => a - b);
}
