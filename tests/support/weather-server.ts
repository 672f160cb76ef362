import { once } from 'node:events';
import { createServer, type IncomingHttpHeaders, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { openMeteoBody, type BodyPoint } from './open-meteo-body.ts';

/** One request as the server saw it. */
export interface WeatherRequest {
  readonly path: string;
  readonly query: URLSearchParams;
  readonly headers: IncomingHttpHeaders;
  /** The points asked for, in order. */
  readonly points: readonly BodyPoint[];
}

/**
 * What the server does with a request. `stall` keeps the connection open without a status line, or without the
 * end of the body; `drop` cuts it, before the answer or after `body`.
 */
export type WeatherReply =
  | { readonly status?: number; readonly headers?: Record<string, string>; readonly body: string }
  | { readonly stall: 'headers' }
  | { readonly stall: 'body'; readonly body: string }
  | { readonly drop: 'before' }
  | { readonly drop: 'within'; readonly body: string };

export type WeatherHandler = (request: WeatherRequest) => WeatherReply | Promise<WeatherReply>;

export interface WeatherServer {
  /** To be used as `baseUrl`. */
  readonly url: string;
  /** Every request for a forecast so far. Heights of the ground it answers by itself. */
  readonly requests: readonly WeatherRequest[];
  /** Every request for an ensemble or the metadata of one. */
  readonly ensembleRequests: readonly WeatherRequest[];
  /** Largest number of requests that were open at the same time. */
  readonly mostAtOnce: () => number;
  /** From now on `handler` answers. */
  readonly respondWith: (handler: WeatherHandler) => void;
  /** From now on `handler` answers for ensembles and their metadata; until then it has none (404). */
  readonly respondToEnsemblesWith: (handler: WeatherHandler) => void;
  /** Cuts every open connection. */
  readonly close: () => Promise<void>;
}

/**
 * A weather service on a free port of the loopback interface, for clients in this process and in children.
 * Until `respondWith` is called it answers every point with a mild 10 °C from three days ago on.
 */
export async function startWeatherServer(handler: WeatherHandler = mildWeather): Promise<WeatherServer> {
  const requests: WeatherRequest[] = [];
  const ensembleRequests: WeatherRequest[] = [];
  let answer = handler;
  let answerEnsemble: WeatherHandler = () => ({ status: 404, body: '{"error":true,"reason":"Not Found"}' });
  let open = 0;
  let most = 0;
  const server = createServer((incoming, response) => {
    most = Math.max(most, ++open);
    response.once('close', () => open--);
    const request = readRequest(incoming);
    if (request.path.endsWith('/v1/elevation')) {
      send({ body: heightsBody(request.points) }, response);
      return;
    }
    const ensemble = /\/v1\/ensemble$|\/static\/meta\.json$/.test(request.path);
    (ensemble ? ensembleRequests : requests).push(request);
    Promise.resolve(request)
      .then((seen) => (ensemble ? answerEnsemble : answer)(seen))
      .then((reply) => send(reply, response))
      .catch((error: unknown) => response.writeHead(500).end(`The test's handler failed: ${String(error)}`));
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    requests,
    ensembleRequests,
    mostAtOnce: () => most,
    respondWith: (next) => {
      answer = next;
    },
    respondToEnsemblesWith: (next) => {
      answerEnsemble = next;
    },
    close: async () => {
      const closed = once(server, 'close');
      server.close();
      server.closeAllConnections();
      await closed;
    },
  };
}

/** The text of an answer about heights of the ground: 38 m everywhere. */
export function heightsBody(points: readonly BodyPoint[]): string {
  return JSON.stringify({ elevation: points.map(() => 38) });
}

function mildWeather({ points }: WeatherRequest): WeatherReply {
  const today = Math.floor(Date.now() / 86_400_000) * 86_400;
  return { body: openMeteoBody(points, { startEpochS: today - 3 * 86_400, temperatureC: () => 10 }) };
}

function readRequest(incoming: IncomingMessage): WeatherRequest {
  const url = new URL(incoming.url ?? '/', 'http://loopback');
  return {
    path: url.pathname,
    query: url.searchParams,
    headers: incoming.headers,
    points: pointsOf(url.searchParams),
  };
}

/** The points that a query of the service's form asks for. */
export function pointsOf(query: URLSearchParams): readonly BodyPoint[] {
  const numbers = (name: string): number[] => (query.get(name) ?? '').split(',').filter(Boolean).map(Number);
  const longitudes = numbers('longitude');
  return numbers('latitude').map((latitude, index) => ({ latitude, longitude: longitudes[index] ?? NaN }));
}

function send(reply: WeatherReply, response: ServerResponse): void {
  if ('drop' in reply && reply.drop === 'before') {
    response.destroy();
    return;
  }
  if ('stall' in reply && reply.stall === 'headers') return;
  const headers = {
    'content-type': 'application/json; charset=utf-8',
    ...('headers' in reply && reply.headers),
  };
  response.writeHead(('status' in reply && reply.status) || 200, headers);
  if ('drop' in reply) response.write(reply.body, () => response.destroy());
  else if ('stall' in reply) response.write(reply.body);
  else response.end(reply.body);
}
