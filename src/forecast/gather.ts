import { SourceError } from '../errors.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Alert } from '../weather/alert.ts';
import type { Forecast } from '../weather/forecast.ts';
import { isAhead } from './http/freshness.ts';
import { printable } from './printable.ts';
import type { ForecastSource, Point, SourceAnswer } from './source.ts';

/** A point and the ids of the sources to ask for it, in order. */
export interface WantedPoint extends Point {
  readonly sources: readonly string[];
}

export interface OfferedSource {
  readonly source: ForecastSource;
  /** A forecast issued longer ago than this is not used; null: no limit. */
  readonly staleAfterHours: number | null;
  /** The service that speaks, to be compared with others; null: the user's own word, held against nobody's. */
  readonly service: string | null;
}

export interface GatherRequest {
  readonly points: readonly WantedPoint[];
  readonly sources: readonly OfferedSource[];
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
  /** Whether other services are asked as well where one has answered. */
  readonly compare: boolean;
}

/** A usable answer. */
export type Voice = Extract<SourceAnswer, { ok: true }>;

export type Gathered =
  | {
      readonly ok: true;
      readonly forecast: Forecast;
      /** Of the source whose forecast it is. */
      readonly voice: Voice;
      /** Other services' answers for the same place. */
      readonly others: readonly Voice[];
      /** Official warnings of a service that had no forecast; absent: there is none such. */
      readonly warnings?: readonly Alert[];
      /** One error for each source that was asked in vain, in the order of asking. */
      readonly errors: readonly SourceError[];
    }
  /** One error for each source asked, in the order of asking. */
  | {
      readonly ok: false;
      readonly errors: readonly SourceError[];
      readonly warnings?: readonly Alert[];
    };

interface Heard {
  readonly service: string | null;
  readonly voice: Voice;
}

interface Search {
  readonly point: WantedPoint;
  readonly asked: ReadonlySet<string>;
  readonly heard: readonly Heard[];
  readonly errors: readonly SourceError[];
  readonly warnings?: readonly Alert[];
}

/**
 * The first usable forecast for every point, and what other services say of it. Each source is asked once, for all
 * the points that need it; twice only when points name the same sources in opposite orders. A source that throws has
 * no answer. Rejects only when `signal` is aborted.
 */
export async function gatherForecasts(request: GatherRequest): Promise<ReadonlyMap<string, Gathered>> {
  let searches: readonly Search[] = request.points.map((point) => begin(point));
  for (let id = nextSource(searches, request); id !== null; id = nextSource(searches, request)) {
    const asked = id;
    const asking = searches.filter((search) => next(search, request) === asked);
    const { service } = offeredAs(asked, request);
    const answers = await askSource(asked, asking, request);
    searches = searches.map((search) => {
      const answer = asking.includes(search) ? answers.get(search.point.id) : undefined;
      return answer === undefined ? search : continued(search, { id: asked, service, answer });
    });
  }
  return new Map(searches.map((search) => [search.point.id, outcome(search)]));
}

function begin(point: WantedPoint): Search {
  return { point, asked: new Set(), heard: [], errors: [] };
}

interface Answered {
  readonly id: string;
  readonly service: string | null;
  readonly answer: SourceAnswer;
}

function continued(search: Search, { id, service, answer }: Answered): Search {
  const asked = new Set([...search.asked, id]);
  if (!answer.ok) {
    const { error, alerts } = answer;
    const warned = alerts === undefined ? {} : { warnings: alerts };
    return { ...search, asked, errors: [...search.errors, error], ...warned };
  }
  return { ...search, asked, heard: [...search.heard, { service, voice: answer }] };
}

function outcome({ heard, errors, warnings }: Search): Gathered {
  const [first, ...others] = heard;
  const said = { errors, ...(warnings === undefined ? {} : { warnings }) };
  if (first === undefined) return { ok: false, ...said };
  const { voice } = first;
  return { ok: true, forecast: voice.forecast, voice, others: others.map((o) => o.voice), ...said };
}

/** The source a search has to ask next; undefined when it is over. */
function next({ point, asked, heard }: Search, request: GatherRequest): string | undefined {
  const left = point.sources.filter((id) => !asked.has(id));
  const [first] = heard;
  if (first === undefined) return left[0];
  if (!request.compare || first.service === null) return undefined;
  return left.find((id) => {
    const { service } = offeredAs(id, request);
    return service !== null && heard.every((one) => one.service !== service);
  });
}

/** A source that no open search might need later on, so that one call serves all; else the first wanted. */
function nextSource(searches: readonly Search[], request: GatherRequest): string | null {
  const open = searches.flatMap((search) => {
    const id = next(search, request);
    return id === undefined ? [] : [{ id, search }];
  });
  const later = new Set(
    open.flatMap(({ id, search: { point, asked } }) =>
      point.sources.filter((other) => other !== id && !asked.has(other)),
    ),
  );
  return open.find(({ id }) => !later.has(id))?.id ?? open[0]?.id ?? null;
}

function offeredAs(id: string, { sources }: GatherRequest): OfferedSource {
  const offered = sources.find(({ source }) => source.id === id);
  if (offered === undefined) throw new Error(`No weather source has the id "${id}".`);
  return offered;
}

async function askSource(
  id: string,
  searches: readonly Search[],
  request: GatherRequest,
): Promise<ReadonlyMap<string, SourceAnswer>> {
  const { now, signal } = request;
  const offered = offeredAs(id, request);
  const points = searches.map(({ point }) => point);
  try {
    const answers = await offered.source.fetch(points, now, signal);
    return new Map(
      points.map((point) => [point.id, judge(answers.get(point.id), { id, point, now, ...offered })]),
    );
  } catch (cause) {
    signal.throwIfAborted();
    const error = unforeseen(id, cause);
    return new Map(points.map((point) => [point.id, { ok: false, error }]));
  }
}

/** A source that makes us stumble is as good as none, and the next one is asked. */
function unforeseen(id: string, cause: unknown): SourceError {
  const what = printable(cause instanceof Error ? `${cause.name}: ${cause.message}` : String(cause), 200);
  return new SourceError('source-body', `The source "${id}" could not be read (${what}).`, {
    retryable: true,
    hint: 'Its answer is one that drainby does not expect, or this is a bug in drainby: please report it.',
    cause,
  });
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
  if (error === null) return answer;
  return { ok: false, error, ...(answer.alerts !== undefined && { alerts: answer.alerts }) };
}

/**
 * A forecast is as old as its issue; where that is not said, a file as its last change, an answer as its arrival. One
 * that was kept from an earlier round also carries why there is no newer one.
 */
function ageProblem(
  { forecast, writtenAt, keptSince }: Voice,
  { id, now, staleAfterHours }: OfferedSource & { readonly id: string; readonly now: EpochSeconds },
): SourceError | null {
  const { issuedAt, fetchedAt } = forecast;
  if (issuedAt !== null && isAhead(issuedAt, now)) return yetToCome(id, 'was issued', issuedAt);
  if (isAhead(fetchedAt, now)) return yetToCome(id, 'arrived', fetchedAt);
  // A kept forecast beside newer ensembles is as old as its own arrival.
  const since = Math.min(issuedAt ?? writtenAt ?? fetchedAt, keptSince === undefined ? Infinity : fetchedAt);
  if (staleAfterHours === null || now - since <= staleAfterHours * HOUR_S) return null;
  const age = `${isoSecond(since)}, more than ${staleAfterHours} hours ago.`;
  if (keptSince !== undefined) return tooOld(keptSince, age);
  const what =
    issuedAt === null && writtenAt !== undefined
      ? `The file of the source "${id}" was last changed at`
      : `The forecast of the source "${id}" was issued at`;
  return new SourceError('forecast-stale', `${what} ${age}`, {
    retryable: true,
    hint: 'Bring it up to date, or ask another source.',
  });
}

function yetToCome(id: string, what: string, at: EpochSeconds): SourceError {
  const text = `The forecast of the source "${id}" says that it ${what} at ${isoSecond(at)}, which is yet to come.`;
  return new SourceError('forecast-stale', text, {
    hint: 'Check the clock of this machine, and what writes the forecast.',
  });
}

function tooOld(failure: SourceError, age: string): SourceError {
  return new SourceError(failure.code, `${failure.message} Its last good answer is of ${age}`, {
    retryable: failure.retryable,
    cause: failure,
    ...(failure.hint !== null && { hint: failure.hint }),
    ...(failure.retryAfterS !== null && { retryAfterS: failure.retryAfterS }),
  });
}
