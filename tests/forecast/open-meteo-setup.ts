import { readFileSync } from 'node:fs';
import { http } from 'msw';
import { setupServer } from 'msw/node';
import { Agent } from 'undici';
import { openMeteoSource } from '../../src/forecast/open-meteo/client.ts';
import { memoryShelf } from '../support/memory-shelf.ts';
import type { OpenMeteoOptions } from '../../src/forecast/open-meteo/options.ts';
import type { ForecastSource, Point, SourceAnswer } from '../../src/forecast/source.ts';
import type { SourceError } from '../../src/errors.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { parseInstant } from '../../src/quantity/instant.ts';
import { sharedPath } from '../shared-data.ts';
import { mswBridge } from '../support/msw-bridge.ts';
import { openMeteoBody, type BodyOptions } from '../support/open-meteo-body.ts';
import { heightsBody, pointsOf } from '../support/weather-server.ts';

export const NOW = parseInstant('2026-01-10T08:30:00Z')!;
/** 00:00 UTC three days before, where the service's series begins. */
export const START = parseInstant('2026-01-07T00:00:00Z')!;
/** Index of the first hour not before `NOW`. */
export const NOW_INDEX = 81;

export const BERLIN: Point = { id: 'berlin', latitude: 52.52, longitude: 13.405, elevationM: null };
export const OSLO: Point = { id: 'oslo', latitude: 59.9139, longitude: 10.7522, elevationM: null };

export function manyPoints(count: number): Point[] {
  return Array.from({ length: count }, (_, index) => ({
    id: `p${index}`,
    latitude: 40 + index / 100,
    longitude: -105,
    elevationM: 1500 + index,
  }));
}

export type Options = Partial<Omit<OpenMeteoOptions, 'dispatcher'>>;

export interface Setup {
  readonly source: ForecastSource;
  /** Every request that reached the service, but those for heights of the ground. */
  readonly requests: Request[];
  readonly heightRequests: Request[];
  /** Milliseconds of every wait before a further try. */
  readonly waits: number[];
}

export type Responder = (request: Request, count: number) => Response | Promise<Response>;

/** A source whose dispatcher is answered by `respond`, through undici's own request machinery. */
export function bridged(respond: Responder, options: Options = {}, heights: Responder = level): Setup {
  const requests: Request[] = [];
  const heightRequests: Request[] = [];
  const waits: number[] = [];
  const server = setupServer(
    http.get('http://weather.test/v1/elevation', ({ request }) => {
      heightRequests.push(request);
      return heights(request, heightRequests.length);
    }),
    http.all('http://weather.test/*', ({ request }) => {
      requests.push(request);
      return respond(request, requests.length);
    }),
  );
  const source = openMeteoSource({
    id: 'meteo',
    baseUrl: 'http://weather.test',
    ensembleBaseUrl: 'http://weather.test',
    ensembles: [],
    staleAfterHours: 12,
    shelf: memoryShelf(),
    apiKey: null,
    horizonHours: 240,
    userAgent: 'drainby/0.0.0',
    dispatcher: new Agent().compose(mswBridge(server)),
    random: () => 0.5,
    sleep: async (ms) => {
      waits.push(ms);
    },
    ...options,
  });
  return { source, requests, heightRequests, waits };
}

function level(request: Request): Response {
  return jsonText(heightsBody(pointsOf(new URL(request.url).searchParams)));
}

/** What a healthy service answers to this request. */
export function healthy(request: Request, change: Partial<BodyOptions> = {}): Response {
  const points = pointsOf(new URL(request.url).searchParams);
  const body = openMeteoBody(points, { startEpochS: START, temperatureC: (hour) => -(hour % 7), ...change });
  return jsonText(body);
}

export function jsonText(body: string, status = 200, headers: Record<string, string> = {}): Response {
  return new Response(body, {
    status,
    headers: { 'content-type': 'application/json; charset=utf-8', ...headers },
  });
}

export async function fetchOne(
  source: ForecastSource,
  point: Point = BERLIN,
  now = NOW,
): Promise<SourceAnswer> {
  const answers = await source.fetch([point], now, new AbortController().signal);
  return answers.get(point.id)!;
}

export function errorOf(answer: SourceAnswer | undefined): SourceError {
  if (answer === undefined || answer.ok) throw new Error('An error was expected, not a forecast.');
  return answer.error;
}

export function forecastOf(answer: SourceAnswer | undefined): Forecast {
  if (answer === undefined) throw new Error('The point has no answer.');
  if (!answer.ok) throw answer.error;
  return answer.forecast;
}

export function recording(name: string): string {
  return readFileSync(sharedPath(`recordings/open-meteo/${name}`), 'utf8');
}
