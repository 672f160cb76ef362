import { request, type Dispatcher } from 'undici';
import type { EpochSeconds } from '../../quantity/instant.ts';
import type { Point } from '../source.ts';
import { answerFailure, networkFailure, parseJson, textFailure } from './failure.ts';
import type { Failure, FailureContext, RawAnswer } from './failure.ts';
import { forecastQuery, forecastUrl } from './request.ts';

export interface OpenMeteoOptions {
  readonly id: string;
  readonly baseUrl: string;
  /** The key itself; it travels in a header, so that no address in a log or an error holds it. */
  readonly apiKey: string | null;
  readonly horizonHours: number;
  readonly dispatcher: Dispatcher;
  readonly userAgent: string;
  readonly timeouts?: Timeouts;
  readonly maxBodyBytes?: number;
  /** Uniform in [0, 1), for the spread of the waits. */
  readonly random?: () => number;
  readonly sleep?: (ms: number, signal: AbortSignal) => Promise<void>;
}

/** Milliseconds until the status line, between two pieces of the body, and for the whole of one request. */
export interface Timeouts {
  readonly headersMs: number;
  readonly bodyMs: number;
  readonly totalMs?: number;
}

const DEFAULT_TIMEOUTS: Required<Timeouts> = { headersMs: 15_000, bodyMs: 15_000, totalMs: 60_000 };

/** A hundred places of nineteen days are about 3 MB. */
const DEFAULT_MAX_BODY_BYTES = 16 * 1024 * 1024;

/** What one fetch has at hand. */
export interface Visit {
  readonly options: OpenMeteoOptions;
  readonly context: FailureContext;
  readonly now: EpochSeconds;
  readonly signal: AbortSignal;
}

export type Asked =
  { readonly ok: true; readonly value: unknown } | { readonly ok: false; readonly failure: Failure };

/** Asks once. `value` is the JSON of the answer, unread. Rejects only when the caller aborts. */
export async function ask(points: readonly Point[], visit: Visit): Promise<Asked> {
  const outcome = await receive(points, visit);
  if ('error' in outcome) return { ok: false, failure: outcome };
  const failure = answerFailure(outcome, visit.context);
  if (failure !== null) return { ok: false, failure };
  const body = outcome.body ?? '';
  const value = parseJson(body);
  if (value === undefined) return { ok: false, failure: textFailure(body, visit.context) };
  return { ok: true, value };
}

/** One request and its whole body. */
async function receive(points: readonly Point[], visit: Visit): Promise<RawAnswer | Failure> {
  const { options, signal } = visit;
  signal.throwIfAborted();
  const timeouts = { ...DEFAULT_TIMEOUTS, ...options.timeouts };
  const outOfTime = AbortSignal.timeout(timeouts.totalMs);
  let answering = false;
  try {
    const response = await request(
      forecastUrl(options.baseUrl, forecastQuery(points, options.horizonHours)),
      {
        dispatcher: options.dispatcher,
        headers: requestHeaders(options),
        headersTimeout: timeouts.headersMs,
        bodyTimeout: timeouts.bodyMs,
        signal: AbortSignal.any([signal, outOfTime]),
      },
    );
    answering = true;
    const body = await readText(response.body, options.maxBodyBytes ?? DEFAULT_MAX_BODY_BYTES);
    return { status: response.statusCode, headers: response.headers, body };
  } catch (error) {
    signal.throwIfAborted();
    return networkFailure(error, visit.context, { answering, outOfTime: outOfTime.aborted });
  }
}

function requestHeaders(options: OpenMeteoOptions): Record<string, string> {
  return {
    accept: 'application/json',
    'user-agent': options.userAgent,
    ...(options.apiKey !== null && { 'x-api-key': options.apiKey }),
  };
}

/** The body as text; null when it is larger than allowed, in which case the rest is never read. */
async function readText(body: AsyncIterable<Uint8Array>, maxBytes: number): Promise<string | null> {
  const chunks: Uint8Array[] = [];
  let bytes = 0;
  for await (const chunk of body) {
    bytes += chunk.byteLength;
    // Leaving the loop destroys the stream, and with it the connection.
    if (bytes > maxBytes) return null;
    chunks.push(chunk);
  }
  return new TextDecoder().decode(Buffer.concat(chunks));
}
