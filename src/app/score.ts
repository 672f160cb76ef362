/** `drainby score`: how good the forecasts of one place were, and the advice made of them, from the database alone. */
import type { Config, PlaceConfig } from '../config/config.ts';
import { lastNights } from '../decision/nights.ts';
import { UsageError } from '../errors.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { openReader } from '../store/reader.ts';
import type { PastHour } from '../store/places.ts';
import type { StoreReader, UnitMoment } from '../store/store.ts';
import type { KeptForecast } from '../verify/kept-forecast.ts';
import type { Truth } from '../verify/scorecard.ts';
import type { Measured } from '../verify/truth.ts';
import { adviceNights, type JudgedNights } from './advice-nights.ts';
import { believedReadings, type Believed } from './believed.ts';
import { creditsOf } from './credits.ts';
import { scoreAnswer, type ScoreAnswer } from './score-answer.ts';
import { trueNights } from './true-nights.ts';

export interface ScoreRequest {
  readonly config: Config;
  /** Id of the place. */
  readonly place: string;
  readonly now: EpochSeconds;
}

/** Kept forecasts reach no further back. */
const SCORED_DAYS = 120;
const SCORED_NIGHTS = 60;
/** What the first night starts from. */
const BEFORE_DAYS = 4;

/** Writes nothing and asks no service. @throws UsageError for a place that the config does not know; StoreError. */
export async function score({ config, place: id, now }: ScoreRequest): Promise<ScoreAnswer> {
  const place = findPlace(config, id);
  const reader = await openReader(config.store.path);
  try {
    const record = reader === null ? NO_RECORD : await readRecord(reader, { config, place, now });
    return answerOf({ config, place, now, record });
  } finally {
    await reader?.close();
  }
}

function findPlace(config: Config, id: string): PlaceConfig {
  const place = config.places.find((p) => p.id === id);
  if (place !== undefined) return place;
  const known = config.places.map((p) => p.id).join(', ');
  throw new UsageError(`There is no place "${id}" in ${config.file}. Its places are: ${known || 'none'}.`);
}

/** What the database knew at that instant. */
interface ScoredRecord {
  readonly kept: readonly KeptForecast[];
  /** Rows that cannot be read, in words. */
  readonly damaged: readonly string[];
  readonly readings: readonly Measured[];
  readonly station: readonly Measured[];
  readonly archive: readonly Measured[];
  readonly past: readonly PastHour[];
  readonly moments: ReadonlyMap<string, readonly UnitMoment[]>;
}

const NO_RECORD: ScoredRecord = {
  kept: [],
  damaged: [],
  readings: [],
  station: [],
  archive: [],
  past: [],
  moments: new Map(),
};

interface Asked {
  readonly config: Config;
  readonly place: PlaceConfig;
  readonly now: EpochSeconds;
}

async function readRecord(reader: StoreReader, { config, place, now }: Asked): Promise<ScoredRecord> {
  const since = now - SCORED_DAYS * DAY_S;
  const sinceNights = now - (SCORED_NIGHTS + BEFORE_DAYS) * DAY_S;
  const kept = await reader.readKept(place.id, since);
  const truths = (await reader.readTruths(place.id, since)).filter(({ at }) => at <= now);
  const readings = await reader.readReadings(place.id, since);
  const moments = new Map<string, readonly UnitMoment[]>();
  const damaged = [...kept.damaged];
  for (const unit of config.units.filter((u) => u.place === place.id)) {
    const all = await reader.readMoments(unit.id, sinceNights);
    moments.set(
      unit.id,
      all.filter(({ at }) => at <= now),
    );
    const bad = all.filter((moment) => moment.damaged === true).length;
    if (bad > 0) damaged.push(`${bad} of ${all.length} moments of ${unit.id}`);
  }
  return {
    kept: kept.rows.filter(({ keptAt }) => keptAt <= now),
    damaged,
    readings: readings.filter(({ unit, zone, at }) => unit === null && zone === 'outside' && at <= now),
    station: truths.filter(({ kind }) => kind === 'station'),
    archive: truths.filter(({ kind }) => kind === 'archive'),
    past: await reader.readPast(place.id, sinceNights),
    moments,
  };
}

function answerOf({ config, place, now, record }: Asked & { readonly record: ScoredRecord }): ScoreAnswer {
  const { kept, readings, station, archive } = record;
  const believed = believedReadings({ place, readings, kept, temperature: config.display.temperature });
  const measured = { readings: believed.readings, station, archive };
  const judged = judgedNights({ config, place, now, record }, measured);
  const units = config.units.filter((u) => u.place === place.id);
  return scoreAnswer(
    {
      place: place.id,
      asOf: now,
      kept,
      measured,
      nights: judged.map(({ unit, nights }) => ({ unit, nights })),
    },
    {
      place: place.label,
      units: Object.fromEntries(units.map((u) => [u.id, u.label])),
      leftOut: Object.fromEntries(judged.map((of) => [of.unit, of.leftOut])),
      doubted: believed.doubted,
      doubts: believed.doubts,
      missing: missing({ config, place, measured, believed }),
      damaged: record.damaged,
      attributions: creditsOf(config.weather.sources, record),
    },
  );
}

function judgedNights(
  { config, place, now, record }: Asked & { readonly record: ScoredRecord },
  measured: Readonly<Record<Truth, readonly Measured[]>>,
): (JudgedNights & { readonly unit: string })[] {
  const last = lastNights(place.timeZone, now, SCORED_NIGHTS);
  const nights = trueNights({ place, measured, past: record.past }, last);
  return config.units
    .filter((unit) => unit.place === place.id)
    .map((unit) => {
      const moments = record.moments.get(unit.id) ?? [];
      return { unit: unit.id, ...adviceNights({ config, unit, moments, nights }) };
    });
}

interface Known {
  readonly config: Config;
  readonly place: PlaceConfig;
  readonly measured: Readonly<Record<Truth, readonly Measured[]>>;
  readonly believed: Believed;
}

/** What nothing is known of, and how it would come to be: full sentences. */
function missing({ config, place, measured, believed }: Known): string[] {
  const sources = config.weather.sources.filter(({ id }) => place.sources.includes(id));
  const sentences: string[] = [];
  if (measured.readings.length === 0)
    sentences.push(
      believed.doubted > 0
        ? 'No readings that can be believed yet: see what is said of the sensor.'
        : `No readings yet: what a thermometer at the place shows is said with drainby readings ${place.id}, or sent by a sensor.`,
    );
  if (measured.station.length === 0)
    sentences.push(
      sources.some(({ kind }) => kind === 'nws')
        ? 'Nothing from a station yet: it comes with the forecasts of the US service.'
        : 'No station: only the US service (a source of the kind nws) tells of one.',
    );
  if (measured.archive.length === 0)
    sentences.push(
      sources.some((source) => source.kind === 'open-meteo' && source.archiveUrl !== null)
        ? 'Nothing from the archive yet: it is asked once a day, after a round.'
        : 'No archive: no source of the place is Open-Meteo, or has an archiveUrl.',
    );
  return sentences;
}
