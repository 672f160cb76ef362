/** What a message draws and says of its unit's weather beside the answer: courses, and what the first part can take. */
import type { Config, PlaceConfig } from '../config/config.ts';
import { daylightBetween, type Interval } from '../decision/daylight.ts';
import type { CourseFacts, ExtraFacts, LimitFacts } from '../message/extra-facts.ts';
import { harmOf } from '../model/damage.ts';
import { circuitState } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import type { UnitEvaluation } from './evaluate.ts';
import { sustainedRule } from './risk-question.ts';

/** Eight members of ten lie between. */
const LOW_SHARE = 0.1;
const HIGH_SHARE = 0.9;

/** What all units of a place have in common: computed once for each outlook. */
export class PlaceCourses {
  readonly #courses = new Map<Outlook, Omit<CourseFacts, 'zone'>>();

  of(outlook: Outlook, place: PlaceConfig, now: EpochSeconds): Omit<CourseFacts, 'zone'> {
    const known = this.#courses.get(outlook) ?? placeCourse(outlook, place, now);
    this.#courses.set(outlook, known);
    return known;
  }
}

function placeCourse(outlook: Outlook, place: PlaceConfig, now: EpochSeconds): Omit<CourseFacts, 'zone'> {
  const first = firstAhead(outlook, now);
  const hours = Array.from({ length: Math.max(0, outlook.hours - first) }, (_, i) => first + i);
  const times = hours.map((hour) => outlook.firstHour + hour * HOUR_S);
  const [from, to] = [times[0] ?? now, times.at(-1) ?? now];
  const bands = hours.map((hour) => bandAt(outlook, hour));
  return {
    times,
    middleC: hours.map((hour) => hundredth(outlook.members[outlook.middle]?.temperatureC[hour])),
    lowC: bands.map(([low]) => hundredth(low)),
    highC: bands.map(([, high]) => hundredth(high)),
    nights: between(daylightBetween(place, from, to), from, to),
  };
}

/** The hour that has begun is drawn whole. */
function firstAhead({ firstHour }: Outlook, now: EpochSeconds): number {
  return Math.max(0, Math.floor((now - firstHour) / HOUR_S));
}

function bandAt({ members }: Outlook, hour: number): readonly [number | undefined, number | undefined] {
  const ranked = members
    .map(({ weight, temperatureC }) => ({ weight, value: temperatureC[hour] ?? Number.NaN }))
    .toSorted((a, b) => a.value - b.value);
  const total = ranked.reduce((sum, { weight }) => sum + weight, 0);
  let sum = 0;
  let low: number | undefined;
  for (const { weight, value } of ranked) {
    sum += weight;
    if (low === undefined && sum >= LOW_SHARE * total - 1e-12) low = value;
    if (sum >= HIGH_SHARE * total - 1e-12) return [low, value];
  }
  return [low, ranked.at(-1)?.value];
}

/** A message is kept for weeks: no finer than anybody reads it. */
function hundredth(value: number | undefined): number {
  return Math.round(100 * (value ?? Number.NaN)) / 100;
}

/** What the stretches leave of a span. */
function between(stretches: readonly Interval[], from: EpochSeconds, to: EpochSeconds): Interval[] {
  const edges = [from, ...stretches.flatMap(({ start, end }) => [start, end]), to];
  return Array.from({ length: edges.length / 2 }, (_, i) => ({
    start: edges[2 * i] ?? to,
    end: edges[2 * i + 1] ?? to,
  })).filter(({ start, end }) => end > start);
}

export interface ToldAt {
  readonly config: Config;
  readonly courses: PlaceCourses;
  readonly now: EpochSeconds;
}

export function extraFacts(evaluated: UnitEvaluation, { config, courses, now }: ToldAt): ExtraFacts {
  const { unit, place, assessment } = evaluated;
  const { outlook } = place;
  const course = outlook === null || assessment === null ? null : courses.of(outlook, place.place, now);
  return {
    travelMinutes: unit.work.travelMinutes,
    drainedBears: config.policy.sustained,
    limit: limitOf(config, evaluated),
    course: course === null ? null : { ...course, zone: zoneOf(evaluated, course.times, now) },
    ...(assessment === null ? {} : { chanceAhead: assessment.chanceAhead }),
  };
}

/** The air round the part that goes first, where that is not the air outside. */
function zoneOf(
  { unit, assessment, place }: UnitEvaluation,
  times: readonly EpochSeconds[],
  now: EpochSeconds,
): CourseFacts['zone'] {
  const part = unit.model.parts.find(({ id }) => id === assessment?.firstPart);
  if (part === undefined || part.zone === 'outside' || place.outlook === null) return null;
  const values = assessment?.middle.zones.find(({ zone }) => zone === part.zone)?.temperatureC;
  if (values === undefined) return null;
  const first = firstAhead(place.outlook, now);
  return { id: part.zone, temperatureC: times.map((_, i) => hundredth(values[first + i])) };
}

function limitOf({ policy }: Config, { unit, water, assessment }: UnitEvaluation): LimitFacts | null {
  const part = unit.model.parts.find(({ id }) => id === assessment?.firstPart);
  const course = assessment?.middle.parts.find((one) => one.part.id === part?.id);
  if (part === undefined || course === undefined) return null;
  const harm = harmOf(part, circuitState(water, part.circuit).state, sustainedRule({ policy }));
  if (harm === null) return null;
  if (harm.kind === 'cold') return harm;
  return { kind: 'ice', kelvinHours: course.budget.blocked, inWind: part.windShare > 0 };
}
