import { setTimeout as delay } from 'node:timers/promises';
import type { Dispatcher } from 'undici';
import { SourceError } from '../../errors.ts';
import type { EpochSeconds } from '../../quantity/instant.ts';
import { overspent } from './budget.ts';
import { exchange, type Timeouts } from './exchange.ts';
import { answerFailure, networkFailure, parseJson, single, spentFailure, textFailure } from './failure.ts';
import type { Failure, FailureContext, RawAnswer } from './failure.ts';
import { freshUntil, isAhead, isFresh } from './freshness.ts';
import type { ServicePolicy } from './policy.ts';
import type { Shelf, Shelved } from './shelf.ts';

export interface ServiceOptions {
  readonly id: string;
  readonly dispatcher: Dispatcher;
  readonly userAgent: string;
  readonly shelf: Shelf;
  readonly policy: ServicePolicy;
  /** Sent with every request beside `user-agent` and `accept: application/json`; may replace the latter. */
  readonly headers?: Readonly<Record<string, string>>;
  /** Never shown: not on the shelf, not in an error. */
  readonly secret?: string | null;
  readonly timeouts?: Timeouts;
  readonly maxBodyBytes?: number;
  /** Uniform in [0, 1), for the spread of the waits. */
  readonly random?: () => number;
  readonly sleep?: (ms: number, signal: AbortSignal) => Promise<void>;
}

export interface Ask {
  readonly url: URL;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
  /** Calls that the service counts for it; 1 unless given. */
  readonly weight?: number;
  /** Of the day's and the hour's allowance, that this may bring the count to; absent: all of it. */
  readonly share?: number;
  /** In place of the policy's [s], for what changes seldom or often. */
  readonly leastFreshS?: number;
  /** In place of the policy's: what one fetch may still spend on trying again. */
  readonly tries?: number;
  /** Neither looked up on the shelf nor asked conditionally: what lies there cannot be used, or is kept in parts. */
  readonly anew?: boolean;
  /** The caller asks for less when the text is no JSON, so that the same is not asked for again. */
  readonly divisible?: boolean;
}

export type Fetched =
  | {
      readonly ok: true;
      readonly value: unknown;
      /** When the service last said that this is its answer. */
      readonly fetchedAt: EpochSeconds;
      /** False: the body comes from the shelf, not expired or confirmed by 304. */
      readonly fresh: boolean;
      /** 200, 203 or 304; 200 also where nothing was asked. */
      readonly status: number;
      readonly remarks: readonly string[];
      /** Requests that were made. */
      readonly tries: number;
      /** Puts it on the shelf; to be called once the body has been read as usable. */
      keep(): Promise<void>;
    }
  | { readonly ok: false; readonly failure: Failure; readonly tries: number };

/** What lies on the shelf, read as JSON. */
export interface OnShelf {
  readonly value: unknown;
  readonly fetchedAt: EpochSeconds;
  /** Whether it need not be asked for again yet. */
  readonly fresh: boolean;
}

/** A service that answers GET with JSON. Nothing rejects for what the service does, only when a signal is aborted. */
export interface Service {
  ask(ask: Ask): Promise<Fetched>;
  /** Null: nothing, or what was kept while the clock was ahead, and may be of any age. */
  shelved(url: URL, now: EpochSeconds): Promise<OnShelf | null>;
  /**
   * Keeps a value under an address of its own: one place out of an answer for many. Answers why it is none that can be
   * kept; null: it can.
   */
  keep(url: URL, value: unknown, ask: Pick<Ask, 'now' | 'leastFreshS'>): Promise<SourceError | null>;
}

/** A wait that the service names is sat out up to this long; a longer one ends the fetch. */
const LONGEST_WAIT_S = 10;

/** So long is a minute's allowance waited for, which only many places exhaust, and so often in one ask. */
const MINUTE_S = 60;
const MOST_MINUTES = 3;

/** What a service remembers while the program runs. */
interface State {
  /** Time that the fetch of `now` has waited: its next request is made so much later. */
  waited: { readonly now: EpochSeconds; readonly s: number };
  /** Hosts that asked to be left alone, and until when. */
  readonly resting: Map<string, { readonly until: EpochSeconds; readonly failure: Failure }>;
}

export function openService(options: ServiceOptions): Service {
  const state: State = { waited: { now: Number.NaN, s: 0 }, resting: new Map() };
  return {
    ask: (ask) => answer(ask, options, state),
    shelved: async (url, now) => {
      const held = await find(url, options);
      if (held === null || isAhead(held.row.fetchedAt, now)) return null;
      return { value: held.value, fetchedAt: held.row.fetchedAt, fresh: isFresh(held.row, now) };
    },
    keep: async (url, value, { now, leastFreshS = options.policy.leastFreshS }) => {
      const body = textOf(value, options.id);
      if (typeof body !== 'string') return body;
      const row = { url: shelfKey(url, options), body, fetchedAt: now };
      const expiresAt = now + leastFreshS;
      await options.shelf.keep(options.id, { ...row, etag: null, lastModified: null, expiresAt });
      return null;
    },
  };
}

/** JSON is read to any depth, but written only to that of the stack. */
function textOf(value: unknown, id: string): string | SourceError {
  try {
    return JSON.stringify(value);
  } catch (cause) {
    const text = `The source "${id}" answered with data nested so deep that it cannot be kept.`;
    return new SourceError('source-body', text, { retryable: true, cause });
  }
}

interface Held {
  readonly row: Shelved;
  readonly value: unknown;
}

/** A body that is no JSON any more is as good as none. */
async function find(url: URL, options: ServiceOptions): Promise<Held | null> {
  const row = await options.shelf.find(options.id, shelfKey(url, options));
  const value = row === null ? undefined : parseJson(row.body);
  return row === null || value === undefined ? null : { row, value };
}

/** The address without what is secret in it. */
function shelfKey(url: URL, { secret }: ServiceOptions): string {
  const bare = new URL(url);
  bare.username = '';
  bare.password = '';
  const shown = bare.href.replace(/([?&][^=&]*(?:key|token|secret)[^=&]*=)[^&]*/gi, '$1');
  return secret === undefined || secret === null || secret === '' ? shown : shown.replaceAll(secret, '');
}

async function answer(ask: Ask, options: ServiceOptions, state: State): Promise<Fetched> {
  const held = ask.anew === true ? null : await find(ask.url, options);
  if (held !== null && isFresh(held.row, ask.now)) return unasked(held);
  for (let tries = 1; ; tries += 1) {
    const at = ask.now + (state.waited.now === ask.now ? state.waited.s : 0);
    const outcome = await tryOnce({ ask, held, at }, options, state);
    if (outcome.ok) return { ...outcome, tries };
    const waitMs = waitBefore(outcome.failure, { ask, tries }, options);
    if (waitMs === null) return { ...outcome, tries };
    await (options.sleep ?? sleep)(waitMs, ask.signal);
    ask.signal.throwIfAborted();
    state.waited = { now: ask.now, s: at - ask.now + waitMs / 1000 };
  }
}

function unasked({ value, row }: Held): Fetched {
  const nothing = async (): Promise<void> => {};
  const { fetchedAt } = row;
  return { ok: true, value, fetchedAt, fresh: false, status: 200, remarks: [], tries: 0, keep: nothing };
}

interface Try {
  readonly ask: Ask;
  readonly held: Held | null;
  /** When it is made. */
  readonly at: EpochSeconds;
}

type Outcome =
  Omit<Extract<Fetched, { ok: true }>, 'tries'> | { readonly ok: false; readonly failure: Failure };

async function tryOnce(now: Try, options: ServiceOptions, state: State): Promise<Outcome> {
  const { host } = now.ask.url;
  const resting = state.resting.get(host);
  if (resting !== undefined && now.at < resting.until) return { ok: false, failure: resting.failure };
  const { id, policy, secret = null } = options;
  const context = { source: id, host, secret, now: now.at, policy };
  const { weight = 1, share } = now.ask;
  const spent = await options.shelf.spent(id, now.at);
  const over = overspent(
    { allowance: policy.allowance, spent, weight, ...(share !== undefined && { share }) },
    now.at,
  );
  if (over !== null) return { ok: false, failure: spentFailure(context, over) };
  await options.shelf.spend(id, weight, now.at);
  const received = await send(now, options);
  if ('cause' in received) return { ok: false, failure: networkFailure(received.cause, context, received) };
  const outcome = readAnswer(received, { ...now, context }, options);
  const restS = outcome.ok ? 0 : restAfter(outcome.failure, policy);
  // Asking a service that limits us, before it said, only makes it limit us for longer.
  if (!outcome.ok && restS > LONGEST_WAIT_S) {
    state.resting.set(host, { until: now.at + restS, failure: outcome.failure });
  }
  return outcome;
}

/** Seconds for which the host is left alone. */
function restAfter({ error, status }: Failure, { refusedRestS = 0 }: ServicePolicy): number {
  return error.retryAfterS ?? (status === 401 || status === 403 ? refusedRestS : 0);
}

function send({ ask, held }: Try, options: ServiceOptions): ReturnType<typeof exchange> {
  const headers = {
    accept: 'application/json',
    ...options.headers,
    'user-agent': options.userAgent,
    ...(held?.row.etag && { 'if-none-match': held.row.etag }),
    ...(held?.row.lastModified && { 'if-modified-since': held.row.lastModified }),
  };
  const { dispatcher, timeouts, maxBodyBytes, policy } = options;
  const { url, signal } = ask;
  const { followsRedirects } = policy;
  return exchange({ url, headers, dispatcher, timeouts, maxBodyBytes, followsRedirects, signal });
}

function readAnswer(
  received: RawAnswer,
  { ask, held, at, context }: Try & { readonly context: FailureContext },
  options: ServiceOptions,
): Outcome {
  const { status, headers, body } = received;
  const confirmed = status === 304 ? held : null;
  const failure = confirmed === null ? answerFailure(received, context) : null;
  if (failure !== null) return { ok: false, failure };
  const value = confirmed === null ? parseJson(body ?? '') : confirmed.value;
  if (value === undefined) return { ok: false, failure: textFailure(body ?? '', context) };
  const { leastFreshS = options.policy.leastFreshS } = ask;
  const row: Shelved = {
    url: shelfKey(ask.url, options),
    body: confirmed?.row.body ?? body ?? '',
    fetchedAt: ask.now,
    // A product on trial may ignore what it is asked conditionally, and then never be read again.
    etag: status === 203 ? null : (single(headers['etag']) ?? confirmed?.row.etag ?? null),
    lastModified:
      status === 203 ? null : (single(headers['last-modified']) ?? confirmed?.row.lastModified ?? null),
    expiresAt: freshUntil(headers, at, { ...options.policy, leastFreshS }),
  };
  const keep = (): Promise<void> => options.shelf.keep(options.id, row);
  const remarks = status === 203 ? [passingProduct(options.id)] : [];
  return { ok: true, value, fetchedAt: ask.now, fresh: confirmed === null, status, remarks, keep };
}

function passingProduct(id: string): string {
  return `The source "${id}" says that what it was asked for is on trial or about to be withdrawn (status 203).`;
}

/** Milliseconds to wait before the same is asked for once more; null: it is not. */
function waitBefore(
  { error, status }: Failure,
  { ask, tries }: { readonly ask: Ask; readonly tries: number },
  options: ServiceOptions,
): number | null {
  const random = options.random ?? Math.random;
  const waitS = error.retryAfterS;
  const ours = status === null && error.code === 'source-limited';
  const ever = (ask.weight ?? 1) <= (options.policy.allowance?.minute ?? Number.POSITIVE_INFINITY);
  if (ours && ever && waitS !== null && waitS <= MINUTE_S && tries <= MOST_MINUTES) return waitS * 1000;
  // It has cost up to a minute already, and the next try would most likely cost another.
  if (error.code === 'source-timeout') return null;
  if (!error.retryable || tries >= (ask.tries ?? options.policy.tries)) return null;
  if (ask.divisible === true && error.code === 'source-body' && status !== null) return null;
  // Waits are spread, so that clients do not march in step: 1 s, 2 s, 4 s by half, a named one by a tenth beyond it.
  if (waitS === null) return 1000 * 2 ** (tries - 1) * (0.5 + random());
  return waitS <= LONGEST_WAIT_S ? waitS * 1000 * (1 + 0.1 * random()) : null;
}

async function sleep(ms: number, signal: AbortSignal): Promise<void> {
  await delay(ms, undefined, { signal });
}
