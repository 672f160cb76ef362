/**
 * Cold in a zone, told from its hourly values taken as linear in between: degree-hours, lows, hours at or below
 * a temperature, spells.
 */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';

/** Hourly values from `start` (any instant; the first stretch may be shorter than an hour). */
export interface ZoneSeries {
  readonly times: readonly EpochSeconds[];
  readonly temperatureC: readonly number[];
}

export interface ColdStatistics {
  readonly minimumC: number;
  readonly minimumAt: EpochSeconds;
  readonly degreeHours: number;
  readonly longestHoursAtOrBelowMinus4C: number;
}

export interface ColdSpell {
  readonly start: EpochSeconds;
  readonly end: EpochSeconds;
  readonly degreeHours: number;
  readonly minimumC: number;
  readonly longestHoursAtOrBelowMinus4C: number;
}

export interface SampleCounts {
  readonly below0: number;
  readonly atOrBelowMinus4: number;
  readonly longestAtOrBelowMinus4: number;
}

const SUSTAINED_C = -4;

/** The part of hourly values from `from` on, with a value interpolated at `from` itself. */
export function seriesFrom(
  firstHour: EpochSeconds,
  values: ArrayLike<number>,
  from: EpochSeconds,
): ZoneSeries {
  const times: EpochSeconds[] = [];
  const temperatureC: number[] = [];
  for (let i = 0; i < values.length; i++) {
    const at = firstHour + i * HOUR_S;
    const value = values[i] ?? Number.NaN;
    if (at < from) {
      if (at + HOUR_S <= from || i + 1 >= values.length) continue;
      times.push(from);
      temperatureC.push(value + (((values[i + 1] ?? value) - value) * (from - at)) / HOUR_S);
      continue;
    }
    times.push(at);
    temperatureC.push(value);
  }
  return { times, temperatureC };
}

/** Stretches during which the series is at or below `levelC`, in time order. */
export function stretchesAtOrBelow(
  series: ZoneSeries,
  levelC: number,
): { start: EpochSeconds; end: EpochSeconds }[] {
  const stretches: { start: EpochSeconds; end: EpochSeconds }[] = [];
  let start: EpochSeconds | null = null;
  series.times.forEach((at, i) => {
    const value = series.temperatureC[i] ?? Number.NaN;
    if (start === null && value <= levelC) start = crossing(series, i, levelC);
    if (start !== null && value > levelC) {
      stretches.push({ start, end: crossing(series, i, levelC) });
      start = null;
    }
    if (start !== null && i === series.times.length - 1) stretches.push({ start, end: at });
  });
  return stretches;
}

/** Where the line into point i passes the level; the point itself for the first one. */
function crossing(series: ZoneSeries, i: number, levelC: number): EpochSeconds {
  const at = series.times[i] ?? Number.NaN;
  if (i === 0) return at;
  const before = series.times[i - 1] ?? at;
  const [from = 0, to = 0] = [series.temperatureC[i - 1], series.temperatureC[i]];
  return from === to ? at : before + ((levelC - from) / (to - from)) * (at - before);
}

function longestHours(series: ZoneSeries, levelC: number): number {
  return stretchesAtOrBelow(series, levelC).reduce((most, s) => Math.max(most, s.end - s.start), 0) / HOUR_S;
}

export function coldStatistics(series: ZoneSeries): ColdStatistics {
  let minimum = 0;
  series.temperatureC.forEach((t, i) => {
    if (t < (series.temperatureC[minimum] ?? Infinity)) minimum = i;
  });
  return {
    minimumC: series.temperatureC[minimum] ?? Number.NaN,
    minimumAt: series.times[minimum] ?? Number.NaN,
    degreeHours: degreeHoursBelow0(series),
    longestHoursAtOrBelowMinus4C: longestHours(series, SUSTAINED_C),
  };
}

function degreeHoursBelow0(series: ZoneSeries): number {
  let kelvinSeconds = 0;
  for (let i = 1; i < series.times.length; i++) {
    const width = (series.times[i] ?? 0) - (series.times[i - 1] ?? 0);
    const [from = 0, to = 0] = [series.temperatureC[i - 1], series.temperatureC[i]];
    if (from <= 0 && to <= 0) kelvinSeconds -= (width * (from + to)) / 2;
    else if (from < 0 || to < 0)
      kelvinSeconds += (width * Math.min(from, to) ** 2) / (2 * Math.abs(to - from));
  }
  return kelvinSeconds / HOUR_S;
}

/** Stretches below 0 °C that gather any cold. */
export function coldSpells(series: ZoneSeries): ColdSpell[] {
  return stretchesAtOrBelow(series, 0)
    .map(({ start, end }) => {
      const inside = within(series, start, end);
      const { minimumC, degreeHours, longestHoursAtOrBelowMinus4C } = coldStatistics(inside);
      return { start, end, degreeHours, minimumC, longestHoursAtOrBelowMinus4C };
    })
    .filter((spell) => spell.degreeHours > 0);
}

function within(series: ZoneSeries, start: EpochSeconds, end: EpochSeconds): ZoneSeries {
  const inner = series.times
    .map((at, i) => ({ at, t: series.temperatureC[i] ?? Number.NaN }))
    .filter((p) => p.at > start && p.at < end);
  const ends = (at: EpochSeconds): { at: EpochSeconds; t: number } => ({ at, t: interpolated(series, at) });
  const points = [ends(start), ...inner, ends(end)];
  return { times: points.map((p) => p.at), temperatureC: points.map((p) => p.t) };
}

function interpolated(series: ZoneSeries, at: EpochSeconds): number {
  const i = Math.max(
    1,
    series.times.findIndex((t) => t >= at),
  );
  const [t0 = at, t1 = at] = [series.times[i - 1], series.times[i]];
  const [from = 0, to = from] = [series.temperatureC[i - 1], series.temperatureC[i]];
  return t1 === t0 ? from : from + ((to - from) * (at - t0)) / (t1 - t0);
}

/** Hourly values counted as they are, from `from` on. */
export function sampleCounts(
  firstHour: EpochSeconds,
  values: ArrayLike<number>,
  from: EpochSeconds,
): SampleCounts {
  let below0 = 0;
  let atOrBelowMinus4 = 0;
  let longest = 0;
  let run = 0;
  for (let i = 0; i < values.length; i++) {
    if (firstHour + i * HOUR_S < from) continue;
    const value = values[i] ?? Number.NaN;
    if (value < 0) below0++;
    run = value <= SUSTAINED_C ? run + 1 : 0;
    if (run > 0) atOrBelowMinus4++;
    longest = Math.max(longest, run);
  }
  return { below0, atOrBelowMinus4, longestAtOrBelowMinus4: longest };
}
