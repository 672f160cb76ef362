/**
 * The weather of one place as the model takes it: members with weights that sum to 1, without holes, brought
 * to the place's own spot.
 */
import { DAY_S, HOUR_S, floorToHour, type EpochSeconds } from '../quantity/instant.ts';
import { spreadLaw } from './calibrate.ts';
import type { ErrorLaw } from './error-law.ts';
import type { Forecast } from './forecast.ts';
import { groundUnder } from './ground.ts';
import { heightK, heightSentences, heightsOf, withoutFarCells } from './height.ts';
import { byHour, learnedBias, type LearnedBias } from './learned-bias.ts';
import { POOLING_K, calmness, clearness, correctionK, nightOf, type Spot } from './local-correction.ts';
import type { LocalRecord } from './local-record.ts';
import { middleIndex, type Weighted } from './middle.ts';
import { refuseImpossible } from './plausible.ts';
import { groupsOf, poolSentences, pooled, spreadOf } from './pool.ts';
import { pooledSpan } from './pooled-span.ts';
import type { Span, SpanMember } from './span.ts';
import { hourlyOf, stepSentences } from './steps.ts';
import { stretchesOf, type Stretch } from './stretches.ts';

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

/** An outlook, and what it was made of. */
export interface SourcedOutlook extends Outlook {
  /** Where each hour comes from, without holes from the first hour to the horizon. */
  readonly stretches: readonly Stretch[];
  readonly untaught: Untaught;
}

/**
 * By hour, what the members were before the place's readings corrected and spread them, and before nights were taken
 * as colder for want of readings: what readings are to be held against, so that a correction does not learn itself.
 */
export interface Untaught {
  readonly meanC: Float64Array;
  /** Standard deviation of the members; 0 of a single forecast [K]. */
  readonly deviationK: Float64Array;
  /** How clear and how calm it is, 0 to 1: the members' means. */
  readonly clear: Float64Array;
  readonly calm: Float64Array;
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
  /** Null: forecasts are taken at their word. */
  readonly errorLaw: ErrorLaw | null;
  /**
   * It is of a weather service: what cannot be is refused, and a height that is not told is said. Absent: the user's
   * own file, in which whatever stands there is meant.
   */
  readonly ofService?: boolean;
  /** How much too warm clear calm nights come out in forecasts [K]; absent: 0. */
  readonly nightBiasK?: number;
  /** What the place's readings taught about this source; absent or null: nothing. */
  readonly record?: LocalRecord | null;
  /**
   * Least standard deviation of members from now on [K], since another service has colder nights: half of the
   * difference, so that its lows are two deviations off; absent: 0.
   */
  readonly disagreementK?: number;
  /** Relative weight of each model's ensemble, and of the single forecast under `''`; absent: 1 each. */
  readonly modelWeights?: Readonly<Record<string, number>>;
}

/** @throws SourceError when the forecast is not usable now. */
export function outlookOf(request: OutlookRequest): SourcedOutlook {
  const { forecast, now, spot, errorLaw, record = null, disagreementK = 0 } = request;
  const made = prepared(request);
  const span = pooledSpan({ ...request, forecast: made.forecast });
  const learned = learnedBias(record, { now, darkness: darknessByHour(spot, now) });
  const local = atSpot(span, { request, learned });
  const groups = groupsOf(span.members, request.modelWeights ?? {});
  const taught = { ...learned, record, now, leastK: disagreementK };
  const law = errorLaw === null ? null : spreadLaw(errorLaw, taught);
  const members = pooled(local.members, groups, { law, ahead: { ...span, now } });
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
    middle: local.members.length === 1 ? 0 : middleIndex(members, (now - span.firstHour) / HOUR_S),
    resolution: resolutionOf(members),
    assumptions: [
      ...span.assumptions,
      ...missing(span),
      ...spotAssumptions(spot),
      ...made.sentences,
      ...nightSentences(request, learned),
      ...learned.sentences,
      ...poolSentences(groups, law !== null),
      ...(law === null ? [] : disagreementSentences(disagreementK)),
    ],
    stretches: stretchesOf({ ...request, span, between: made.between }),
    untaught: { ...spreadOf(local.untaught, groups), ...skyOf(span) },
  };
}

interface Prepared {
  readonly forecast: Forecast;
  /** By hour of the single forecast, or the first member: it lies between steps. */
  readonly between: readonly boolean[];
  readonly sentences: readonly string[];
}

/** Hourly throughout, and without what cannot be. */
function prepared({ forecast, now, spot, ofService = false }: OutlookRequest): Prepared {
  const near = withoutFarCells(forecast, spot);
  const checked = ofService ? refuseImpossible(near.forecast, now) : { ...near, sentences: [] };
  const { members, firstHour } = checked.forecast;
  const stepped = members.some((m) => m.stepHours !== undefined || m.lows !== undefined);
  const night = nightOf(spot, firstHour, stepped ? (members[0]?.temperatureC.length ?? 0) : 0);
  const hourly = members.map((m) => hourlyOf(m, night));
  return {
    forecast: { ...checked.forecast, members: hourly.map((h) => h.member) },
    between: hourly[0]?.between ?? [],
    sentences: [
      ...checked.sentences,
      ...stepSentences(hourly),
      ...near.sentences,
      ...heightSentences(near.forecast, spot, ofService),
    ],
  };
}

interface Local {
  readonly members: readonly OutlookMember[];
  /** By member: without what readings taught and without the nights' bias. */
  readonly untaught: readonly Weighted[];
}

function atSpot(span: Span, { request, learned }: { request: OutlookRequest; learned: LearnedBias }): Local {
  const { forecast, now, spot, nightBiasK = 0 } = request;
  const { firstHour, hours } = span;
  const night = nightOf(spot, firstHour, hours);
  const biasK = byHour(learned.trust, firstHour, hours).map((trust) => nightBiasK * (1 - trust));
  const taughtK = byHour(learned.takenOffK, firstHour, hours);
  const present = (floorToHour(now) - firstHour) / HOUR_S;
  const pastK = heightK(forecast, spot);
  const places = span.members.map((member) => {
    const aheadK = heightK(heightsOf(forecast, member.gridElevationM), spot);
    const warmerK = (i: number): number => (i < present ? pastK : aheadK);
    const off = correctionK(spot, { ...night, biasK }, member);
    const untaught = correctionK(spot, night, member);
    return {
      member: {
        weight: member.weight,
        temperatureC: member.temperatureC.map((t, i) => t - ((off[i] ?? 0) + (taughtK[i] ?? 0) - warmerK(i))),
        windSpeedMps: member.windSpeedMps.map((w) => (Number.isNaN(w) ? ASSUMED_WIND_MPS : w)),
        groundC: groundUnder(member),
      },
      untaught: {
        weight: member.weight,
        temperatureC: member.temperatureC.map((t, i) => t - ((untaught[i] ?? 0) - warmerK(i))),
      },
    };
  });
  return { members: places.map((p) => p.member), untaught: places.map((p) => p.untaught) };
}

/** By hour of the UTC day that it is. */
function darknessByHour(spot: Spot, now: EpochSeconds): Float64Array {
  return nightOf(spot, Math.floor(now / DAY_S) * DAY_S, DAY_S / HOUR_S).darkness;
}

function skyOf({ members, hours }: Span): Pick<Untaught, 'clear' | 'calm'> {
  const mean = (of: (m: SpanMember, i: number) => number): Float64Array =>
    Float64Array.from(
      { length: hours },
      (_, i) => members.reduce((sum, m) => sum + of(m, i), 0) / members.length,
    );
  return {
    clear: mean((m, i) => clearness(m.cloudPercent[i] ?? Number.NaN)),
    calm: mean((m, i) => calmness(m.windSpeedMps[i] ?? Number.NaN)),
  };
}

/** By its time of issue, or else by what it says (FNV-1a, 32 bits, of its temperatures to the hundredth). */
function versionOf({ source, issuedAt, firstHour, ownFrom = firstHour, members }: Forecast): string {
  if (issuedAt !== null) return `${source} ${issuedAt}`;
  let hash = 0x811c9dc5;
  const mix = (value: number): void => {
    hash = Math.imul(hash ^ (value | 0), 0x01000193);
  };
  mix(ownFrom / HOUR_S);
  for (const { temperatureC } of members)
    temperatureC
      .slice((ownFrom - firstHour) / HOUR_S)
      .forEach((t) => mix(Number.isNaN(t) ? 99_999 : Math.round(t * 100)));
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

function disagreementSentences(K: number): string[] {
  if (K === 0) return [];
  const [kelvin, fahrenheit] = [K, 1.8 * K].map((x) => Math.round(10 * x) / 10);
  return [
    `Another service has colder nights: errors of at least ${kelvin} K (${fahrenheit} °F) are counted with.`,
  ];
}

function nightSentences({ spot, nightBiasK = 0 }: OutlookRequest, { trust }: LearnedBias): string[] {
  if (nightBiasK <= POOLING_K[spot.lie] || trust.every((known) => known > 0.5)) return [];
  const K = nightBiasK;
  return [
    `Clear calm nights come out too warm in forecasts: up to ${K} K (${Math.round(18 * K) / 10} °F) are taken off them where no readings say better.`,
  ];
}
