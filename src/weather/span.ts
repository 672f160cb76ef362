import { SourceError } from '../errors.ts';
import { HOUR_S, floorToHour, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast, ForecastMember } from './forecast.ts';

/** Past hours that the model starts from. */
export const PAST_HOURS = 72;
/** Up to this many missing hours between two known ones are interpolated; more are unknown. */
const LONGEST_GAP_HOURS = 2;

/** Hours in a row around now, all of them known in every member. Values per hour, from `firstHour`. */
export interface Span {
  readonly firstHour: EpochSeconds;
  readonly hours: number;
  /** It ends at a hole, behind which more is known. */
  readonly endsAtHole: boolean;
  readonly members: readonly SpanMember[];
  /** By hour: it was unknown in some member, and interpolated. */
  readonly interpolated: readonly boolean[];
  /** Whether hours were interpolated, members dropped, and the like: full sentences. */
  readonly assumptions: readonly string[];
}

export interface SpanMember {
  readonly weight: number;
  /** The model whose ensemble it is of; null: a single forecast. */
  readonly model: string | null;
  /** Height of its own grid cell; null: the forecast's. */
  readonly gridElevationM: number | null;
  readonly temperatureC: Float64Array;
  /** NaN where unknown. */
  readonly windSpeedMps: Float64Array;
  readonly cloudPercent: Float64Array;
  readonly soilTemperatureC: Float64Array;
}

export interface SpanRequest {
  readonly forecast: Forecast;
  readonly now: EpochSeconds;
  readonly horizonHours: number;
}

/**
 * Cuts the usable stretch out of a forecast: from 72 h before now, as far as it is known without a hole, to
 * the horizon. An hour is known when every member knows it.
 *
 * @throws SourceError `forecast-empty` if the present hour is not known, `forecast-stale` if all of it is past.
 */
export function usableSpan({ forecast, now, horizonHours }: SpanRequest): Span {
  const assumptions: string[] = [];
  const alive = forecast.members.filter((m) => m.temperatureC.some((t) => !Number.isNaN(t)));
  if (alive.length === 0) throw empty(forecast, 'it holds no temperature at all');
  const dead = forecast.members.length - alive.length;
  if (dead > 0)
    assumptions.push(`${dead} of ${forecast.members.length} members hold no temperature and are left out.`);
  const filled = alive.map((m) => fillGaps(m.temperatureC));
  if (filled.some((f) => f.filled > 0)) assumptions.push('Single missing hours were interpolated.');
  const known = (i: number): boolean => filled.every((f) => !Number.isNaN(f.values[i] ?? Number.NaN));
  const present = presentIndex(forecast, now, known);
  let from = present;
  while (from > 0 && present - from < PAST_HOURS && known(from - 1)) from--;
  let to = present;
  while (known(to + 1) && (forecast.whole || to - present < horizonHours)) to++;
  if (forecast.firstHour + to * HOUR_S <= now)
    throw new SourceError('forecast-stale', `${forecast.source}: its last hour has passed.`, {
      retryable: true,
    });
  const length = forecast.members[0]?.temperatureC.length ?? 0;
  const knownAfter = (i: number): boolean => {
    for (let k = i; k < length; k++) if (known(k)) return true;
    return false;
  };
  if (present - from < PAST_HOURS)
    assumptions.push(
      'Less than 72 h of the past is known: whether it froze before that cannot be told, and is taken as not so.',
    );
  const cut = (values: readonly number[] | null): Float64Array =>
    Float64Array.from({ length: to - from + 1 }, (_, i) => values?.[from + i] ?? Number.NaN);
  return {
    firstHour: forecast.firstHour + from * HOUR_S,
    hours: to - from + 1,
    endsAtHole: (forecast.whole || to - present < horizonHours) && knownAfter(to + 1),
    members: alive.map((m, i) => ({ ...cutMember(m, cut), temperatureC: cut(filled[i]?.values ?? null) })),
    interpolated: Array.from({ length: to - from + 1 }, (_, i) =>
      alive.some((m) => Number.isNaN(m.temperatureC[from + i] ?? Number.NaN)),
    ),
    assumptions,
  };
}

function cutMember(
  member: ForecastMember,
  cut: (values: readonly number[] | null) => Float64Array,
): Omit<SpanMember, 'temperatureC'> {
  return {
    weight: member.weight,
    model: member.model ?? null,
    gridElevationM: member.gridElevationM ?? null,
    windSpeedMps: cut(member.windSpeedMps),
    cloudPercent: cut(member.cloudPercent),
    soilTemperatureC: cut(member.soilTemperatureC),
  };
}

function presentIndex(forecast: Forecast, now: EpochSeconds, known: (i: number) => boolean): number {
  const index = (floorToHour(now) - forecast.firstHour) / HOUR_S;
  if (index >= 0 && known(index)) return index;
  // A series that begins within the next hours is taken to begin now: its first hours are all there is.
  for (let ahead = 1; ahead <= LONGEST_GAP_HOURS; ahead++) {
    if (index + ahead >= 0 && known(index + ahead)) return index + ahead;
  }
  const length = forecast.members[0]?.temperatureC.length ?? 0;
  if (index >= length)
    throw new SourceError('forecast-stale', `${forecast.source}: its last hour has passed.`, {
      retryable: true,
    });
  throw empty(forecast, 'the present hour is unknown');
}

function empty(forecast: Forecast, what: string): SourceError {
  return new SourceError('forecast-empty', `${forecast.source}: ${what}.`, { retryable: true });
}

/** Interpolates holes of one or two hours between known ones; leaves the rest unknown. */
export function fillGaps(values: readonly number[]): { readonly values: number[]; readonly filled: number } {
  const result = [...values];
  let filled = 0;
  let last = -1;
  for (let i = 0; i < result.length; i++) {
    const value = result[i] ?? Number.NaN;
    if (Number.isNaN(value)) continue;
    const gap = i - last - 1;
    if (last >= 0 && gap > 0 && gap <= LONGEST_GAP_HOURS) {
      const start = result[last] ?? Number.NaN;
      for (let k = 1; k <= gap; k++) result[last + k] = start + ((value - start) * k) / (gap + 1);
      filled += gap;
    }
    last = i;
  }
  return { values: result, filled };
}
