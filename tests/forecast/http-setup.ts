import { once } from 'node:events';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { Agent } from 'undici';
import { memoryShelf } from '../support/memory-shelf.ts';
import type { ServicePolicy } from '../../src/forecast/http/policy.ts';
import { openService, type Ask, type Fetched, type ServiceOptions } from '../../src/forecast/http/service.ts';
import type { Service } from '../../src/forecast/http/service.ts';
import type { Shelf, Shelved } from '../../src/forecast/http/shelf.ts';
import { parseInstant } from '../../src/quantity/instant.ts';

export const NOW = parseInstant('2026-01-10T08:30:00Z')!;

export const POLICY: ServicePolicy = {
  leastFreshS: 600,
  mostFreshS: 7200,
  followsRedirects: false,
  allowance: null,
  tries: 3,
  limitedWaitS: 60,
  refusedHint: 'Say who you are.',
};

export type Reply = (request: IncomingMessage, response: ServerResponse, count: number) => unknown;

/** A server on the loopback interface that does with a connection whatever a test says. */
export interface RawServer {
  readonly url: string;
  readonly requests: readonly IncomingMessage[];
  reply: Reply;
  close(): Promise<void>;
}

export async function startRawServer(): Promise<RawServer> {
  const requests: IncomingMessage[] = [];
  const server = createServer((request, response) => {
    requests.push(request);
    raw.reply(request, response, requests.length);
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  const raw: RawServer = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    requests,
    reply: json({}),
    close: async () => {
      const closed = once(server, 'close');
      server.close();
      server.closeAllConnections();
      await closed;
    },
  };
  return raw;
}

export function json(value: unknown, headers: Record<string, string> = {}, status = 200): Reply {
  return (_, response) => {
    response.writeHead(status, { 'content-type': 'application/json', ...headers }).end(JSON.stringify(value));
  };
}

export interface OpenedService {
  readonly service: Service;
  readonly shelf: Shelf;
  /** Milliseconds of every wait. */
  readonly waits: number[];
  readonly rows: Shelved[];
  ask(path: string, more?: Partial<Ask>): Promise<Fetched>;
  close(): Promise<void>;
}

export function opened(server: RawServer, options: Partial<ServiceOptions> = {}): OpenedService {
  const waits: number[] = [];
  const rows: Shelved[] = [];
  const agent = new Agent();
  const memory = memoryShelf();
  const shelf: Shelf = {
    ...memory,
    keep: async (source, row) => {
      rows.push(row);
      await memory.keep(source, row);
    },
  };
  const service = openService({
    id: 'weather',
    dispatcher: agent,
    userAgent: 'drainby/0.0.0 (ops@example.org)',
    shelf,
    policy: POLICY,
    random: () => 0.5,
    sleep: async (ms) => void waits.push(ms),
    ...options,
  });
  return {
    service,
    shelf,
    waits,
    rows,
    ask: (path, more = {}) =>
      service.ask({
        url: new URL(path, server.url),
        now: NOW,
        signal: new AbortController().signal,
        ...more,
      }),
    close: () => agent.destroy(),
  };
}

export function good(fetched: Fetched): Extract<Fetched, { ok: true }> {
  if (!fetched.ok) throw fetched.failure.error;
  return fetched;
}

export function bad(fetched: Fetched): Extract<Fetched, { ok: false }>['failure'] {
  if (fetched.ok) throw new Error('A failure was expected, not an answer.');
  return fetched.failure;
}
