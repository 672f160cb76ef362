import { STATUS_CODES } from 'node:http';
import { getResponse, type RequestHandler } from 'msw';
import type { SetupServer } from 'msw/node';
import type { Dispatcher } from 'undici';

/**
 * Innermost undici interceptor: the handlers of `server` answer, and no socket is ever opened. Undici's own
 * `request` is not seen by msw otherwise. A request that no handler takes is an error.
 *
 *     const server = setupServer(http.get('http://weather.test/v1/forecast', () => HttpResponse.json({})));
 *     const dispatcher = new Agent().compose(mswBridge(server));
 */
export function mswBridge(server: SetupServer): Dispatcher.DispatcherComposeInterceptor {
  return () => (options, handler) => {
    const flow = new Flow();
    void answer(server, { options, handler, flow }).catch((error: unknown) => {
      handler.onResponseError?.(flow, asError(error));
    });
    return true;
  };
}

/** What the reader of a response may do to it: pause, go on, or give up. */
class Flow implements Dispatcher.DispatchController {
  readonly rawHeaders = null;
  readonly rawTrailers = null;
  readonly #abort = new AbortController();
  #paused: Promise<void> | null = null;
  #resume: () => void = () => {};
  readonly #aborting: Promise<never>;

  constructor() {
    const { signal } = this.#abort;
    this.#aborting = new Promise((_, reject) => {
      signal.addEventListener('abort', () => reject(asError(signal.reason)), { once: true });
    });
    this.#aborting.catch(() => undefined);
  }

  get signal(): AbortSignal {
    return this.#abort.signal;
  }
  get aborted(): boolean {
    return this.#abort.signal.aborted;
  }
  get paused(): boolean {
    return this.#paused !== null;
  }
  get reason(): Error | null {
    return this.aborted ? asError(this.#abort.signal.reason) : null;
  }

  abort(reason: Error): void {
    this.#abort.abort(reason);
    this.resume();
  }
  pause(): void {
    this.#paused ??= new Promise((resolve) => {
      this.#resume = resolve;
    });
  }
  resume(): void {
    this.#paused = null;
    this.#resume();
  }

  /** Resolves once nothing is paused; rejects once aborted. */
  async clear(): Promise<void> {
    while (this.#paused !== null) await this.#paused;
    this.#abort.signal.throwIfAborted();
  }

  /** The promise, or a rejection as soon as the reader gives up. */
  orAborted<T>(promise: Promise<T>): Promise<T> {
    return Promise.race([promise, this.#aborting]);
  }
}

interface Exchange {
  readonly options: Dispatcher.DispatchOptions;
  readonly handler: Dispatcher.DispatchHandler;
  readonly flow: Flow;
}

async function answer(server: SetupServer, { options, handler, flow }: Exchange): Promise<void> {
  handler.onRequestStart?.(flow, {});
  flow.signal.throwIfAborted();
  const request = new Request(addressOf(options), {
    method: options.method,
    headers: headersOf(options.headers),
    ...(typeof options.body === 'string' && { body: options.body }),
  });
  const handlers = server.listHandlers() as RequestHandler[];
  const response = await flow.orAborted(getResponse(handlers, request));
  if (response === undefined) throw new Error(`No msw handler takes ${request.method} ${request.url}.`);
  if (response.type === 'error') throw refusedConnection();
  handler.onResponseStart?.(flow, response.status, receivedHeaders(response), STATUS_CODES[response.status]);
  await sendBody(response, handler, flow);
  handler.onResponseEnd?.(flow, {});
}

async function sendBody(response: Response, handler: Dispatcher.DispatchHandler, flow: Flow): Promise<void> {
  if (response.body === null) return;
  const reader = response.body.getReader();
  try {
    for (;;) {
      await flow.clear();
      const { done, value } = await flow.orAborted(reader.read());
      if (done) return;
      handler.onResponseData?.(flow, Buffer.from(value));
    }
  } finally {
    await reader.cancel().catch(() => undefined);
  }
}

function addressOf(options: Dispatcher.DispatchOptions): URL {
  const url = new URL(options.path, String(options.origin));
  for (const [name, value] of Object.entries(options.query ?? {})) {
    url.searchParams.append(name, String(value));
  }
  return url;
}

function headersOf(given: Dispatcher.DispatchOptions['headers']): Headers {
  const headers = new Headers();
  if (Array.isArray(given)) {
    for (let at = 0; at + 1 < given.length; at += 2) headers.append(String(given[at]), String(given[at + 1]));
    return headers;
  }
  const pairs = given && Symbol.iterator in given ? [...given] : Object.entries(given ?? {});
  for (const [name, value] of pairs) {
    if (value !== undefined) headers.append(name, [value].flat().join(', '));
  }
  return headers;
}

function receivedHeaders(response: Response): Record<string, string> {
  return Object.fromEntries(response.headers);
}

/** As the system reports a port that nobody listens on. */
function refusedConnection(): Error {
  return Object.assign(new Error('connect ECONNREFUSED'), { code: 'ECONNREFUSED' });
}

function asError(reason: unknown): Error {
  return reason instanceof Error ? reason : new Error(String(reason));
}
