import { SourceError, type SourceErrorCode } from '../../errors.ts';
import { DAY_S, type EpochSeconds } from '../../quantity/instant.ts';
import { printable } from '../printable.ts';
import type { ServicePolicy } from './policy.ts';

/**
 * A foreign failure, translated once.
 *
 * `service`: every further request would meet it too. `content`: it may come from one point of several, so that
 * smaller requests may get the others through. `attempt`: it is about this one try.
 */
export interface Failure {
  readonly error: SourceError;
  readonly scope: 'service' | 'content' | 'attempt';
  /** Of the answer; null: none came, or none was asked for. */
  readonly status: number | null;
  /** The service's own words, fit to be printed; null: it gave none. */
  readonly reason: string | null;
}

export interface FailureContext {
  readonly source: string;
  /** Host and port only: an address may carry a key. */
  readonly host: string;
  /** Never shown, even when the service repeats it. */
  readonly secret: string | null;
  readonly now: EpochSeconds;
  readonly policy: ServicePolicy;
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

/** What answered speaks no HTTP, or breaks its rules: codes of undici and of the parser in it. */
const NO_HTTP = /^(HPE_|HTTPParserError$|UND_ERR_HEADERS_OVERFLOW$|UND_ERR_RES_)/;

const REASON_LENGTH = 200;

/** 203: from a product that is about to go, or on trial; its body is as good as any. */
const GOOD = new Set([200, 203]);

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
    status: null,
    reason: null,
  });
  if (at.outOfTime || TIMEOUT_CODES.has(code)) return make('source-timeout', 'did not answer in time');
  if (at.answering) return make('source-body', `broke off in the middle of its answer (${code})`);
  if (NO_HTTP.test(code)) return make('source-body', `sent what is no answer in HTTP (${code})`);
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
  const good = GOOD.has(status);
  if (good && body === null) return tooLarge(status, context);
  const reason = serviceReason(answer, context);
  if (good && reason === null && !isPage(answer)) return null;
  const told = reason === null ? null : (context.policy.waitOf?.(reason, context.now) ?? null);
  if (status === 429 || told !== null) return limited(answer, { reason, told }, context);
  if (status >= 300 && status < 400 && status !== 304) return redirected(answer, context);
  if (mayPass(status, context) || (status < 400 && reason === null)) return faulty(answer, reason, context);
  return refused(status, reason, context);
}

function mayPass(status: number, { policy }: FailureContext): boolean {
  return status >= 500 || status === 408 || status === 425 || (policy.passing?.(status) ?? false);
}

/** A 200 whose text is not JSON: a bare `nan`, a text cut off, an error message written into the stream. */
export function textFailure(body: string, context: FailureContext): Failure {
  const broken = body.includes('Unexpected error while streaming data');
  const what = broken
    ? 'stopped with an error in the middle of its answer'
    : 'answered with text that is not JSON';
  const error = new SourceError('source-body', `${subject(context)} ${what}.`, { retryable: true });
  return { error, scope: 'content', status: 200, reason: null };
}

/** Our own refusal to ask: what the service allows in a day, an hour or a minute is spent. */
export function spentFailure(
  context: FailureContext,
  over: { readonly period: string; readonly waitS: number },
): Failure {
  const text = `${subject(context)} is not asked: what it allows in one ${over.period} is spent.`;
  const error = new SourceError('source-limited', text, {
    retryable: true,
    retryAfterS: over.waitS,
    hint: 'Watch fewer places, ask less often, or use an API key of your own.',
  });
  return { error, scope: 'service', status: null, reason: null };
}

function subject(context: FailureContext): string {
  return `The source "${context.source}" (${context.host})`;
}

function tooLarge(status: number, context: FailureContext): Failure {
  const text = `${subject(context)} answered with more data than is accepted.`;
  const hint = 'Check that baseUrl is the address of a forecast service.';
  const error = new SourceError('source-too-large', text, { hint });
  return { error, scope: 'attempt', status, reason: null };
}

function limited(
  answer: RawAnswer,
  { reason, told }: { readonly reason: string | null; readonly told: number | null },
  context: FailureContext,
): Failure {
  const { limitedWaitS, leastLimitedWaitS = 0 } = context.policy;
  const saidS = headerWait(answer, context.now) ?? told ?? limitedWaitS;
  const retryAfterS = Math.max(leastLimitedWaitS, saidS);
  const error = new SourceError(
    'source-limited',
    `${subject(context)} refuses further requests for now${quoted(reason)}`,
    { retryable: true, retryAfterS, hint: 'Ask less often, or use an API key of your own.' },
  );
  return { error, scope: 'service', status: answer.status, reason };
}

function redirected(answer: RawAnswer, context: FailureContext): Failure {
  const location = single(answer.headers['location']) ?? '';
  const host = URL.canParse(location) ? new URL(location).host : '';
  const target = host === '' ? 'another address' : printable(host, REASON_LENGTH);
  const error = new SourceError(
    'source-refused',
    `${subject(context)} redirects to ${target}, which is not followed.`,
    { hint: 'Set the baseUrl of the source to that host; a customer key has a host of its own.' },
  );
  return { error, scope: 'service', status: answer.status, reason: null };
}

function faulty(answer: RawAnswer, reason: string | null, context: FailureContext): Failure {
  const { status } = answer;
  const page = isPage(answer) ? ' with a web page instead of data' : '';
  const wait = headerWait(answer, context.now);
  const error = new SourceError(
    'source-http',
    `${subject(context)} answered${page} (status ${status})${quoted(reason)}`,
    { retryable: true, ...(wait !== null && { retryAfterS: wait }) },
  );
  // 500 is what one request made the service stumble over; 502 to 504 are outages of the whole.
  return { error, scope: status === 500 ? 'content' : 'attempt', status, reason };
}

function refused(status: number, reason: string | null, context: FailureContext): Failure {
  const text = `${subject(context)} refuses the request (status ${status})${quoted(reason)}`;
  const aboutKey = status === 401 || status === 403 || /api key/i.test(reason ?? '');
  const hint = aboutKey ? context.policy.refusedHint : 'Check the place and the baseUrl.';
  const scope = aboutKey ? 'service' : 'content';
  return { error: new SourceError('source-refused', text, { hint }), scope, status, reason };
}

/** The end of a sentence, with the service's words in it. */
function quoted(reason: string | null): string {
  if (reason === null) return '.';
  return /[.!?]$/.test(reason) ? `: ${reason}` : `: ${reason}.`;
}

function isPage(answer: RawAnswer): boolean {
  const type = single(answer.headers['content-type']) ?? '';
  return /html/i.test(type) || /^\s*</.test(answer.body ?? '');
}

/** The service's own words, fit to be printed; null when there are none. */
function serviceReason({ body, status }: RawAnswer, { policy, secret }: FailureContext): string | null {
  const reason = body === null ? null : (policy.reasonOf?.(body, status) ?? null);
  if (reason === null) return null;
  const shown = secret === null || secret === '' ? reason : reason.replaceAll(secret, '[key]');
  return printable(shown, REASON_LENGTH);
}

/** The value, or undefined for text that is not JSON (which has no word for undefined). */
export function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** The first of a header's values. */
export function single(value: string | string[] | undefined): string | undefined {
  return Array.isArray(value) ? value[0] : value;
}

/** `Retry-After`, seconds or a date, as seconds from now; null when absent or unreadable. */
function headerWait(answer: RawAnswer, now: EpochSeconds): number | null {
  const text = single(answer.headers['retry-after'])?.trim();
  if (text === undefined) return null;
  const seconds = /^\d+$/.test(text) ? Number(text) : Date.parse(text) / 1000 - now;
  return Number.isNaN(seconds) ? null : Math.min(2 * DAY_S, Math.max(1, Math.ceil(seconds)));
}
