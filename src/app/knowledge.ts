/** What the database knows of places beside their forecasts, as a round or a look needs it. */
import type { Config } from '../config/config.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import type { PlaceRecord } from '../store/places.ts';
import type { StoreReader } from '../store/store.ts';
import { OPEN_S, type Evidence } from '../verify/bias.ts';
import type { KeptForecast } from '../verify/kept-forecast.ts';
import type { SpreadRecord } from '../weather/local-record.ts';
import type { KeptHour } from '../weather/past.ts';
import type { Reading } from '../weather/reading.ts';

export interface PlaceKnowledge {
  /** Hours that have passed, as their newest forecast had them. */
  readonly past: readonly KeptHour[];
  /** Of the place and its units, of the last days. */
  readonly readings: readonly Reading[];
  /** What they taught so far, by source. */
  readonly lessons: ReadonlyMap<string, Lesson>;
  /** Kept forecasts and the readings for them, where it is time to learn from them again; else null. */
  readonly record: { readonly kept: readonly KeptForecast[]; readonly readings: readonly Reading[] } | null;
}

/** What is kept of the learning about one source at one place: plain data. */
export interface Lesson {
  /** Lie, cold spot, height and coordinates that it was taught under: of another place it says nothing. */
  readonly taughtUnder: string;
  readonly evidence: Evidence;
  readonly spread: readonly SpreadRecord[];
  /** When the spread was last learned. */
  readonly spreadAt: EpochSeconds;
}

export const NOTHING_KNOWN: PlaceKnowledge = { past: [], readings: [], lessons: new Map(), record: null };

/** As far back as any unit's computation reaches, and a night more for its sensors to be judged by. */
const BACK_S = 4 * DAY_S;
/** The spread of errors changes slowly. */
const SPREAD_EVERY_S = DAY_S;

export interface Known {
  readonly places: ReadonlyMap<string, PlaceKnowledge>;
  /** Rows that could not be read, in words. */
  readonly damaged: readonly string[];
}

/** @throws StoreError */
export async function knowledgeOf(reader: StoreReader, config: Config, now: EpochSeconds): Promise<Known> {
  const records = await reader.readRecords();
  const damaged = [...records.damaged];
  const places = new Map<string, PlaceKnowledge>();
  for (const { id } of config.places) {
    const past = await reader.readPast(id, now - BACK_S);
    const readings = await reader.readReadings(id, now - BACK_S);
    const lessons = lessonsOf(records.rows.filter((row) => row.place === id));
    const isDue =
      readings.length > 0 && [...lessons.values()].every((l) => now - l.spreadAt >= SPREAD_EVERY_S);
    const kept = isDue ? await reader.readKept(id, now - OPEN_S) : null;
    damaged.push(...(kept?.damaged ?? []));
    const record =
      kept === null ? null : { kept: kept.rows, readings: await reader.readReadings(id, now - OPEN_S) };
    places.set(id, { past, readings, lessons, record });
  }
  return { places, damaged };
}

function lessonsOf(rows: readonly PlaceRecord[]): ReadonlyMap<string, Lesson> {
  return new Map(rows.flatMap(({ source, state }) => (isLesson(state) ? [[source, state] as const] : [])));
}

/** Written by this program; another version's may differ. */
function isLesson(state: object): state is Lesson {
  return ['taughtUnder', 'evidence', 'spread', 'spreadAt'].every((key) => key in state);
}
