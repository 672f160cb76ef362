/**
 * Forecasts of two or more sources for one place, held against each other at the same hours and for the same height.
 * A fault of one source (other units, another place, a broken run) shows as a lasting difference that no two forecasts
 * of the same air have. Limits: engineering estimates; errors of a day's lead have a deviation of 1 to 2 K.
 */
import { SourceError } from '../errors.ts';
import { DAY_S, HOUR_S, floorToHour, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from './forecast.ts';
import { neverWarmingK } from './height.ts';
import type { Spot } from './local-correction.ts';

const AHEAD_HOURS = 72;
/** Lows further apart than this are said [K]. */
const SAID_K = 3;
/** Medians of the difference over common hours [K]: beyond, two contradict; within, two agree. */
const CONTRADICTS_K = 8;
const AGREES_K = 4;
/** Cold air that one source knows and two do not is not deeper than this by day and by night alike [K]. */
const FAR_COLDER_K = 20;
/** Fewer common hours judge nothing: 12 are 72 h in steps of 6. */
const LEAST_HOURS = 12;
const LEAST_NIGHT_HOURS = 2;
const NIGHTS = ['first', 'second', 'third'];

export interface Comparison {
  /** Lows that differ, and what follows from it: full sentences. */
  readonly sentences: readonly string[];
  readonly verdict: Verdict;
  /** Half of what the lows of the one in use are warmer than another's, where that is said; else 0 [K]. */
  readonly disagreementK: number;
}

export type Verdict =
  | { readonly kind: 'use'; readonly index: number }
  /** Two others that agree are colder than the first, or it is colder than anything that gathers: it is not to be used. */
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
  const courses = forecasts.map((f) => courseOf(f, firstHour, { ...spot, elevationM: heightM ?? null }));
  const nights = nightsOf(spot, firstHour);
  const lows = nights.map((hours) => lowsOf(courses, hours));
  const said = lows.flatMap((night, n) => nightSentence(courses, night, NIGHTS[n] ?? ''));
  const { verdict, sentences } = judged(courses, nights);
  const disagreementK = verdict.kind === 'use' ? behindK(verdict.index, { courses, lows, nights }) : 0;
  return { sentences: [...said, ...sentences], verdict, disagreementK };
}

type Nights = readonly (readonly number[])[];

function judged(courses: readonly Course[], nights: Nights): Pick<Comparison, 'sentences' | 'verdict'> {
  const [first, ...others] = courses;
  const against = others.filter((o) => first !== undefined && differenceK(first, o) > CONTRADICTS_K);
  const stays = { kind: 'use', index: 0 } as const;
  if (first === undefined || against.length === 0) return { sentences: [], verdict: stays };
  const pair = agreeing(against);
  if (pair.length > 0) {
    const off = `by more than ${inKelvin(CONTRADICTS_K)} most of the time`;
    const whom = `${listed(pair)}, which agree`;
    if (pair.every((o) => mayBePool(first, o, nights))) {
      const words = `${first.source} is colder than ${whom}, ${off}: it is used all the same, since it may know of cold air that gathers there. Look at a thermometer at the place.`;
      return { sentences: [words], verdict: stays };
    }
    const words = `${first.source} is off ${off} from ${whom}: it is not used.`;
    const error = new SourceError('forecast-implausible', words, {
      retryable: true,
      hint: 'Check the coordinates of the place; if they are right, the service errs for now.',
    });
    return { sentences: [], verdict: { kind: 'refuse', error } };
  }
  if (against.length < others.length) return { sentences: [], verdict: stays };
  const index = coldest(courses, nights);
  const words = `${first.source} and ${listed(others)} contradict each other by more than ${inKelvin(CONTRADICTS_K)} most of the time: the one with the colder nights is used, ${courses[index]?.source ?? ''}. Look at a thermometer at the place.`;
  return { sentences: [words], verdict: { kind: 'use', index } };
}

/** Its nights are the colder ones, by no more than a cold pool can hold. */
function mayBePool(one: Course, other: Course, nights: Nights): boolean {
  return medianOffK(one, other, nights.flat()) < 0 && !isFarColder(one, other, nights);
}

function isFarColder(one: Course, other: Course, nights: Nights): boolean {
  const dark = new Set(nights.flat());
  const days = one.values.map((_, i) => i).filter((i) => !dark.has(i));
  return [[...dark], days].every((hours) => medianOffK(one, other, hours) < -FAR_COLDER_K);
}

/** Half of how far the nights of the one in use are above the lowest that another says, and that can be believed. */
function behindK(
  used: number,
  { courses, lows, nights }: { courses: readonly Course[]; lows: readonly Lows[]; nights: Nights },
): number {
  const own = courses[used];
  if (own === undefined) return 0;
  const isOutvoted = (c: Course): boolean =>
    isFarColder(c, own, nights) && courses.some((o) => o !== own && differenceK(o, own) <= AGREES_K);
  const heard = courses.map((c) => c === own || !isOutvoted(c));
  const warmer = lows.map((night) => {
    const others = night.filter((low, i) => heard[i] === true && !Number.isNaN(low));
    const K = (night[used] ?? Number.NaN) - Math.min(...others);
    return K > SAID_K ? K : 0;
  });
  return Math.max(0, ...warmer) / 2;
}

function courseOf(forecast: Forecast, firstHour: EpochSeconds, spot: Spot): Course {
  const single = forecast.members.filter((m) => m.model === undefined);
  const members = single.length > 0 ? single : forecast.members;
  const total = members.reduce((sum, m) => sum + m.weight, 0);
  const offset = (firstHour - forecast.firstHour) / HOUR_S;
  const shift = neverWarmingK(forecast, spot);
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

/** Of one night at the hours that all know who know enough of it, by course [°C]; NaN: it does not, or none do. */
type Lows = readonly number[];

function lowsOf(courses: readonly Course[], hours: readonly number[]): Lows {
  const known = courses.filter((c) => knownHours([c], hours).length >= LEAST_NIGHT_HOURS);
  const common = knownHours(known, hours);
  const isJudged = known.length > 1 && common.length >= LEAST_NIGHT_HOURS;
  return courses.map((c) => (isJudged && known.includes(c) ? lowOf(c, common) : Number.NaN));
}

function nightSentence(courses: readonly Course[], lows: Lows, name: string): string[] {
  const told = lows.filter((low) => !Number.isNaN(low));
  if (told.length === 0 || Math.max(...told) - Math.min(...told) <= SAID_K) return [];
  const words = courses.flatMap(({ source }, i) => {
    const lowC = lows[i] ?? Number.NaN;
    return Number.isNaN(lowC) ? [] : [`${source} ${degrees(lowC)} °C (${degrees(1.8 * lowC + 32)} °F)`];
  });
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
  const off = offsK(
    a,
    b,
    a.values.map((_, i) => i),
  );
  return off.length < LEAST_HOURS ? Number.NaN : median(off.map(Math.abs));
}

/** By how much the one is the warmer [K], at the hours that both know; NaN: there are none. */
function medianOffK(one: Course, other: Course, hours: readonly number[]): number {
  return median(offsK(one, other, hours));
}

function offsK(a: Course, b: Course, hours: readonly number[]): number[] {
  return knownHours([a, b], hours).map((i) => (a.values[i] ?? Number.NaN) - (b.values[i] ?? Number.NaN));
}

function median(values: readonly number[]): number {
  return values.toSorted((x, y) => x - y)[Math.floor(values.length / 2)] ?? Number.NaN;
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
function coldest(courses: readonly Course[], nights: Nights): number {
  const every = courses[0]?.values.map((_, i) => i) ?? [];
  const common = nights.map((hours) => knownHours(courses, hours)).filter((hours) => hours.length > 0);
  const stretches = common.length > 0 ? common : [knownHours(courses, every)];
  const lows = courses.map((c) => stretches.reduce((sum, hours) => sum + lowOf(c, hours), 0));
  return lows.indexOf(Math.min(...lows));
}

function listed(courses: readonly Course[]): string {
  return courses.map((c) => c.source).join(' and ');
}

function inKelvin(K: number): string {
  return `${K} K (${1.8 * K} °F)`;
}

/** To the tenth, with a true minus sign. */
function degrees(value: number): string {
  const shown = Math.round(10 * value) / 10 + 0;
  return `${shown < 0 ? '−' : ''}${Math.abs(shown)}`;
}
