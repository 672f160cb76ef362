/** After a round: what stations and archives say of the weather that came, and what was forecast of it, to score by. */
import type { Config, PlaceConfig } from '../config/config.ts';
import { SourceError, type SourceErrorCode } from '../errors.ts';
import type { Days } from '../forecast/open-meteo/request.ts';
import type { Log } from '../outbox/log.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Store } from '../store/store.ts';
import type { Evaluation } from './evaluate.ts';
import { messageOf } from './error-words.ts';
import { earlierForecasts, observedTruths, pastTruths, type PastAnswer } from './past-answer.ts';
import type { PastServices, Sources } from './sources.ts';

/** Reanalyses come five days late and are mended later: the archive is asked for so many days again. */
const ARCHIVE_DAYS = 8;
/** What a place begins with, so that it has scores from its first day on. */
const HISTORY_DAYS = 30;
/** A place of which older forecasts are kept has a history of its own. */
const OWN_HISTORY_DAYS = 7;

export interface CollectorOf {
  readonly config: Config;
  readonly store: Store;
  readonly sources: Pick<Sources, 'past'>;
  readonly signal: AbortSignal;
  readonly log: Log;
}

/** One place at one round. */
interface Visit {
  readonly place: PlaceConfig;
  /** Of the service, where it told it; null: unknown. */
  readonly groundElevationM: number | null;
  readonly source: string;
  readonly services: PastServices;
  readonly now: EpochSeconds;
}

/** It never fails a round: what goes wrong is logged, once for each that is new, and tried again in a later hour. */
export class Collector {
  readonly #of: CollectorOf;
  #asking: Promise<void> | null = null;
  #prunedDay: number | null = null;
  /** By place: the UTC day for which its archive was asked. */
  readonly #doneDay = new Map<string, number>();
  /** By place, or by source where it fails as a whole. */
  readonly #failed = new Map<string, { readonly hour: number; readonly message: string }>();

  constructor(of: CollectorOf) {
    this.#of = of;
  }

  /** Resolves when all that needs no service is done; services are asked meanwhile, one pass at a time. */
  async collect({ places, now }: Evaluation): Promise<void> {
    const { store } = this.#of;
    try {
      await store.addTruths(observedTruths(places));
      const day = Math.floor(now / DAY_S);
      if (this.#prunedDay !== day) await store.prune(now);
      this.#prunedDay = day;
      this.#failed.delete(DATABASE);
    } catch (error) {
      this.#fail(DATABASE, now, error);
    }
    const visits = places.flatMap(({ place, forecast }) => {
      const source = place.sources.find((id) => this.#of.sources.past.has(id));
      const services = this.#of.sources.past.get(source ?? '');
      if (source === undefined || services === undefined) return [];
      return [{ place, groundElevationM: forecast?.groundElevationM ?? null, source, services, now }];
    });
    this.#asking ??= this.#visitAll(visits).finally(() => {
      this.#asking = null;
    });
  }

  /** Resolves when no service is being asked any more. */
  async ended(): Promise<void> {
    await this.#asking;
  }

  async #visitAll(visits: readonly Visit[]): Promise<void> {
    for (const visit of visits) {
      const { place, source, now } = visit;
      if (this.#of.signal.aborted) return;
      if (this.#doneDay.get(place.id) === Math.floor(now / DAY_S)) continue;
      const keys = [`source ${source}`, `place ${place.id}`] as const;
      if (keys.some((key) => this.#failed.get(key)?.hour === Math.floor(now / HOUR_S))) continue;
      try {
        await this.#visit(visit);
        for (const key of keys) this.#failed.delete(key);
      } catch (error) {
        this.#fail(isOfAll(error) ? keys[0] : keys[1], now, error);
      }
    }
  }

  async #visit(visit: Visit): Promise<void> {
    const { store, config } = this.#of;
    const { place, services, now } = visit;
    const { previousRuns } = services;
    const isNew = previousRuns !== null && (await this.#hasNoHistory(place.id, now));
    const days = daysBefore(now, isNew ? HISTORY_DAYS : ARCHIVE_DAYS);
    const was = await this.#ask(visit, services.archive, days);
    await store.addTruths(pastTruths(was));
    if (isNew) {
      const said = await this.#ask(visit, previousRuns, days);
      await store.keepForecasts(earlierForecasts(said, config.weather.errorModel));
    }
    this.#doneDay.set(place.id, Math.floor(now / DAY_S));
  }

  async #hasNoHistory(place: string, now: EpochSeconds): Promise<boolean> {
    const first = await this.#of.store.firstKeptDay(place);
    return first === null || first >= now - OWN_HISTORY_DAYS * DAY_S;
  }

  /** @throws SourceError also where an old answer could stand in: the past is asked for again instead. */
  async #ask(visit: Visit, ask: PastServices['archive'], days: Days): Promise<PastAnswer> {
    const { place, now } = visit;
    const answer = await ask({ point: place, days, now, signal: this.#of.signal });
    if (!answer.ok) throw answer.error;
    if (answer.keptSince !== null) throw answer.keptSince;
    return { ...visit, series: answer.value };
  }

  #fail(key: string, now: EpochSeconds, error: unknown): void {
    const { signal, log } = this.#of;
    if (signal.aborted) return;
    const message = messageOf(error);
    const isNews = this.#failed.get(key)?.message !== message;
    this.#failed.set(key, { hour: Math.floor(now / HOUR_S), message });
    if (isNews) log.warn({ of: key, error: message }, NOT_COLLECTED);
  }
}

const DATABASE = 'database';

const NOT_COLLECTED =
  'What forecasts are scored by could not be collected; scores go without it until it can be.';

const OF_ALL: readonly SourceErrorCode[] = [
  'source-unreachable',
  'source-timeout',
  'source-limited',
  'source-refused',
];

/** A service that fails so is left alone for all places; what is wrong with one holds up no other. */
function isOfAll(error: unknown): boolean {
  return error instanceof SourceError && OF_ALL.includes(error.code);
}

/** Whole UTC days; today's is not over. */
function daysBefore(now: EpochSeconds, count: number): Days {
  const today = Math.floor(now / DAY_S) * DAY_S;
  return { from: today - count * DAY_S, to: today - DAY_S };
}
