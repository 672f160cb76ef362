/** What is served: readings and answers are taken, and whether the program is well is said. Nothing else. */
import type { HttpBindings } from '@hono/node-server';
import { Hono, type Context } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { secureHeaders } from 'hono/secure-headers';
import { StoreError } from '../errors.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { addAnswerPages, pageHeaders, told, type AnswersServed } from './answer-routes.ts';
import { readBody, type Posted, type PostedMistake } from './body.ts';
import { ANSWER_PATH } from './link.ts';
import type { WebLog } from './log.ts';
import { rateLimit } from './rate.ts';
import { tokenGuard } from './token.ts';

/** What became of readings: counts, or every mistake. */
export type PostResult =
  | { readonly ok: true; readonly counts: object }
  | {
      readonly ok: false;
      readonly mistakes: readonly (PostedMistake & { readonly code: 'unknown-id' | 'invalid' })[];
    };

export interface Wellness {
  /** Null: none has finished yet. */
  readonly lastRoundAt: EpochSeconds | null;
  /** What is not well, in full sentences; empty: all is. */
  readonly reasons: readonly string[];
}

export interface Served {
  /** Null: readings are not taken. */
  readonly token: string | null;
  /** Keeps all or none; none where one is null, which could not be read. May reject with a StoreError. */
  readonly addReadings: (posted: readonly (Posted | null)[]) => Promise<PostResult>;
  /** May reject with a StoreError. */
  readonly wellness: () => Promise<Wellness>;
  readonly now: () => EpochSeconds;
  readonly log: WebLog;
  /** Absent: links lead nowhere. */
  readonly answers?: Pick<AnswersServed, 'desk' | 'origin'>;
}

const MOST_BYTES = 65_536;
/** A sensor that reports every second, or a few that report every ten. Common practice, no source. */
const REQUESTS_PER_MINUTE = 120;
/** Mistaken senders behind one address; apart from the above, so that they shut nobody out. The same. */
const STRANGERS_PER_MINUTE = 30;
/** Apart from both: behind a proxy everybody has the watcher's address, and a watcher refused is an alarm. The same. */
const WATCHERS_PER_MINUTE = 30;
const HEALTH_PATH = '/health';
const MINUTE_S = 60;

interface Env {
  readonly Bindings: HttpBindings;
}

type Ask = Context<Env>;

export function routes(served: Served): Hono<Env> {
  const { token, now } = served;
  const knows = token === null ? () => false : tokenGuard(token);
  const isKnown = (ask: Ask): boolean => knows(ask.req.header('Authorization'));
  const mayHolderAsk = rateLimit({ perMinute: REQUESTS_PER_MINUTE, now });
  const mayStrangerAsk = rateLimit({ perMinute: STRANGERS_PER_MINUTE, now });
  const mayWatcherAsk = rateLimit({ perMinute: WATCHERS_PER_MINUTE, now });
  const mayAsk = (ask: Ask): boolean => {
    if (isKnown(ask)) return mayHolderAsk('');
    return (ask.req.path === HEALTH_PATH ? mayWatcherAsk : mayStrangerAsk)(addressOf(ask));
  };
  const app = new Hono<Env>();
  const headers = secureHeaders({ contentSecurityPolicy: { defaultSrc: ["'none'"] } });
  app.use((ask, next) => (isPage(ask) ? pageHeaders : headers)(ask, next));
  app.use(async (ask, next) => {
    ask.header('Cache-Control', 'no-store');
    // Pages count for themselves: behind a proxy all their readers have one address.
    const isServed = served.answers !== undefined && isPage(ask);
    if (isServed || mayAsk(ask)) {
      await next();
      return undefined;
    }
    ask.header('Retry-After', String(MINUTE_S));
    return refuse(ask, 429, 'Too many requests. Try again in a minute.');
  });
  app.get(HEALTH_PATH, (ask) => health(ask, served));
  app.post(
    '/readings',
    guard(served, isKnown),
    bodyLimit({
      maxSize: MOST_BYTES,
      onError: (ask) =>
        refuse(ask, 413, `The body is longer than ${MOST_BYTES} bytes. Send fewer readings at once.`),
    }),
    (ask) => takeReadings(ask, served),
  );
  if (served.answers !== undefined) addAnswerPages(app, { ...served.answers, now, log: served.log });
  app.all('/readings', (ask) => only(ask, 'POST'));
  app.all(HEALTH_PATH, (ask) => only(ask, 'GET'));
  app.notFound((ask) => refuse(ask, 404, 'There is nothing here. Readings are posted to /readings.'));
  app.onError((error, ask) => failed(error, ask as Ask, served.log));
  return app;
}

function guard({ token, log, now }: Served, isKnown: (ask: Ask) => boolean) {
  const maySay = rateLimit({ perMinute: 1, now });
  return async (ask: Ask, next: () => Promise<void>): Promise<Response | undefined> => {
    if (token === null) return refuse(ask, 403, 'Readings are not taken: the config names no token.');
    if (!isKnown(ask)) {
      const address = addressOf(ask);
      if (maySay(address)) log.warn({ address }, 'Somebody tried to post readings without the right token.');
      ask.header('WWW-Authenticate', 'Bearer');
      return refuse(ask, 401, 'The token is missing or wrong. Send it as "Authorization: Bearer TOKEN".');
    }
    if (!/^application\/json *(;|$)/i.test(ask.req.header('Content-Type') ?? ''))
      return refuse(ask, 415, 'The body must be JSON. Send it as "Content-Type: application/json".');
    await next();
    return undefined;
  };
}

async function takeReadings(ask: Ask, { addReadings, now }: Served): Promise<Response> {
  const text = await ask.req.text();
  const body = asJson(text);
  if (body === undefined) return refuse(ask, 400, 'The body is not JSON.');
  const { posted, mistakes } = readBody(body, now());
  const result = posted.length === 0 ? null : await addReadings(posted);
  if (result?.ok === true && mistakes.length === 0) return ask.json(result.counts);
  const further = result?.ok === false ? result.mistakes : [];
  const all = [...mistakes, ...further.map(({ index, text: said }) => ({ index, text: said }))];
  const isUnknown = mistakes.length === 0 && further.every(({ code }) => code === 'unknown-id');
  const mistakesShown = all.toSorted((a, b) => a.index - b.index).slice(0, MOST_MISTAKES);
  const more = all.length - mistakesShown.length;
  const error = `Nothing was kept. Correct every mistake and send all readings again.${
    more === 0
      ? ''
      : ` The first ${MOST_MISTAKES} are listed, and ${more.toLocaleString('en')} more were found.`
  }`;
  return ask.json({ error, mistakes: mistakesShown }, isUnknown ? 404 : 422);
}

/** Nobody reads more, and 64 kB of ones would be answered with megabytes. */
const MOST_MISTAKES = 20;

/** 200 only while the program does its work: whoever watches it is to be called when it goes blind. */
async function health(ask: Ask, { wellness }: Served): Promise<Response> {
  const { lastRoundAt, reasons } = await wellness();
  const isWell = reasons.length === 0;
  const said = { ok: isWell, lastRound: lastRoundAt === null ? null : isoSecond(lastRoundAt) };
  return isWell ? ask.json(said) : ask.json({ ...said, reason: reasons.join(' ') }, 503);
}

function only(ask: Ask, method: string): Response {
  ask.header('Allow', method);
  return refuse(ask, 405, `Only ${method} is served here.`);
}

/** Nobody waits for the answer to a request that was given up, and it is nothing to be logged. */
function failed(error: Error, ask: Ask, log: WebLog): Response {
  if (ask.env.incoming.destroyed && !ask.env.incoming.complete)
    return refuse(ask, 400, 'The request was cut off.');
  if (error instanceof StoreError) {
    log.error({ code: error.code, error: error.message, hint: error.hint }, 'A request could not be served.');
    ask.header('Retry-After', String(MINUTE_S));
    return refuse(ask, 503, 'The database cannot be used now. Try again in a minute.');
  }
  log.error({ error: error.stack }, 'A request failed. This is a bug.');
  return isPage(ask) ? told(ask, 500) : refuse(ask, 500, 'This is a bug in drainby; its log says more.');
}

function refuse(
  ask: Ask,
  status: 400 | 401 | 403 | 404 | 405 | 413 | 415 | 429 | 500 | 503,
  error: string,
): Response {
  return ask.json({ error }, status);
}

function isPage(ask: Context): boolean {
  return ask.req.path.startsWith(ANSWER_PATH);
}

function addressOf(ask: Ask): string {
  return ask.env.incoming.socket.remoteAddress ?? '';
}

/** Undefined: it is none. */
function asJson(text: string): unknown {
  try {
    return JSON.parse(text) as unknown;
  } catch {
    return undefined;
  }
}
