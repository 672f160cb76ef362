/**
 * The usable stretch where a forecast holds ensembles beside the single forecast. Each ends where it ends: the pool
 * goes as far as the longest of them.
 */
import { SourceError } from '../errors.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { ForecastMember } from './forecast.ts';
import { fillGaps, usableSpan, type Span, type SpanMember, type SpanRequest } from './span.ts';

/** What ends sooner tells too little of the nights that advice is for. */
const SHORTEST_HOURS = 72;
const DAY_HOURS = 24;

/** Members of one model, or those without: of a single forecast, or of the user's own file. */
function byModel<T extends { readonly model?: string }>(members: readonly T[]): T[][] {
  const groups = new Map<string | null, T[]>();
  for (const member of members) {
    const model = member.model ?? null;
    groups.set(model, [...(groups.get(model) ?? []), member]);
  }
  return [...groups.values()];
}

/**
 * As `usableSpan`, model by model. From the end of a model that ends sooner, its members follow the longest one's
 * mean, as far off it as they were at that hour of the day in their last 24 h: models differ by day and by night.
 *
 * @throws SourceError when none of them is usable now.
 */
export function pooledSpan(request: SpanRequest): Span {
  const groups = byModel(request.forecast.members);
  if (groups.length <= 1 && groups[0]?.[0]?.model === undefined) return usableSpan(request);
  const said: string[] = [];
  const spans: Span[] = [];
  const errors: SourceError[] = [];
  for (const group of groups) {
    try {
      const members = withoutLaggards(group, request, said);
      spans.push(usableSpan({ ...request, forecast: { ...request.forecast, members } }));
    } catch (error) {
      if (!(error instanceof SourceError)) throw error;
      errors.push(error);
      said.push(`${nameOf(group[0]?.model ?? null)} is left out: ${error.message}`);
    }
  }
  const [longest] = spans.toSorted((a, b) => endOf(b) - endOf(a));
  if (longest === undefined) throw errors[0] ?? new SourceError('forecast-empty', 'There is no forecast.');
  const least = Math.min(endOf(longest), request.now + SHORTEST_HOURS * HOUR_S);
  const kept = spans.filter((s) => endOf(s) >= least);
  for (const span of spans)
    if (!kept.includes(span))
      said.push(`${nameOf(modelOf(span))} ends within ${SHORTEST_HOURS} h and is left out.`);
  return joined(kept, longest, said);
}

function joined(spans: readonly Span[], longest: Span, said: readonly string[]): Span {
  const firstHour = Math.max(...spans.map((s) => s.firstHour));
  const hours = (endOf(longest) - firstHour) / HOUR_S + 1;
  const shorter = spans.filter((s) => endOf(s) < endOf(longest));
  const followed = shorter.map(
    (s) =>
      `${nameOf(modelOf(s))} ends after ${Math.round((endOf(s) - firstHour) / HOUR_S)} of ${hours - 1} h; from there its members follow the rest.`,
  );
  const reference = meanOf(longest.members);
  return {
    firstHour,
    hours,
    endsAtHole: longest.endsAtHole,
    members: spans.flatMap((span) =>
      span.members.map((member) => follow(member, { span, longest, reference, firstHour, hours })),
    ),
    interpolated: Array.from({ length: hours }, (_, i) =>
      spans.some((s) => s.interpolated[i + (firstHour - s.firstHour) / HOUR_S] === true),
    ),
    assumptions: [...new Set([...spans.flatMap((s) => s.assumptions), ...said, ...followed])],
  };
}

interface Course {
  readonly span: Span;
  readonly longest: Span;
  /** Mean of the longest's members. */
  readonly reference: Float64Array;
  readonly firstHour: EpochSeconds;
  readonly hours: number;
}

/** A member cut to the common start, and lengthened to the common end. */
function follow(member: SpanMember, { span, longest, reference, firstHour, hours }: Course): SpanMember {
  const own = (firstHour - span.firstHour) / HOUR_S;
  const others = (firstHour - longest.firstHour) / HOUR_S;
  const [other] = longest.members;
  const last = span.hours - 1 - own;
  const offAt = (i: number): number =>
    (member.temperatureC[i + own] ?? Number.NaN) - (reference[i + others] ?? Number.NaN);
  const sameHour = (i: number): number => i - DAY_HOURS * Math.ceil((i - last) / DAY_HOURS);
  const course = (pick: (m: SpanMember) => Float64Array): Float64Array =>
    Float64Array.from({ length: hours }, (_, i) =>
      i <= last ? (pick(member)[i + own] ?? Number.NaN) : ((other && pick(other)[i + others]) ?? Number.NaN),
    );
  return {
    ...member,
    temperatureC: Float64Array.from({ length: hours }, (_, i) =>
      i <= last
        ? (member.temperatureC[i + own] ?? Number.NaN)
        : (reference[i + others] ?? Number.NaN) + offAt(sameHour(i)),
    ),
    windSpeedMps: course((m) => m.windSpeedMps),
    cloudPercent: course((m) => m.cloudPercent),
    soilTemperatureC: course((m) => m.soilTemperatureC),
  };
}

function meanOf(members: readonly SpanMember[]): Float64Array {
  const total = members.reduce((sum, m) => sum + m.weight, 0);
  return Float64Array.from({ length: members[0]?.temperatureC.length ?? 0 }, (_, i) =>
    members.reduce((sum, m) => sum + (m.weight / total) * (m.temperatureC[i] ?? Number.NaN), 0),
  );
}

/** Members of a model that know less than half of their fellows do would cut them all short. */
function withoutLaggards(
  group: readonly ForecastMember[],
  { forecast, now }: SpanRequest,
  said: string[],
): ForecastMember[] {
  const model = group[0]?.model;
  if (model === undefined) return [...group];
  const present = Math.max(0, Math.floor((now - forecast.firstHour) / HOUR_S));
  const ends = group.map(({ temperatureC }) => {
    const hole = fillGaps(temperatureC).values.findIndex((t, i) => i >= present && Number.isNaN(t));
    return hole < 0 ? temperatureC.length : hole;
  });
  const usual = ends.toSorted((a, b) => b - a)[Math.floor((ends.length - 1) / 2)] ?? 0;
  const steady = group.filter((_, m) => (ends[m] ?? 0) >= usual);
  const left = group.length - steady.length;
  if (left > 0)
    said.push(`${left} of ${group.length} members of ${model} end sooner than the others and are left out.`);
  return steady;
}

function endOf({ firstHour, hours }: Span): EpochSeconds {
  return firstHour + (hours - 1) * HOUR_S;
}

function modelOf({ members }: Span): string | null {
  return members[0]?.model ?? null;
}

function nameOf(model: string | null): string {
  return model === null ? 'The single forecast' : `The ensemble ${model}`;
}
