/**
 * Forecasts of two or more sources for one place, held against each other at the same hours and for the same height.
 * A fault of one source (other units, another place, a broken run) shows as a lasting difference that no two forecasts
 * of the same air have. Limits: engineering estimates; errors of a day's lead have a deviation of 1 to 2 K.
 */
import { SourceError } from '../errors.ts';
import { DAY_S, HOUR_S, floorToHour, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from './forecast.ts';
import { toHeightK } from './height.ts';
import type { Spot } from './local-correction.ts';

const AHEAD_HOURS = 72;
/** Lows further apart than this are said [K]. */
const SAID_K = 3;
/** Medians of the difference over common hours [K]: beyond, two contradict; within, two agree. */
const CONTRADICTS_K = 8;
const AGREES_K = 4;
/** Fewer common hours judge nothing: 12 are 72 h in steps of 6. */
const LEAST_HOURS = 12;
const LEAST_NIGHT_HOURS = 2;
const NIGHTS = ['first', 'second', 'third'];

export interface Comparison {
  /** Lows that differ, and what follows from it: full sentences. */
  readonly sentences: readonly string[];
  readonly verdict: Verdict;
}

export type Verdict =
  | { readonly kind: 'use'; readonly index: number }
  /** Two others agree against the first: it is not to be used. */
  | { readonly kind: 'refuse'; readonly error: SourceError };

/** By hour of the next days [°C], NaN where unknown. */
interface Course {
  readonly source: string;
  readonly values: readonly number[];
}

/** @param forecasts - the first is the one in use; all usable now, none from the same source as another */
export function compareForecasts(
  forecasts: readonly Forecast[],
  { spot, now }: { readonly spot: Spot; readonly now: EpochSeconds },
): Comparison {
  const heightM = spot.elevationM ?? forecasts.find((f) => f.gridElevationM !== undefined)?.gridElevationM;
  const firstHour = floorToHour(now) + HOUR_S;
  const courses = forecasts.map((f) => courseOf(f, firstHour, heightM ?? null));
  const nights = nightsOf(spot, firstHour);
  const said = nights.flatMap((hours, night) => nightSentence(courses, hours, NIGHTS[night] ?? ''));
  const [first, ...others] = courses;
  const apart = others.map((o) => (first === undefined ? Number.NaN : differenceK(first, o)));
  const against = others.filter((_, i) => (apart[i] ?? Number.NaN) > CONTRADICTS_K);
  if (first === undefined || against.length === 0)
    return { sentences: said, verdict: { kind: 'use', index: 0 } };
  const [one, two] = agreeing(against);
  if (one !== undefined && two !== undefined) {
    const words = `${first.source} is off by more than ${CONTRADICTS_K} K (${1.8 * CONTRADICTS_K} °F) most of the time from ${one.source} and ${two.source}, which agree: it is not used.`;
    const error = new SourceError('forecast-implausible', words, {
      retryable: true,
      hint: 'Check the coordinates of the place; if they are right, the service errs for now.',
    });
    return { sentences: said, verdict: { kind: 'refuse', error } };
  }
  if (against.length < others.length) return { sentences: said, verdict: { kind: 'use', index: 0 } };
  const index = coldest(courses, nights);
  const words = `${first.source} and ${listed(others)} contradict each other by more than ${CONTRADICTS_K} K (${1.8 * CONTRADICTS_K} °F) most of the time: the one with the colder nights is used, ${courses[index]?.source ?? ''}. Look at a thermometer at the place.`;
  return { sentences: [...said, words], verdict: { kind: 'use', index } };
}

function courseOf(forecast: Forecast, firstHour: EpochSeconds, heightM: number | null): Course {
  const single = forecast.members.filter((m) => m.model === undefined);
  const members = single.length > 0 ? single : forecast.members;
  const total = members.reduce((sum, m) => sum + m.weight, 0);
  const offset = (firstHour - forecast.firstHour) / HOUR_S;
  const shift = toHeightK(forecast, heightM);
  const values = Array.from(
    { length: AHEAD_HOURS },
    (_, i) =>
      members.reduce((sum, m) => sum + (m.weight / total) * (m.temperatureC[i + offset] ?? Number.NaN), 0) +
      shift,
  );
  return { source: forecast.source, values };
}

/** From 18 to 9 by the sun, as indexes of hours ahead. */
function nightsOf({ longitude }: Spot, firstHour: EpochSeconds): number[][] {
  const byNight = new Map<number, number[]>();
  for (let i = 0; i < AHEAD_HOURS; i++) {
    const sinceNoon = firstHour + i * HOUR_S + (longitude / 15) * HOUR_S - DAY_S / 2;
    const night = Math.floor(sinceNoon / DAY_S);
    const hour = (sinceNoon - night * DAY_S) / HOUR_S;
    if (hour >= 6 && hour <= 21) byNight.set(night, [...(byNight.get(night) ?? []), i]);
  }
  return [...byNight.values()].slice(0, NIGHTS.length);
}

function nightSentence(courses: readonly Course[], hours: readonly number[], name: string): string[] {
  const known = courses.filter((c) => knownHours([c], hours).length >= LEAST_NIGHT_HOURS);
  const common = knownHours(known, hours);
  if (known.length < 2 || common.length < LEAST_NIGHT_HOURS) return [];
  const lows = known.map((c) => ({ source: c.source, lowC: lowOf(c, common) }));
  const all = lows.map((l) => l.lowC);
  if (Math.max(...all) - Math.min(...all) <= SAID_K) return [];
  const words = lows.map(
    ({ source, lowC }) => `${source} ${degrees(lowC)} °C (${degrees(1.8 * lowC + 32)} °F)`,
  );
  return [`The lows of the ${name} night from now differ: ${words.join(', ')}.`];
}

function knownHours(courses: readonly Course[], hours: readonly number[]): number[] {
  return hours.filter((i) => courses.every((c) => !Number.isNaN(c.values[i] ?? Number.NaN)));
}

function lowOf(course: Course, hours: readonly number[]): number {
  return Math.min(...hours.map((i) => course.values[i] ?? Number.NaN));
}

/** Median of the absolute difference [K]; NaN with too few hours in common. */
function differenceK(a: Course, b: Course): number {
  const off = a.values
    .map((t, i) => Math.abs(t - (b.values[i] ?? Number.NaN)))
    .filter((k) => !Number.isNaN(k))
    .toSorted((x, y) => x - y);
  return off.length < LEAST_HOURS ? Number.NaN : (off[Math.floor(off.length / 2)] ?? Number.NaN);
}

/** The first two that agree. */
function agreeing(courses: readonly Course[]): readonly Course[] {
  for (const [i, one] of courses.entries()) {
    const two = courses.slice(i + 1).find((c) => differenceK(one, c) <= AGREES_K);
    if (two !== undefined) return [one, two];
  }
  return [];
}

/** By the mean of the nights' lows at the hours that all know, or the lowest of them where there is no night. */
function coldest(courses: readonly Course[], nights: readonly (readonly number[])[]): number {
  const every = courses[0]?.values.map((_, i) => i) ?? [];
  const common = nights.map((hours) => knownHours(courses, hours)).filter((hours) => hours.length > 0);
  const stretches = common.length > 0 ? common : [knownHours(courses, every)];
  const lows = courses.map((c) => stretches.reduce((sum, hours) => sum + lowOf(c, hours), 0));
  return lows.indexOf(Math.min(...lows));
}

function listed(courses: readonly Course[]): string {
  return courses.map((c) => c.source).join(' and ');
}

/** To the tenth, with a true minus sign. */
function degrees(value: number): string {
  const shown = Math.round(10 * value) / 10 + 0;
  return `${shown < 0 ? '−' : ''}${Math.abs(shown)}`;
}
