import { readFileSync } from 'node:fs';
import { http } from 'msw';
import { setupServer } from 'msw/node';
import { Agent } from 'undici';
import type { SourceError } from '../../src/errors.ts';
import { memoryShelf } from '../support/memory-shelf.ts';
import { nwsSource } from '../../src/forecast/nws/client.ts';
import type { NwsOptions } from '../../src/forecast/nws/visit.ts';
import type { ForecastSource, Point, SourceAnswer } from '../../src/forecast/source.ts';
import { sharedPath } from '../shared-data.ts';
import { mswBridge } from '../support/msw-bridge.ts';
import {
  alertFeature,
  collection,
  FARM,
  gridBody,
  hourlyBody,
  NOW,
  observed,
  pointBody,
  station,
} from './nws-bodies.ts';

export type Good = Extract<SourceAnswer, { ok: true }>;

/** What is asked for: the last word of the path that tells it. */
export type Kind = 'points' | 'grid' | 'hourly' | 'alerts' | 'stations' | 'observations';

/** `count`: of the requests of this kind, from 1 on. */
export type Responder = (request: Request, count: number) => Response | Promise<Response>;
export type Responders = Partial<Record<Kind, Responder>>;

export interface Setup {
  readonly source: ForecastSource;
  /** Every request that reached the service, in order. */
  readonly requests: readonly Request[];
  /** The kinds of these requests. */
  readonly kinds: () => Kind[];
  /** Milliseconds of every wait before a further try. */
  readonly waits: readonly number[];
  /** From now on these answer; what is not named answers as a healthy service does. */
  readonly respondWith: (responders: Responders) => void;
}

/** The whole service as it answers on a good day: one Freeze Warning, −4 °C at the nearest station. */
const HEALTHY: Readonly<Record<Kind, Responder>> = {
  points: () => json(pointBody()),
  grid: () => json(gridBody()),
  hourly: () => json(hourlyBody()),
  alerts: () => json(collection(alertFeature())),
  stations: () => json(collection(station('KOMA', -96.7), station('KLNK', -96.8))),
  observations: () => json(collection(observed({ value: -4 }))),
};

/** A source whose dispatcher is answered by `responders`, through undici's own request machinery. */
export function bridged(responders: Responders = {}, options: Partial<NwsOptions> = {}): Setup {
  const requests: Request[] = [];
  const waits: number[] = [];
  let current = responders;
  let counts = new Map<Kind, number>();
  const server = setupServer(
    http.all('http://weather.test/*', ({ request }) => {
      const kind = kindOf(request);
      requests.push(request);
      counts.set(kind, (counts.get(kind) ?? 0) + 1);
      return (current[kind] ?? HEALTHY[kind])(request, counts.get(kind) ?? 0);
    }),
  );
  const source = nwsSource({
    id: 'nws',
    baseUrl: 'http://weather.test',
    userAgent: 'drainby/0.0.0 (ann@example.org)',
    dispatcher: new Agent().compose(mswBridge(server)),
    shelf: memoryShelf(),
    staleAfterHours: 12,
    random: () => 0.5,
    sleep: async (ms) => {
      waits.push(ms);
    },
    ...options,
  });
  const respondWith = (next: Responders): void => {
    current = next;
    counts = new Map();
  };
  return { source, requests, kinds: () => requests.map(kindOf), waits, respondWith };
}

function kindOf({ url }: Request): Kind {
  const { pathname } = new URL(url);
  if (pathname.startsWith('/points/')) return 'points';
  if (pathname === '/alerts/active') return 'alerts';
  if (pathname.endsWith('/observations')) return 'observations';
  if (pathname.endsWith('/stations')) return 'stations';
  if (pathname.endsWith('/forecast/hourly')) return 'hourly';
  if (/^\/gridpoints\/\w+\/\d+,\d+$/.test(pathname)) return 'grid';
  throw new Error(`The service has nothing at ${pathname}.`);
}

export function json(body: unknown, status = 200, headers: Record<string, string> = {}): Response {
  const type = status === 200 ? 'application/geo+json' : 'application/problem+json';
  return new Response(JSON.stringify(body), { status, headers: { 'content-type': type, ...headers } });
}

/** A recorded error body under the status in its file's name. */
export function problem(file: string, headers: Record<string, string> = {}): Response {
  const type = file.endsWith('.html') ? 'text/html' : 'application/problem+json';
  const body = readFileSync(sharedPath(`recordings/nws/problems/${file}`), 'utf8');
  return new Response(body, {
    status: Number(file.slice(0, 3)),
    headers: { 'content-type': type, ...headers },
  });
}

export async function fetchOne(
  source: ForecastSource,
  now = NOW,
  point: Point = FARM,
): Promise<SourceAnswer> {
  const answers = await source.fetch([point], now, new AbortController().signal);
  return answers.get(point.id)!;
}

export async function goodOne(source: ForecastSource, now = NOW, point: Point = FARM): Promise<Good> {
  const answer = await fetchOne(source, now, point);
  if (!answer.ok) throw answer.error;
  return answer;
}

export async function errorOne(source: ForecastSource, now = NOW, point: Point = FARM): Promise<SourceError> {
  const answer = await fetchOne(source, now, point);
  if (answer.ok) throw new Error('An error was expected, not a forecast.');
  return answer.error;
}
