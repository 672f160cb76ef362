import { http } from 'msw';
import { setupServer } from 'msw/node';
import { Agent } from 'undici';
import { memoryShelf } from '../support/memory-shelf.ts';
import { metNorwaySource, type MetNorwayOptions } from '../../src/forecast/met-norway/client.ts';
import type { ForecastSource, Point, SourceAnswer } from '../../src/forecast/source.ts';
import { mswBridge } from '../support/msw-bridge.ts';
import { CREEK, metNorwayBody, NOW, type BodyOptions } from './met-norway-body.ts';

export interface Setup {
  readonly source: ForecastSource;
  /** Every request that reached the service. */
  readonly requests: Request[];
  /** Milliseconds of every wait. */
  readonly waits: number[];
}

export type Responder = (request: Request, count: number) => Response | Promise<Response>;

/** A source whose dispatcher is answered by `respond`, through undici's own request machinery. */
export function bridged(respond: Responder, options: Partial<MetNorwayOptions> = {}): Setup {
  const requests: Request[] = [];
  const waits: number[] = [];
  const server = setupServer(
    http.all('http://met.test/*', ({ request }) => {
      requests.push(request);
      return respond(request, requests.length);
    }),
  );
  const source = metNorwaySource({
    id: 'met',
    baseUrl: 'http://met.test',
    contact: 'ann@example.org',
    userAgent: 'drainby/0.0.0',
    dispatcher: new Agent().compose(mswBridge(server)),
    shelf: memoryShelf(),
    random: () => 0.5,
    sleep: async (ms) => {
      waits.push(ms);
    },
    ...options,
  });
  return { source, requests, waits };
}

/** The headers of recordings/met-norway/complete-with-headers.json that matter, at another time. */
export const HEADERS = {
  'content-type': 'application/json',
  date: 'Sat, 10 Jan 2026 08:30:00 GMT',
  expires: 'Sat, 10 Jan 2026 09:01:52 GMT',
  'last-modified': 'Sat, 10 Jan 2026 08:29:12 GMT',
};

/** What a healthy service answers to this request. */
export function healthy(request: Request, options: BodyOptions = {}, headers: object = {}): Response {
  const query = new URL(request.url).searchParams;
  const point = { ...CREEK, latitude: Number(query.get('lat')), longitude: Number(query.get('lon')) };
  return new Response(JSON.stringify(metNorwayBody({ point, ...options })), {
    headers: { ...HEADERS, ...headers },
  });
}

export async function fetchOne(
  source: ForecastSource,
  now = NOW,
  point: Point = CREEK,
): Promise<SourceAnswer> {
  const answers = await source.fetch([point], now, new AbortController().signal);
  return answers.get(point.id)!;
}

export function rowOfPoints(count: number): Point[] {
  return Array.from({ length: count }, (_, i) => ({ ...CREEK, id: `p${i}`, latitude: 40 + i / 100 }));
}
