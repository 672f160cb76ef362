import { HOUR_S, parseInstant, type EpochSeconds } from '../../quantity/instant.ts';
import type { Forecast } from '../../weather/forecast.ts';
import { plausible, scaleOf } from './unit-parse.ts';
import { hourlyWire, periodWire } from './wire.ts';

/** Fewer hours in common tell nothing. */
const LEAST_COMMON_HOURS = 12;
/** The two are made from one grid, so that they differ by their rounding to whole degrees only. */
const LARGEST_DIFFERENCE_K = 2;
/** A mistake in the times is at most the offset of a zone: from Guam to Hawaii no more than 10 h. */
const LARGEST_SHIFT_H = 14;
/** A shift explains a difference when it brings it to half or less, and by this at least: one whole °F. */
const LEAST_GAIN_K = 0.5;

/** Temperatures [°C] of the hourly forecast by the start of their hour; null for another shape. */
export function parseHourly(value: unknown): ReadonlyMap<EpochSeconds, number> | null {
  const wire = hourlyWire.safeParse(value);
  if (!wire.success) return null;
  const hours = new Map<EpochSeconds, number>();
  for (const entry of wire.data.properties.periods) {
    const period = periodWire.safeParse(entry);
    if (!period.success) continue;
    const { startTime, temperature, temperatureUnit } = period.data;
    // Offsets change within the list when clocks do.
    const start = parseInstant(startTime);
    const { value: shown, unitCode } =
      typeof temperature === 'number'
        ? { value: temperature, unitCode: unitOf(temperatureUnit) }
        : temperature;
    const scale = scaleOf('temperature', unitCode);
    if (start === null || scale === null || shown === null) continue;
    const temperatureC = plausible('temperature', scale(shown));
    if (!Number.isNaN(temperatureC)) hours.set(start, temperatureC);
  }
  return hours;
}

function unitOf(letter: string | undefined): string {
  return `deg${letter ?? ''}`;
}

/**
 * What is to be said when the hourly forecast does not agree with the grid that it is made from; null when it does.
 * It never replaces a value.
 */
export function comparison(
  { firstHour, members }: Forecast,
  hourly: ReadonlyMap<EpochSeconds, number>,
  now: EpochSeconds,
): string | null {
  const grid = members[0]?.temperatureC ?? [];
  /** Median distance when the hourly forecast is read so many hours earlier. */
  const distance = (shiftH: number): { readonly hours: number; readonly medianK: number } => {
    const found: number[] = [];
    for (const [hour, temperatureC] of hourly) {
      const at = grid[(hour - firstHour) / HOUR_S - shiftH] ?? Number.NaN;
      if (hour + HOUR_S > now && !Number.isNaN(at)) found.push(Math.abs(at - temperatureC));
    }
    return { hours: found.length, medianK: found.length < LEAST_COMMON_HOURS ? Infinity : median(found) };
  };
  const asIs = distance(0);
  if (asIs.hours < LEAST_COMMON_HOURS) {
    return 'Its hourly forecast has too few hours in common with its grid for the two to be compared.';
  }
  const best = shifts()
    .map((shiftH) => ({ shiftH, ...distance(shiftH) }))
    .reduce((x, y) => (y.medianK < x.medianK ? y : x));
  const off = `Its hourly forecast differs from its grid by ${asIs.medianK.toFixed(1)} K in the median of ${asIs.hours} hours`;
  if (best.medianK <= asIs.medianK / 2 && asIs.medianK - best.medianK >= LEAST_GAIN_K) {
    const mistake = `${Math.abs(best.shiftH)} h too ${best.shiftH > 0 ? 'late' : 'early'}`;
    return `${off}, as if its times were ${mistake}: one of the two has a mistake in its times. The grid is used.`;
  }
  return asIs.medianK > LARGEST_DIFFERENCE_K ? `${off}. The grid is used.` : null;
}

/** Nearest first, so that of equals the smallest is named. */
function shifts(): readonly number[] {
  return Array.from({ length: LARGEST_SHIFT_H }, (_, i) => [i + 1, -i - 1]).flat();
}

function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  const upper = sorted[middle] ?? Number.NaN;
  return sorted.length % 2 === 1 ? upper : (upper + (sorted[middle - 1] ?? Number.NaN)) / 2;
}
