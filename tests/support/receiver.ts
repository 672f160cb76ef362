/** An HTTP server on a free port of the loopback interface that takes messages, or does what it is told instead. */
import { once } from 'node:events';
import { createServer, type IncomingHttpHeaders, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';

export interface Posted {
  readonly method: string | undefined;
  readonly path: string | undefined;
  readonly headers: IncomingHttpHeaders;
  readonly body: string;
}

export interface Receiver {
  readonly port: number;
  readonly posted: readonly Posted[];
  /** Resolves once the server has the whole of the next request. */
  next(): Promise<void>;
}

export type Behaviour = (response: ServerResponse, request: IncomingMessage) => void;

/** Answers 204 unless told otherwise. */
export async function startReceiver(
  behave: Behaviour = (response) => response.writeHead(204).end(),
): Promise<Receiver> {
  const posted: Posted[] = [];
  let heard: (() => void)[] = [];
  const take = (request: IncomingMessage, response: ServerResponse): void => {
    let body = '';
    request.setEncoding('utf8').on('data', (more: string) => {
      body += more;
    });
    request.on('end', () => {
      posted.push({ method: request.method, path: request.url, headers: request.headers, body });
      for (const done of heard) done();
      heard = [];
      behave(response, request);
    });
  };
  const server = createServer(take);
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  onTestFinished(() => {
    server.close();
    server.closeAllConnections();
  });
  return {
    port: (server.address() as AddressInfo).port,
    posted,
    next: () =>
      new Promise((resolve) => {
        heard.push(resolve);
      }),
  };
}
