/**
 * The weather of one place as the model takes it: members with weights that sum to 1, without holes, brought
 * to the place's own spot.
 */
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { errorDeviationK, standardErrors, type ErrorLaw } from './error-law.ts';
import type { Forecast } from './forecast.ts';
import { POOLING_K, correctionK, nightOf, type Spot } from './local-correction.ts';
import { groundUnder } from './ground.ts';
import { middleIndex } from './middle.ts';
import { usableSpan, type Span, type SpanMember } from './span.ts';

export interface Outlook {
  readonly source: string;
  readonly attribution: string | null;
  readonly issuedAt: EpochSeconds | null;
  readonly fetchedAt: EpochSeconds;
  /** The same for the same forecast, however often it is read. */
  readonly version: string;
  readonly firstHour: EpochSeconds;
  /** It ends at a hole, behind which more is known. */
  readonly endsAtHole: boolean;
  /** Number of hourly values. */
  readonly hours: number;
  readonly members: readonly OutlookMember[];
  /** Index of the middle member. */
  readonly middle: number;
  /** Smallest weight of a course of its own: chances below it cannot be told apart. */
  readonly resolution: number;
  readonly assumptions: readonly string[];
}

export interface OutlookMember {
  readonly weight: number;
  readonly temperatureC: Float64Array;
  readonly windSpeedMps: Float64Array;
  readonly groundC: Float64Array;
}

/** Missing wind counts as a fresh breeze: cautious for exposed parts. Engineering estimate. */
const ASSUMED_WIND_MPS = 4;

export interface OutlookRequest {
  readonly forecast: Forecast;
  readonly now: EpochSeconds;
  readonly horizonHours: number;
  readonly spot: Spot;
  /** Null: single forecasts are taken at their word. */
  readonly errorLaw: ErrorLaw | null;
}

/** @throws SourceError when the forecast is not usable now. */
export function outlookOf(request: OutlookRequest): Outlook {
  const { forecast, now, spot, errorLaw } = request;
  const span = usableSpan(request);
  const local = span.members.map((member) => atSpot(member, spot, span));
  const single = local.length === 1 ? local[0] : undefined;
  const members =
    single !== undefined && errorLaw !== null ? dress(single, errorLaw, { span, now }) : normalised(local);
  return {
    source: forecast.source,
    attribution: forecast.attribution,
    issuedAt: forecast.issuedAt,
    fetchedAt: forecast.fetchedAt,
    version: versionOf(forecast),
    firstHour: span.firstHour,
    hours: span.hours,
    endsAtHole: span.endsAtHole,
    members,
    // The undressed forecast is the first of the dressed ones.
    middle: single !== undefined ? 0 : middleIndex(members, (now - span.firstHour) / HOUR_S),
    resolution: resolutionOf(members),
    assumptions: [...span.assumptions, ...missing(span), ...spotAssumptions(spot)],
  };
}

function atSpot(member: SpanMember, spot: Spot, span: Span): OutlookMember {
  const off = correctionK(spot, nightOf(spot, span.firstHour, span.hours), member);
  return {
    weight: member.weight,
    temperatureC: member.temperatureC.map((t, i) => t - (off[i] ?? 0)),
    windSpeedMps: member.windSpeedMps.map((w) => (Number.isNaN(w) ? ASSUMED_WIND_MPS : w)),
    groundC: groundUnder(member),
  };
}

/** A single forecast and its possible errors from now on; hours already past have none. */
function dress(member: OutlookMember, law: ErrorLaw, at: { span: Span; now: EpochSeconds }): OutlookMember[] {
  const { firstHour, hours } = at.span;
  const firstLead = Math.max(0, Math.ceil((at.now - firstHour) / HOUR_S));
  const errors = standardErrors(law.members, Math.max(1, hours - firstLead));
  return errors.map((error) => ({
    ...member,
    weight: 1 / law.members,
    temperatureC: member.temperatureC.map((t, i) => {
      if (i < firstLead) return t;
      const leadS = firstHour + i * HOUR_S - at.now;
      return t + errorDeviationK(law, leadS) * (error[i - firstLead] ?? 0);
    }),
  }));
}

/** Weights whose sum no number holds are brought down first: otherwise each would be 0, and so every chance. */
function normalised(members: readonly OutlookMember[]): OutlookMember[] {
  const total = members.reduce((sum, m) => sum + m.weight, 0);
  if (total < Infinity) return members.map((m) => ({ ...m, weight: m.weight / total }));
  return normalised(members.map((m) => ({ ...m, weight: m.weight / (2 * members.length) })));
}

/** By its time of issue, or else by what it says (FNV-1a, 32 bits, of its temperatures to the hundredth). */
function versionOf({ source, issuedAt, firstHour, members }: Forecast): string {
  if (issuedAt !== null) return `${source} ${issuedAt}`;
  let hash = 0x811c9dc5;
  const mix = (value: number): void => {
    hash = Math.imul(hash ^ (value | 0), 0x01000193);
  };
  mix(firstHour / HOUR_S);
  for (const { temperatureC } of members)
    temperatureC.forEach((t) => mix(Number.isNaN(t) ? 99_999 : Math.round(t * 100)));
  return `${source} ${hash >>> 0}`;
}

/** Members that are alike to the last digit tell no more than one of them. */
function resolutionOf(members: readonly OutlookMember[]): number {
  const weights = new Map<string, number>();
  for (const { weight, temperatureC, windSpeedMps } of members) {
    const course = `${temperatureC.join()} ${windSpeedMps.join()}`;
    weights.set(course, (weights.get(course) ?? 0) + weight);
  }
  return Math.min(...weights.values());
}

function missing(span: Span): string[] {
  const lacks = (pick: (m: SpanMember) => Float64Array): boolean =>
    span.members.some((m) => pick(m).some((x) => Number.isNaN(x)));
  const sentences: string[] = [];
  if (lacks((m) => m.windSpeedMps))
    sentences.push(`Where the forecast gives no wind, ${ASSUMED_WIND_MPS} m/s is taken.`);
  if (lacks((m) => m.cloudPercent))
    sentences.push('Where the forecast gives no cloud, a clear sky is taken.');
  if (lacks((m) => m.soilTemperatureC))
    sentences.push(
      'Where the forecast gives no soil temperature, the ground is taken as freezing, or as the mean of the last days’ air where that is colder.',
    );
  return sentences;
}

function spotAssumptions(spot: Spot): string[] {
  if (spot.lie !== 'unknown') return [];
  const K = POOLING_K.unknown;
  return [`The lie of the land is not given: ${K} K (${1.8 * K} °F) are taken off on clear calm nights.`];
}
