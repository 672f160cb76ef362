/** What is served: readings are taken, and whether the program is well is said. Nothing else. */
import type { HttpBindings } from '@hono/node-server';
import { Hono, type Context } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { secureHeaders } from 'hono/secure-headers';
import { StoreError } from '../errors.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { readBody, type Posted, type PostedMistake } from './body.ts';
import { rateLimit } from './rate.ts';
import { tokenGuard } from './token.ts';

export interface WebLog {
  info(fields: object, message: string): void;
  warn(fields: object, message: string): void;
  error(fields: object, message: string): void;
}

/** What became of readings: counts, or every mistake. */
export type PostResult =
  | { readonly ok: true; readonly counts: object }
  | {
      readonly ok: false;
      readonly mistakes: readonly (PostedMistake & { readonly code: 'unknown-id' | 'invalid' })[];
    };

export interface Served {
  /** Null: readings are not taken. */
  readonly token: string | null;
  /** Keeps all or none; none where one is null, which could not be read. May reject with a StoreError. */
  readonly addReadings: (posted: readonly (Posted | null)[]) => Promise<PostResult>;
  /** When the last round finished; null: none yet. May reject with a StoreError. */
  readonly lastRound: () => Promise<EpochSeconds | null>;
  readonly now: () => EpochSeconds;
  readonly log: WebLog;
}

const MOST_BYTES = 65_536;
/** A sensor that reports every second, or a few that report every ten. Common practice, no source. */
const REQUESTS_PER_MINUTE = 120;
const MINUTE_S = 60;

interface Env {
  readonly Bindings: HttpBindings;
}

type Ask = Context<Env>;

export function routes(served: Served): Hono<Env> {
  const mayAsk = rateLimit({ perMinute: REQUESTS_PER_MINUTE, now: served.now });
  const app = new Hono<Env>();
  app.use(secureHeaders({ contentSecurityPolicy: { defaultSrc: ["'none'"] } }));
  app.use(async (ask, next) => {
    ask.header('Cache-Control', 'no-store');
    if (mayAsk(addressOf(ask))) {
      await next();
      return undefined;
    }
    ask.header('Retry-After', String(MINUTE_S));
    return refuse(ask, 429, 'Too many requests. Try again in a minute.');
  });
  app.get('/health', (ask) => health(ask, served));
  app.post(
    '/readings',
    guard(served),
    bodyLimit({
      maxSize: MOST_BYTES,
      onError: (ask) =>
        refuse(ask, 413, `The body is longer than ${MOST_BYTES} bytes. Send fewer readings at once.`),
    }),
    (ask) => takeReadings(ask, served),
  );
  app.all('/readings', (ask) => only(ask, 'POST'));
  app.all('/health', (ask) => only(ask, 'GET'));
  app.notFound((ask) => refuse(ask, 404, 'There is nothing here. Readings are posted to /readings.'));
  app.onError((error, ask) => failed(error, ask as Ask, served.log));
  return app;
}

function guard({ token, log, now }: Served) {
  const knows = token === null ? null : tokenGuard(token);
  const maySay = rateLimit({ perMinute: 1, now });
  return async (ask: Ask, next: () => Promise<void>): Promise<Response | undefined> => {
    if (knows === null) return refuse(ask, 403, 'Readings are not taken: the config names no token.');
    if (!knows(ask.req.header('Authorization'))) {
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
  const error = 'Nothing was kept. Correct every mistake and send all readings again.';
  return ask.json({ error, mistakes: all.toSorted((a, b) => a.index - b.index) }, isUnknown ? 404 : 422);
}

async function health(ask: Ask, { lastRound }: Served): Promise<Response> {
  const at = await lastRound();
  return ask.json({ ok: true, lastRound: at === null ? null : isoSecond(at) });
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
  return refuse(ask, 500, 'This is a bug in drainby; its log says more.');
}

function refuse(
  ask: Ask,
  status: 400 | 401 | 403 | 404 | 405 | 413 | 415 | 429 | 500 | 503,
  error: string,
): Response {
  return ask.json({ error }, status);
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
