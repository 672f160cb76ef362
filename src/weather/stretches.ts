/** Where each hour's temperature comes from, and how old it is: hours alike in a row. */
import { HOUR_S, floorToHour, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from './forecast.ts';
import { PAST_HOURS, type Span } from './span.ts';

export interface Stretch {
  /** First and last hour. */
  readonly from: EpochSeconds;
  readonly to: EpochSeconds;
  readonly source: string;
  /** Null: not said, or of an hour that was kept. */
  readonly issuedAt: EpochSeconds | null;
  readonly what: 'forecast' | 'kept past' | 'interpolated' | 'between steps' | 'unknown';
}

export interface Told {
  readonly forecast: Forecast;
  readonly span: Span;
  readonly now: EpochSeconds;
  readonly horizonHours: number;
  /** By hour of the forecast: it lies between two steps of the service. */
  readonly between: readonly boolean[];
}

/** From 72 h before now, or the first known hour, to the horizon or the end of a whole series. */
export function stretchesOf(told: Told): Stretch[] {
  const { forecast, span, now, horizonHours } = told;
  const lastKnown = span.firstHour + (span.hours - 1) * HOUR_S;
  const wanted = forecast.whole
    ? forecast.firstHour + ((forecast.members[0]?.temperatureC.length ?? 0) - 1) * HOUR_S
    : floorToHour(now) + horizonHours * HOUR_S;
  const start = Math.min(span.firstHour, floorToHour(now) - PAST_HOURS * HOUR_S);
  const result: Stretch[] = [];
  for (let hour = start; hour <= Math.max(lastKnown, wanted); hour += HOUR_S) {
    const next = { from: hour, to: hour, ...originOf(hour, told) };
    const last = result.at(-1);
    if (last === undefined || !alike(last, next)) result.push(next);
    else result[result.length - 1] = { ...last, to: hour };
  }
  return result;
}

function alike(a: Stretch, b: Stretch): boolean {
  return a.what === b.what && a.source === b.source && a.issuedAt === b.issuedAt;
}

function originOf(
  hour: EpochSeconds,
  { forecast, span, between }: Told,
): Pick<Stretch, 'source' | 'issuedAt' | 'what'> {
  const { source, issuedAt, firstHour, ownFrom, pastSources } = forecast;
  const inSpan = (hour - span.firstHour) / HOUR_S;
  const inForecast = (hour - firstHour) / HOUR_S;
  if (inSpan < 0 || inSpan >= span.hours) return { source, issuedAt, what: 'unknown' };
  if (span.interpolated[inSpan] === true) return { source, issuedAt, what: 'interpolated' };
  if (ownFrom !== undefined && hour < ownFrom)
    return { source: pastSources?.[inForecast] ?? source, issuedAt: null, what: 'kept past' };
  return { source, issuedAt, what: between[inForecast] === true ? 'between steps' : 'forecast' };
}
