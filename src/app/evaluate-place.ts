/** One place at one instant: what the services said, and the weather that the model is to take. */
import type { Config, PlaceConfig } from '../config/config.ts';
import { SourceError } from '../errors.ts';
import type { Gathered, Voice } from '../forecast/gather.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Alert } from '../weather/alert.ts';
import type { Forecast } from '../weather/forecast.ts';
import type { LocalRecord } from '../weather/local-record.ts';
import { outlookOf, type SourcedOutlook } from '../weather/outlook.ts';
import { withPast } from '../weather/past.ts';
import type { Observation } from '../weather/reading.ts';
import type { PlaceKnowledge } from './knowledge.ts';
import { believed } from './voices.ts';
import { learnFrom, type Learned } from './learn.ts';

export interface Problem {
  readonly code: string;
  readonly message: string;
  /** What to do about it; absent: nothing is known to help. */
  readonly hint?: string;
}

export interface PlaceEvaluation {
  readonly place: PlaceConfig;
  /** Null: no usable forecast. */
  readonly outlook: SourcedOutlook | null;
  readonly problem: Problem | null;
  /** As a service gave it; null: none did, or it is the user's own file. */
  readonly forecast: Forecast | null;
  /** Official warnings of cold in force, from whichever service issues them. */
  readonly alerts: readonly Alert[];
  readonly observation: Observation | null;
  /** Credits of every service whose data is shown. */
  readonly attributions: readonly string[];
  /** What its readings teach about its forecast; null: it has none. */
  readonly learned: Learned | null;
  /** Sources that two others speak against. */
  readonly refused: readonly SourceError[];
}

export interface PlaceQuestion {
  readonly config: Config;
  readonly now: EpochSeconds;
  readonly gathered: Gathered | undefined;
  readonly knowledge: PlaceKnowledge;
}

/**
 * A forecast that ends sooner than this can show that there is something to do, but not that there is nothing.
 */
const SHORTEST_CALM_HOURS = 24;

export function evaluatePlace(place: PlaceConfig, question: PlaceQuestion): PlaceEvaluation {
  const { gathered } = question;
  if (gathered === undefined) return unknownPlace(place, []);
  if (!gathered.ok) return { ...unknownPlace(place, gathered.errors), alerts: gathered.warnings ?? [] };
  try {
    return knownPlace(place, gathered, question);
  } catch (error) {
    if (error instanceof SourceError)
      return { ...unknownPlace(place, [...gathered.errors, error]), alerts: warningsOf(gathered) };
    throw error;
  }
}

function knownPlace(
  place: PlaceConfig,
  gathered: Extract<Gathered, { ok: true }>,
  question: PlaceQuestion,
): PlaceEvaluation {
  const { config, now, knowledge } = question;
  const voices = [gathered.voice, ...gathered.others] as const;
  const { voice, sentences, refused, disagreementK } = believed(voices, { spot: place, now });
  const ofService = nightBiasOf(voice, config) !== null;
  const untaught = lookAhead(place, voice, { ...question, record: null, disagreementK });
  const learned = config.weather.learn
    ? learnFrom({ outlook: untaught, spot: place, knowledge, now, temperature: config.display.temperature })
    : null;
  const record = learned?.record ?? null;
  const outlook =
    record === null ? untaught : lookAhead(place, voice, { ...question, record, disagreementK });
  const doubts =
    learned === null ? [] : [...learned.remarks, ...learned.doubts.map(({ message }) => message)];
  return {
    place,
    outlook: {
      ...outlook,
      assumptions: [
        ...keptWords(voice),
        ...sentences,
        ...voices.flatMap(remarksOf),
        ...doubts,
        ...outlook.assumptions,
      ],
    },
    problem: null,
    forecast: ofService ? voice.forecast : null,
    alerts: warningsOf(gathered),
    observation: observationOf(voices),
    attributions: [...new Set(voices.flatMap((one) => one.forecast.attribution ?? []))],
    learned,
    refused,
  };
}

interface Ahead extends PlaceQuestion {
  readonly record: LocalRecord | null;
  readonly disagreementK: number;
}

function lookAhead(
  place: PlaceConfig,
  voice: Voice,
  { config, now, knowledge, record, disagreementK }: Ahead,
): SourcedOutlook {
  const { errorModel, horizonHours } = config.weather;
  const nightBiasK = nightBiasOf(voice, config);
  return outlookOf({
    // What a file leaves out of the past its owner may have meant to.
    forecast: nightBiasK === null ? voice.forecast : withPast(voice.forecast, knowledge.past, place),
    now,
    horizonHours,
    spot: place,
    errorLaw: errorModel.kind === 'none' ? null : errorModel,
    record,
    disagreementK,
    ...(nightBiasK === null ? {} : { ofService: true, nightBiasK }),
  });
}

/** How much too warm its nights come out [K]; null: it is the user's own file, in which what stands is meant. */
function nightBiasOf({ forecast }: Voice, { weather }: Config): number | null {
  const source = weather.sources.find(({ id }) => id === forecast.source);
  return source === undefined || source.kind === 'file' ? null : source.nightBiasK;
}

function warningsOf(gathered: Extract<Gathered, { ok: true }>): readonly Alert[] {
  const voices = [gathered.voice, ...gathered.others];
  return voices.find((one) => one.alerts !== undefined)?.alerts ?? gathered.warnings ?? [];
}

/** Farther off, the air of a station is another place's. Engineering estimate. */
const FARTHEST_STATION_KM = 80;

function observationOf(voices: readonly Voice[]): Observation | null {
  const observation = voices.find((one) => one.observation !== undefined)?.observation;
  return (observation?.distanceKm ?? 0) > FARTHEST_STATION_KM ? null : (observation ?? null);
}

function keptWords({ keptSince, forecast }: Voice): readonly string[] {
  if (keptSince === undefined) return [];
  const { source, fetchedAt } = forecast;
  return [
    `This is the last good answer of ${source}, of ${isoSecond(fetchedAt)}, since there is no newer one: ${keptSince.message}`,
  ];
}

/** What is to be said of an answer beside its numbers, and of whose. */
function remarksOf({ forecast, remarks = [] }: Voice): readonly string[] {
  return remarks.map((remark) => `${forecast.source}: ${remark}`);
}

function unknownPlace(place: PlaceConfig, errors: readonly SourceError[]): PlaceEvaluation {
  const code = errors.at(-1)?.code ?? 'source-missing-place';
  const message = errors.map((e) => e.message).join(' ') || 'No source was asked for this place.';
  const nothing = {
    outlook: null,
    forecast: null,
    alerts: [],
    observation: null,
    attributions: [],
    learned: null,
    refused: [],
  };
  const hint = [...new Set(errors.flatMap((e) => e.hint ?? []))].join(' ');
  return { place, ...nothing, problem: { code, message, ...(hint === '' ? {} : { hint }) } };
}

function hoursAhead({ outlook }: PlaceEvaluation, now: EpochSeconds): number {
  return outlook === null ? 0 : (outlook.firstHour + (outlook.hours - 1) * HOUR_S - now) / HOUR_S;
}

/** Behind a hole the window may hold anything. */
export function isShort(place: PlaceEvaluation, now: EpochSeconds, windowHours: number): boolean {
  const hours = hoursAhead(place, now);
  return hours < SHORTEST_CALM_HOURS || (place.outlook?.endsAtHole === true && hours < windowHours);
}

export function withShortness(
  place: PlaceEvaluation,
  now: EpochSeconds,
  windowHours: number,
): PlaceEvaluation {
  const hours = hoursAhead(place, now);
  if (place.outlook === null || !isShort(place, now, windowHours)) return place;
  const message = `The forecast of ${place.outlook.source} ends in ${Math.floor(hours)} h: it can show cold, but not that there is none.`;
  return { ...place, problem: { code: 'forecast-short', message } };
}
