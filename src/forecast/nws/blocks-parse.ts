/**
 * Late in the forecast a cell is computed every 3 or 6 hours, and each value is written for all hours until the next.
 * It holds for the first of them only: held through the night it would pass the lowest by.
 */
import { HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { indexesOf, type Axis, type Layer } from './layer-parse.ts';

/** Nearer than this, equal hours in a row are taken for real ones. Engineering estimate. */
const HOURLY_UNTIL_S = 72 * HOUR_S;
const STEPS_HOURS: readonly number[] = [3, 6];

export interface Blocks {
  /** Known at the first hour of a block; unknown until the next. */
  readonly temperatureC: readonly number[];
  /** Absent: there are no blocks. */
  readonly stepHours?: readonly number[];
}

/** Two or more blocks of 3 or 6 hours in a row are steps; one by itself is equal hours, written as one. */
export function withBlocks(
  layer: Layer,
  temperatureC: readonly number[],
  { axis, now }: { readonly axis: Axis; readonly now: EpochSeconds },
): Blocks {
  const spans = layer.spans.toSorted((a, b) => a.start - b.start);
  const hoursOf = spans.map(({ start, end }) => (end - start) / HOUR_S);
  const isBlock = (i: number): boolean =>
    STEPS_HOURS.includes(hoursOf[i] ?? 0) && (spans[i]?.start ?? 0) >= now + HOURLY_UNTIL_S;
  const follows = (i: number): boolean =>
    isBlock(i - 1) && isBlock(i) && spans[i - 1]?.end === spans[i]?.start;
  const blocks = spans.flatMap((span, i) =>
    follows(i) || follows(i + 1) ? [{ ...indexesOf(span, axis), hours: hoursOf[i] ?? 1 }] : [],
  );
  if (blocks.length === 0) return { temperatureC };
  const values = [...temperatureC];
  const stepHours = values.map(() => 1);
  for (const { from, to, hours } of blocks) {
    stepHours.fill(hours, from, to + 1);
    // The very last one has nothing to go on to, and stays what it is until it ends.
    const isLast = Number.isNaN(temperatureC[to + 1] ?? Number.NaN);
    values.fill(Number.NaN, from + 1, isLast ? to : to + 1);
  }
  return { temperatureC: values, stepHours };
}
