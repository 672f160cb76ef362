import { HOUR_S } from '../../src/quantity/instant.ts';
import { ensembleBody, metaBody, type EnsembleBodyOptions } from '../support/open-meteo-body.ts';
import { pointsOf } from '../support/weather-server.ts';
import { bridged, healthy, jsonText, NOW, START, type Options, type Setup } from './open-meteo-setup.ts';

/** 00:00 UTC of the day of `NOW`, where an ensemble without past days begins. */
const TODAY = START + 72 * HOUR_S;

/** What the service has of one model. */
export interface World {
  /** Absent: half an hour before `NOW`. Null: no metadata. */
  availableAt?: number | null;
  stepHours?: number;
  body?: Partial<EnsembleBodyOptions>;
  /** In place of the ensemble's answer. */
  reply?: () => Response;
}

export interface EnsembleSetup extends Setup {
  /** Addresses of the requests to the ensemble API, without those for metadata. */
  ensembleRequests(): URL[];
  metaRequests(): URL[];
}

/** A service with ensembles, each of which answers members 0, 1, 2, … that many kelvins below the single forecast. */
export function withModels(models: Readonly<Record<string, World>>, options: Options = {}): EnsembleSetup {
  const setup = bridged((request) => respond(new URL(request.url), request, models), {
    ensembles: Object.keys(models),
    ensembleBaseUrl: 'http://weather.test/members',
    ...options,
  });
  const asked = (part: string): URL[] =>
    setup.requests.map(({ url }) => new URL(url)).filter(({ pathname }) => pathname.includes(part));
  return {
    ...setup,
    ensembleRequests: () => asked('/v1/ensemble'),
    metaRequests: () => asked('/meta.json'),
  };
}

function respond(url: URL, request: Request, models: Readonly<Record<string, World>>): Response {
  const named = /^\/members\/data\/(.+)\/static\/meta\.json$/.exec(url.pathname)?.[1];
  if (named !== undefined) return meta(models[named]);
  if (url.pathname !== '/members/v1/ensemble') return healthy(request);
  const world = models[url.searchParams.get('models') ?? ''];
  if (world === undefined) return jsonText('{"error":true,"reason":"Invalid model"}', 400);
  return world.reply?.() ?? jsonText(membersText(url, world));
}

function meta(world: World | undefined): Response {
  const availableAt = world?.availableAt === undefined ? NOW - 1800 : world.availableAt;
  return availableAt === null ? jsonText('', 404) : jsonText(metaBody(availableAt, world?.stepHours));
}

function membersText(url: URL, world: World): string {
  return ensembleBody(pointsOf(url.searchParams), {
    startEpochS: TODAY,
    hours: 11 * 24,
    members: 3,
    temperatureC: (hour, member) => -(hour % 7) - member,
    ...world.body,
  });
}
