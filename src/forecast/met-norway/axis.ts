import { DAY_S, HOUR_S, parseInstant, type EpochSeconds } from '../../quantity/instant.ts';

/** After the hourly part, which is about two and a half days long, the service goes on in steps of this length. */
export const COARSE_STEP_HOURS = 6;

/** The service looks ten days ahead. */
const LONGEST_AXIS_S = 40 * DAY_S;

export type Range = readonly [least: number, most: number];

/** Where each entry goes on an hourly axis, and the step [h] that every hour of it belongs to. */
export interface Axis {
  readonly firstHour: EpochSeconds;
  readonly indexes: readonly number[];
  readonly stepHours: readonly number[];
}

export function readAxis(series: readonly { readonly time: string }[]): Axis | 'empty' | 'broken' {
  const [first, ...others] = series.map(({ time }) => (time.endsWith('Z') ? parseInstant(time) : null));
  if (first === undefined) return 'empty';
  if (first === null || first % HOUR_S !== 0) return 'broken';
  const indexes = [0];
  const stepHours = [1];
  for (const time of others) {
    const index = time === null ? Number.NaN : (time - first) / HOUR_S;
    const step = index - stepHours.length + 1;
    if (!Number.isInteger(index) || step < 1 || index * HOUR_S > LONGEST_AXIS_S) return 'broken';
    // Any other distance is a hole in the series and no step of it.
    const known = step === COARSE_STEP_HOURS ? COARSE_STEP_HOURS : 1;
    indexes.push(index);
    for (let hour = 0; hour < step; hour++) stepHours.push(known);
  }
  return { firstHour: first, indexes, stepHours };
}

/** NaN, never 0, for what is missing, null or impossible: 0 °C would read as "just not freezing". */
export function within(value: number | null | undefined, [least, most]: Range): number {
  return typeof value === 'number' && value >= least && value <= most ? value : Number.NaN;
}

export function onAxis(
  values: readonly (number | null | undefined)[],
  axis: Axis,
  range: Range,
): readonly number[] {
  const series = new Array<number>(axis.stepHours.length).fill(Number.NaN);
  axis.indexes.forEach((index, position) => {
    series[index] = within(values[position], range);
  });
  return series;
}
