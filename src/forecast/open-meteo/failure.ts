import { SourceError, type SourceErrorCode } from '../../errors.ts';
import { DAY_S, HOUR_S, type EpochSeconds } from '../../quantity/instant.ts';
import { errorWire } from './wire.ts';

/**
 * A foreign failure, translated once.
 *
 * `service`: every further request would meet it too. `content`: it may come from one point of several, so that
 * smaller requests may get the others through. `attempt`: it is about this one try.
 */
export interface Failure {
  readonly error: SourceError;
  readonly scope: 'service' | 'content' | 'attempt';
}

export interface FailureContext {
  readonly source: string;
  /** Host and port only: an address may carry a key. */
  readonly host: string;
  /** Never shown, even when the service repeats it. */
  readonly apiKey: string | null;
  readonly now: EpochSeconds;
}

/** An answer as received. `body` is null when it was larger than allowed. */
export interface RawAnswer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | string[] | undefined>>;
  readonly body: string | null;
}

const TIMEOUT_CODES = new Set([
  'UND_ERR_CONNECT_TIMEOUT',
  'UND_ERR_HEADERS_TIMEOUT',
  'UND_ERR_BODY_TIMEOUT',
  'ETIMEDOUT',
]);

const REASON_LENGTH = 200;

/** What the connection did: no answer, or one that broke off. `answering` is true once a status had come. */
export function networkFailure(
  cause: unknown,
  context: FailureContext,
  at: { readonly answering: boolean; readonly outOfTime: boolean },
): Failure {
  const code = foreignCode(cause);
  const detail = { retryable: true, cause, hint: 'Check the network and the baseUrl of the source.' };
  const make = (name: SourceErrorCode, what: string): Failure => ({
    error: new SourceError(name, `${subject(context)} ${what}.`, detail),
    scope: 'attempt',
  });
  if (at.outOfTime || TIMEOUT_CODES.has(code)) return make('source-timeout', 'did not answer in time');
  if (at.answering) return make('source-body', `broke off in the middle of its answer (${code})`);
  return make('source-unreachable', `cannot be reached (${code})`);
}

function foreignCode(cause: unknown): string {
  if (!(cause instanceof Error)) return 'unknown failure';
  const nested = cause instanceof AggregateError ? (cause.errors[0] as unknown) : cause.cause;
  for (const error of [cause, nested]) {
    if (error instanceof Error && 'code' in error && typeof error.code === 'string') return error.code;
  }
  return cause.name;
}

/** Why an answer is none that could be read as data, or null. */
export function answerFailure(answer: RawAnswer, context: FailureContext): Failure | null {
  const { status, body } = answer;
  if (status === 200 && body === null) return tooLarge(context);
  const reason = serviceReason(body, context.apiKey);
  if (status === 200 && reason === null && !isPage(answer)) return null;
  if (status === 429 || (reason !== null && /limit exceeded|too many concurrent/i.test(reason))) {
    return limited(answer, reason, context);
  }
  if (status >= 300 && status < 400) return redirected(answer, context);
  if (status >= 500 || status === 408 || (status < 400 && reason === null)) {
    return faulty(answer, reason, context);
  }
  return refused(status, reason, context);
}

/** A 200 whose text is not JSON: a bare `nan`, a text cut off, an error message written into the stream. */
export function textFailure(body: string, context: FailureContext): Failure {
  const broken = body.includes('Unexpected error while streaming data');
  const what = broken
    ? 'stopped with an error in the middle of its answer'
    : 'answered with text that is not JSON';
  const error = new SourceError('source-body', `${subject(context)} ${what}.`, { retryable: true });
  return { error, scope: 'content' };
}

function subject(context: FailureContext): string {
  return `The source "${context.source}" (${context.host})`;
}

function tooLarge(context: FailureContext): Failure {
  const text = `${subject(context)} answered with more data than is accepted.`;
  const hint = 'Check that baseUrl is the address of a forecast service.';
  return { error: new SourceError('source-too-large', text, { hint }), scope: 'attempt' };
}

function limited(answer: RawAnswer, reason: string | null, context: FailureContext): Failure {
  const retryAfterS = headerWait(answer, context.now) ?? reasonWait(reason ?? '', context.now);
  const error = new SourceError(
    'source-limited',
    `${subject(context)} refuses further requests for now${quoted(reason)}`,
    { retryable: true, retryAfterS, hint: 'Ask less often, or use an API key of your own.' },
  );
  return { error, scope: 'service' };
}

function redirected(answer: RawAnswer, context: FailureContext): Failure {
  const location = single(answer.headers['location']) ?? '';
  const target = URL.canParse(location) ? new URL(location).host : 'another address';
  const error = new SourceError(
    'source-refused',
    `${subject(context)} redirects to ${target}, which is not followed.`,
    { hint: 'Set the baseUrl of the source to that host; a customer key has a host of its own.' },
  );
  return { error, scope: 'service' };
}

function faulty(answer: RawAnswer, reason: string | null, context: FailureContext): Failure {
  const page = isPage(answer) ? ' with a web page instead of data' : '';
  const wait = headerWait(answer, context.now);
  const error = new SourceError(
    'source-http',
    `${subject(context)} answered${page} (status ${answer.status})${quoted(reason)}`,
    { retryable: true, ...(wait !== null && { retryAfterS: wait }) },
  );
  // 500 is what one request made the service stumble over; 502 to 504 are outages of the whole.
  return { error, scope: answer.status === 500 ? 'content' : 'attempt' };
}

function refused(status: number, reason: string | null, context: FailureContext): Failure {
  const text = `${subject(context)} refuses the request (status ${status})${quoted(reason)}`;
  const aboutKey = status === 401 || status === 403 || /api key/i.test(reason ?? '');
  const hint = aboutKey
    ? 'Check the API key and the plan it belongs to.'
    : 'Check the place and the baseUrl.';
  const scope = aboutKey ? 'service' : 'content';
  return { error: new SourceError('source-refused', text, { hint }), scope };
}

function quoted(reason: string | null): string {
  return reason === null ? '.' : `: ${reason}`;
}

function isPage(answer: RawAnswer): boolean {
  const type = single(answer.headers['content-type']) ?? '';
  return /html/i.test(type) || /^\s*</.test(answer.body ?? '');
}

/** The reason in the service's error object, fit to be printed; null when there is none. */
function serviceReason(body: string | null, apiKey: string | null): string | null {
  if (body === null || !body.includes('"reason"')) return null;
  const wire = errorWire.safeParse(parseJson(body));
  if (!wire.success) return null;
  const shown =
    apiKey === null || apiKey === '' ? wire.data.reason : wire.data.reason.replaceAll(apiKey, '[key]');
  return shown
    .replace(/[\p{Cc}\p{Cf}\s]+/gu, ' ')
    .trim()
    .slice(0, REASON_LENGTH);
}

/** The value, or undefined for text that is not JSON (which has no word for undefined). */
export function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

function single(value: string | string[] | undefined): string | undefined {
  return Array.isArray(value) ? value[0] : value;
}

/** `Retry-After`, seconds or a date, as seconds from now; null when absent or unreadable. */
function headerWait(answer: RawAnswer, now: EpochSeconds): number | null {
  const text = single(answer.headers['retry-after'])?.trim();
  if (text === undefined) return null;
  const seconds = /^\d+$/.test(text) ? Number(text) : Date.parse(text) / 1000 - now;
  return Number.isNaN(seconds) ? null : Math.min(2 * DAY_S, Math.max(1, Math.ceil(seconds)));
}

/** The service names its limit in words only; limits start anew at the full minute, hour and UTC day. */
function reasonWait(reason: string, now: EpochSeconds): number {
  if (/concurrent/i.test(reason)) return 5;
  if (/hour/i.test(reason)) return untilNext(HOUR_S, now);
  if (/daily|tomorrow/i.test(reason)) return untilNext(DAY_S, now);
  return 60;
}

function untilNext(period: number, now: EpochSeconds): number {
  return Math.ceil((Math.floor(now / period) + 1) * period - now);
}
