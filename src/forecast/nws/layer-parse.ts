import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { parseInterval, type Interval } from './interval-parse.ts';
import { plausible, scaleOf, type Quantity } from './unit-parse.ts';
import type { LayerWire } from './wire.ts';

/** One variable of the grid cell: equal hours in a row are written as one interval. */
export interface Layer {
  readonly spans: readonly Span[];
  /** Intervals that could not be read. */
  readonly unread: number;
  /** Values that cannot be. */
  readonly absurd: number;
}

/** In °C, m/s or %; NaN where the service knows none or says what cannot be. */
interface Span extends Interval {
  readonly value: number;
}

/** Whole hours in a row. */
export interface Axis {
  readonly firstHour: EpochSeconds;
  readonly hours: number;
}

/** The longest forecast is 8 days and 6 hours: an interval of months is no forecast. */
const LONGEST_AXIS_S = 40 * DAY_S;

/** Null when the layer has values in a unit that is not one of this quantity. `now`: when the body was received. */
export function readLayer(wire: LayerWire, quantity: Quantity, now: EpochSeconds): Layer | null {
  const scale = scaleOf(quantity, wire.uom);
  if (scale === null && wire.values.some(({ value }) => value !== null)) return null;
  const spans: Span[] = [];
  let absurd = 0;
  for (const { validTime, value } of wire.values) {
    const interval = parseInterval(validTime, now);
    if (interval === null) continue;
    const known = plausible(quantity, value === null || scale === null ? null : scale(value));
    if (value !== null && Number.isNaN(known)) absurd += 1;
    spans.push({ ...interval, value: known });
  }
  return { spans, unread: wire.values.length - spans.length, absurd };
}

/** From the first to the last hour of any interval; null without one, or for a time no forecast can span. */
export function axisOf({ spans }: Layer): Axis | null {
  let first = Infinity;
  let end = -Infinity;
  for (const span of spans) {
    const from = firstHourIn(span);
    if (from >= span.end) continue;
    first = Math.min(first, from);
    end = Math.max(end, span.end);
  }
  if (first === Infinity || end - first > LONGEST_AXIS_S) return null;
  return { firstHour: first, hours: Math.ceil((end - first) / HOUR_S) };
}

export interface Hourly {
  /** One value for each hour of the axis. */
  readonly values: readonly number[];
  /** Hours for which the layer has two different values. */
  readonly conflicts: number;
}

/** Each value at every whole hour of its interval; where two differ, the one that `worse` picks. */
export function hourlyValues({ spans }: Layer, axis: Axis, worse: (a: number, b: number) => number): Hourly {
  const values = new Array<number>(axis.hours).fill(Number.NaN);
  const conflicts = new Set<number>();
  for (const span of spans) {
    if (Number.isNaN(span.value)) continue;
    const { from, to } = indexesOf(span, axis);
    for (let i = Math.max(0, from); i <= Math.min(to, axis.hours - 1); i++) {
      const before = values[i] ?? Number.NaN;
      if (!Number.isNaN(before) && before !== span.value) conflicts.add(i);
      values[i] = Number.isNaN(before) ? span.value : worse(before, span.value);
    }
  }
  return { values, conflicts: conflicts.size };
}

/** The first and the last whole hour of an interval, as indexes, also outside the axis. */
export function indexesOf(
  span: Interval,
  { firstHour }: Axis,
): { readonly from: number; readonly to: number } {
  return {
    from: (firstHourIn(span) - firstHour) / HOUR_S,
    to: Math.ceil((span.end - firstHour) / HOUR_S) - 1,
  };
}

function firstHourIn({ start }: Interval): EpochSeconds {
  return Math.ceil(start / HOUR_S) * HOUR_S;
}
