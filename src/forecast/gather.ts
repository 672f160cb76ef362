import { SourceError } from '../errors.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Forecast } from '../weather/forecast.ts';
import type { ForecastSource, Point, SourceAnswer } from './source.ts';

/** A point and the ids of the sources to ask for it, in order. */
export interface WantedPoint extends Point {
  readonly sources: readonly string[];
}

export interface OfferedSource {
  readonly source: ForecastSource;
  /** A forecast issued longer ago than this is not used; null: no limit. */
  readonly staleAfterHours: number | null;
}

export interface GatherRequest {
  readonly points: readonly WantedPoint[];
  readonly sources: readonly OfferedSource[];
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

export type Gathered =
  | { readonly ok: true; readonly forecast: Forecast }
  /** One error for each source asked, in the order of asking. */
  | { readonly ok: false; readonly errors: readonly SourceError[] };

interface Search {
  readonly point: WantedPoint;
  readonly errors: readonly SourceError[];
}

/**
 * The first usable forecast for every point. Each source is asked once, for all the points that need it; twice
 * only when points name the same sources in opposite orders. Rejects only when `signal` is aborted.
 */
export async function gatherForecasts(request: GatherRequest): Promise<ReadonlyMap<string, Gathered>> {
  const found = new Map<string, Forecast>();
  let searches: readonly Search[] = request.points.map((point) => ({ point, errors: [] }));
  for (let id = nextSource(searches, found); id !== null; id = nextSource(searches, found)) {
    const asking = searches.filter((search) => next(search, found) === id);
    const answers = await askSource(id, asking, request);
    searches = searches.map((search) => {
      const answer = asking.includes(search) ? answers.get(search.point.id) : undefined;
      if (answer === undefined) return search;
      if (!answer.ok) return { ...search, errors: [...search.errors, answer.error] };
      found.set(search.point.id, answer.forecast);
      return search;
    });
  }
  return new Map(searches.map(({ point, errors }) => [point.id, outcome(found.get(point.id), errors)]));
}

function outcome(forecast: Forecast | undefined, errors: readonly SourceError[]): Gathered {
  return forecast === undefined ? { ok: false, errors } : { ok: true, forecast };
}

/** The source a search has to ask next; undefined when it is over. */
function next({ point, errors }: Search, found: ReadonlyMap<string, Forecast>): string | undefined {
  return found.has(point.id) ? undefined : point.sources[errors.length];
}

/** A source that no open search might need later on, so that one call serves all; else the first wanted. */
function nextSource(searches: readonly Search[], found: ReadonlyMap<string, Forecast>): string | null {
  const open = searches.filter((search) => next(search, found) !== undefined);
  const wanted = open.map((search) => next(search, found));
  const later = new Set(open.flatMap(({ point, errors }) => point.sources.slice(errors.length + 1)));
  return wanted.find((id) => id !== undefined && !later.has(id)) ?? wanted[0] ?? null;
}

async function askSource(
  id: string,
  searches: readonly Search[],
  { sources, now, signal }: GatherRequest,
): Promise<ReadonlyMap<string, SourceAnswer>> {
  const offered = sources.find(({ source }) => source.id === id);
  if (offered === undefined) throw new Error(`No weather source has the id "${id}".`);
  const points = searches.map(({ point }) => point);
  const answers = await offered.source.fetch(points, now, signal);
  return new Map(
    points.map((point) => [point.id, judge(answers.get(point.id), { id, point, now, ...offered })]),
  );
}

function judge(
  answer: SourceAnswer | undefined,
  asked: OfferedSource & { readonly id: string; readonly point: Point; readonly now: EpochSeconds },
): SourceAnswer {
  if (answer === undefined) {
    const text = `The source "${asked.id}" left out the place "${asked.point.id}".`;
    return { ok: false, error: new SourceError('source-missing-place', text) };
  }
  if (!answer.ok) return answer;
  const error = ageProblem(answer, asked);
  return error === null ? answer : { ok: false, error };
}

/** Clocks differ, and services round the time of issue up. */
const LATEST_ISSUE_S = HOUR_S;

/** A file that does not say when it was issued is as old as its last change. */
function ageProblem(
  { forecast: { issuedAt }, writtenAt }: Extract<SourceAnswer, { ok: true }>,
  { id, now, staleAfterHours }: OfferedSource & { readonly id: string; readonly now: EpochSeconds },
): SourceError | null {
  if (issuedAt !== null && issuedAt - now > LATEST_ISSUE_S) {
    const text = `The forecast of the source "${id}" says that it was issued at ${isoSecond(issuedAt)}, which is yet to come.`;
    return new SourceError('forecast-stale', text, {
      hint: 'Check the clock of this machine, and what writes the forecast.',
    });
  }
  const since = issuedAt ?? writtenAt ?? null;
  if (since === null || staleAfterHours === null || now - since <= staleAfterHours * HOUR_S) return null;
  const what =
    issuedAt === null
      ? `The file of the source "${id}" was last changed at`
      : `The forecast of the source "${id}" was issued at`;
  const text = `${what} ${isoSecond(since)}, more than ${staleAfterHours} hours ago.`;
  return new SourceError('forecast-stale', text, {
    retryable: true,
    hint: 'Bring it up to date, or ask another source.',
  });
}
