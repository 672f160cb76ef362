/** The pages that links lead to. Looking at one changes nothing; only its button does. */
import { createHash } from 'node:crypto';
import type { HttpBindings } from '@hono/node-server';
import type { Context, Hono } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { secureHeaders } from 'hono/secure-headers';
import { StoreError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { readForm, type FilledIn } from './answer-form.ts';
import { STYLE, answerPage } from './answer-page.ts';
import type { AnswerView } from './answer-view.ts';
import { ANSWER_PATH, openToken, sealStatement } from './link.ts';
import { rateLimit } from './rate.ts';
import type { WebLog } from './log.ts';
import type { Statement } from './statement.ts';

export interface Shown {
  readonly status: PageStatus;
  readonly view: AnswerView;
}

type PageStatus = 200 | 400 | 403 | 404 | 405 | 409 | 410 | 413 | 415 | 422 | 429 | 500 | 503;

/** Knows the units and what they hold. Each may reject with a StoreError. */
export interface AnswerDesk {
  /** What links are signed with. */
  key(): Promise<Uint8Array>;
  look(statement: Statement): Promise<Shown>;
  /** @param press - tells this press of the button from any other */
  give(statement: Statement, filledIn: FilledIn, press: string): Promise<Shown>;
  /** For a link that is too old, whoever holds it. */
  expired(statement: Statement): Promise<Shown>;
}

export interface AnswersServed {
  readonly desk: AnswerDesk;
  /** Origin of the public address: pages are under it. */
  readonly origin: string;
  readonly now: () => EpochSeconds;
  readonly log: WebLog;
}

/** What refusals need besides. */
interface Door extends AnswersServed {
  /** Whoever holds no link that was ever good. */
  readonly mayStrangerAsk: (address: string) => boolean;
}

interface Env {
  readonly Bindings: HttpBindings;
}

type Ask = Context<Env>;

const MOST_BYTES = 8192;

/** A scanner that fetches a link several times, and its reader after it. Common practice, no source. */
const PER_LINK_AND_MINUTE = 30;

/** Readers behind one proxy who cut a link short; those who try many are slowed down. Common practice, no source. */
const STRANGERS_PER_MINUTE = 30;

/** The one style sheet stands in the page; nothing else is run, fetched or framed. */
export const pageHeaders = secureHeaders({
  contentSecurityPolicy: {
    defaultSrc: ["'none'"],
    styleSrc: [`'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`],
    formAction: ["'self'"],
    baseUri: ["'none'"],
    frameAncestors: ["'none'"],
  },
  xFrameOptions: 'DENY',
});

export function addAnswerPages(app: Hono<Env>, answers: AnswersServed): void {
  const { now } = answers;
  const mayLinkAsk = rateLimit({ perMinute: PER_LINK_AND_MINUTE, now });
  const served: Door = { ...answers, mayStrangerAsk: rateLimit({ perMinute: STRANGERS_PER_MINUTE, now }) };
  const path = `${ANSWER_PATH}:token` as const;
  const limit = bodyLimit({
    maxSize: MOST_BYTES,
    onError: (ask) => refused(ask as Ask, served, 413),
  });
  app.use(`${ANSWER_PATH}*`, async (ask, next) => {
    ask.header('X-Robots-Tag', 'noindex, nofollow');
    await next();
  });
  app.get(path, (ask) => page(ask, { served, mayLinkAsk }, ({ desk }, statement) => desk.look(statement)));
  app.post(path, refuseForeign(served), limit, async (ask) => {
    const body = await ask.req.text();
    return page(ask, { served, mayLinkAsk }, ({ desk }, statement, token) =>
      desk.give(statement, readForm(body), pressOf(token, body)),
    );
  });
  app.all(path, (ask) => {
    ask.header('Allow', 'GET, HEAD, POST');
    return refused(ask, served, 405);
  });
  app.all(`${ANSWER_PATH}*`, (ask) => refused(ask, served, 404));
}

function refused(ask: Ask, { mayStrangerAsk }: Door, status: keyof typeof TOLD): Response {
  return told(ask, mayStrangerAsk(addressOf(ask)) ? status : 429);
}

/** The same button pressed twice sends the same twice. What stands in the database makes no link. */
function pressOf(token: string, body: string): string {
  return createHash('sha256').update(token).update('\0').update(body).digest('base64url');
}

interface Pages {
  readonly served: Door;
  readonly mayLinkAsk: (token: string) => boolean;
}

type Answering = (served: Door, statement: Statement, token: string) => Promise<Shown>;

async function page(ask: Ask, { served, mayLinkAsk }: Pages, answering: Answering): Promise<Response> {
  const { desk, now } = served;
  const token = ask.req.param('token') ?? '';
  try {
    const key = await desk.key();
    const opened = openToken(token, key, now());
    if (!opened.ok && opened.why === 'void') return refused(ask, served, 400);
    if (!mayLinkAsk(token)) return told(ask, 429);
    const shown = opened.ok
      ? await answering(served, opened.statement, token)
      : await desk.expired(opened.statement);
    return ask.html(answerPage(shown.view, hrefsOf(shown.view, opened.statement, key)), shown.status);
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    served.log.error({ code: error.code, error: error.message, hint: error.hint }, FAILED);
    return told(ask, 503);
  }
}

const FAILED = 'A page for an answer could not be served.';

/** The other answers of the same message, for as long as this one lasts. */
function hrefsOf({ question }: AnswerView, statement: Statement, key: Uint8Array): Record<string, string> {
  const answers = question?.answers ?? [];
  return Object.fromEntries(
    answers.map(({ answer }) => [answer, sealStatement({ ...statement, answer }, key)]),
  );
}

/**
 * A form of another page cannot know the link, and needs none of our guards; still, nothing but this page's own form is
 * expected. Without a referrer, browsers send "null" for the origin of a form (Fetch, "append a request Origin header").
 */
function refuseForeign(served: Door) {
  return async (ask: Ask, next: () => Promise<void>): Promise<Response | undefined> => {
    const from = ask.req.header('Origin') ?? 'null';
    const isForeign = from !== 'null' && from !== served.origin && from !== new URL(ask.req.url).origin;
    if (isForeign || ask.req.header('Sec-Fetch-Site') === 'cross-site') return refused(ask, served, 403);
    const type = ask.req.header('Content-Type');
    if (type !== undefined && !/^application\/x-www-form-urlencoded *(;|$)/i.test(type))
      return refused(ask, served, 415);
    await next();
    return undefined;
  };
}

const TOLD: Readonly<Record<Exclude<PageStatus, 200 | 409 | 410 | 422>, readonly [string, string]>> = {
  400: [
    'This link is not valid',
    'It was cut off, changed, or made with a key that was replaced since. Nothing was changed. Open it from the message itself, or take one from a newer message.',
  ],
  403: [
    'Not from here',
    'This was sent by another page. Nothing was changed. Open the link and press its button.',
  ],
  404: ['There is nothing here', 'Open the link as it stands in the message.'],
  405: ['Not like that', 'A link is opened, and its button pressed; nothing else is served here.'],
  413: ['Too long', 'More was sent than the form of this page holds. Nothing was changed.'],
  415: ['Not a form', 'Only what the form of this page sends is taken. Nothing was changed.'],
  429: ['Too many requests', 'Nothing was changed. Try again in a minute.'],
  500: [
    'Something is wrong',
    'This is a bug in drainby; its log says more. Say it by "drainby mark" for now.',
  ],
  503: [
    'Not now',
    'The database cannot be used at this moment. Your answer was not kept: try again in a minute, or say it by "drainby mark".',
  ],
};

/** A page without a unit. */
export function told(ask: Ask, status: keyof typeof TOLD): Response {
  const [title, text] = TOLD[status];
  if (status === 429 || status === 503) ask.header('Retry-After', '60');
  const view: AnswerView = {
    title,
    unit: null,
    notes: [{ kind: 'wrong', text }],
    rows: [],
    form: null,
    question: null,
    command: null,
  };
  return ask.html(answerPage(view, {}), status);
}

function addressOf(ask: Ask): string {
  return ask.env.incoming.socket.remoteAddress ?? '';
}
