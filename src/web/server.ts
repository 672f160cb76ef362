/** The web server: opened by the daemon when the config names an address. */
import { once } from 'node:events';
import { createServer, type Server } from 'node:http';
import { isIPv6, type AddressInfo } from 'node:net';
import { setTimeout as sleep } from 'node:timers/promises';
import { createAdaptorServer } from '@hono/node-server';
import { ConfigError } from '../errors.ts';
import { routes, type Served } from './routes.ts';

export interface WebOptions extends Served {
  /** `host:port`; port 0 takes a free one. */
  readonly listen: string;
  /** Aborted when the program is to end: nothing new is taken from then on. */
  readonly signal: AbortSignal;
  readonly timeouts?: Partial<WebTimeouts>;
}

/** In milliseconds. */
export interface WebTimeouts {
  /** From the first byte of a request to the last of its head. */
  readonly head: number;
  /** To the last byte of its body. */
  readonly request: number;
  /** Between two requests on one connection. */
  readonly idle: number;
  /** How long a request in hand may take once the server closes. */
  readonly grace: number;
}

export interface Web {
  /** `http://host:port`. */
  readonly address: string;
  /** Resolves when the last connection is closed. */
  close(): Promise<void>;
}

/** Small bodies from the same house or behind a proxy: whoever is slower holds a connection for nothing. */
const TIMEOUTS: WebTimeouts = { head: 5000, request: 10_000, idle: 5000, grace: 1000 };

const MOST_CONNECTIONS = 64;

/** @throws ConfigError when the address cannot be used, as when another program has it. */
export async function openWeb(options: WebOptions): Promise<Web> {
  const { listen, signal } = options;
  const timeouts = { ...TIMEOUTS, ...options.timeouts };
  const server = serverOf(options, timeouts);
  const [, host = '', port = ''] = /^\[?(.*?)\]?:(\d+)$/.exec(listen) ?? [];
  server.listen(Number(port), host);
  try {
    await once(server, 'listening');
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new ConfigError('config-invalid', [`The web address ${listen} cannot be used: ${reason}.`], {
      hint: 'End the program that has it, or name another address under web.listen.',
      cause,
    });
  }
  let closing: Promise<void> | null = null;
  const close = (): Promise<void> => (closing ??= closed(server, timeouts.grace));
  const onAbort = (): void => void close();
  signal.addEventListener('abort', onAbort, { once: true });
  if (signal.aborted) onAbort();
  return {
    address: addressOf(server),
    async close() {
      signal.removeEventListener('abort', onAbort);
      await close();
    },
  };
}

const RETRY_MS = 5000;

/**
 * For the daemon, whose warnings matter more than its web address: goes on trying until the address can be used, as
 * after a reload whose forerunner still has it, and says so in the log.
 */
export function keepWeb(options: WebOptions, retryMs = RETRY_MS): Pick<Web, 'close'> {
  const stop = new AbortController();
  const signal = AbortSignal.any([options.signal, stop.signal]);
  const running = serveUntil(signal, { ...options, signal }, retryMs);
  return {
    async close() {
      stop.abort();
      await running;
    },
  };
}

async function serveUntil(signal: AbortSignal, options: WebOptions, retryMs: number): Promise<void> {
  const { log } = options;
  let said = '';
  while (!signal.aborted) {
    try {
      const web = await openWeb(options);
      log.info({ address: web.address }, 'Readings are taken over HTTP.');
      await aborted(signal);
      await web.close();
    } catch (error) {
      if (!(error instanceof ConfigError)) throw error;
      if (error.message !== said) log.error({ error: error.message, hint: error.hint }, FAILED);
      said = error.message;
      await sleep(retryMs, undefined, { signal }).catch(() => undefined);
    }
  }
}

const FAILED = 'Nothing is served over HTTP until the address is free; it is tried again.';

function serverOf(served: Served, timeouts: WebTimeouts): Server {
  const server = createAdaptorServer({
    fetch: routes(served).fetch,
    createServer,
    serverOptions: {
      headersTimeout: timeouts.head,
      requestTimeout: timeouts.request,
      keepAliveTimeout: timeouts.idle,
      connectionsCheckingInterval: Math.min(1000, timeouts.head, timeouts.request),
      maxHeaderSize: 8192,
    },
  }) as Server;
  server.maxConnections = MOST_CONNECTIONS;
  return server;
}

async function closed(server: Server, graceMs: number): Promise<void> {
  const ended = once(server, 'close');
  server.close();
  server.closeIdleConnections();
  const last = setTimeout(() => server.closeAllConnections(), graceMs);
  await ended;
  clearTimeout(last);
}

function addressOf(server: Server): string {
  const { address, port } = server.address() as AddressInfo;
  return `http://${isIPv6(address) ? `[${address}]` : address}:${port}`;
}

function aborted(signal: AbortSignal): Promise<void> {
  if (signal.aborted) return Promise.resolve();
  return new Promise((resolve) => {
    signal.addEventListener('abort', () => resolve(), { once: true });
  });
}
