import { Agent } from 'undici';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { memoryShelf } from '../support/memory-shelf.ts';
import { nwsSource } from '../../src/forecast/nws/client.ts';
import type { ForecastSource } from '../../src/forecast/source.ts';
import { startWeatherServer, type WeatherReply, type WeatherServer } from '../support/weather-server.ts';
import {
  alertFeature,
  collection,
  gridBody,
  hourlyBody,
  observed,
  pointBody,
  station,
} from './nws-bodies.ts';
import { errorOne, goodOne } from './nws-setup.ts';

let server: WeatherServer;
let agent: Agent;

beforeEach(async () => {
  agent = new Agent();
  server = await startWeatherServer();
});

afterEach(async () => {
  await agent.destroy();
  await server.close();
});

function source(): ForecastSource {
  return nwsSource({
    id: 'nws',
    baseUrl: server.url,
    userAgent: 'drainby/0.0.0 (ann@example.org)',
    dispatcher: agent,
    shelf: memoryShelf(),
    staleAfterHours: 12,
    timeouts: { headersMs: 100, bodyMs: 100 },
    random: () => 0.5,
    sleep: async () => undefined,
  });
}

/** The grid as given; the rest as on a good day, the point behind a redirect. */
function answering(grid: () => WeatherReply): void {
  server.respondWith(({ path }) => {
    if (path === '/points/41.211,-96.63') {
      return { status: 301, headers: { location: '/points/41.2,-96.6' }, body: '' };
    }
    if (path.startsWith('/points/')) return json(pointBody());
    if (path.endsWith('/hourly')) return json(hourlyBody());
    if (path.startsWith('/alerts/')) return json(collection(alertFeature()));
    if (path.endsWith('/stations')) return json(collection(station('KOMA', -96.7)));
    if (path.endsWith('/observations')) return json(collection(observed({ value: -4 })));
    return grid();
  });
}

function json(body: unknown): WeatherReply {
  return { headers: { 'content-type': 'application/geo+json' }, body: JSON.stringify(body) };
}

describe('over a real connection', () => {
  it('NWS-5: everything comes in, behind a redirect', async () => {
    answering(() => json(gridBody()));
    const answer = await goodOne(source());
    expect(answer).toMatchObject({
      alerts: [{ title: 'Freeze Warning' }],
      observation: { temperatureC: -4 },
    });
    expect(answer.remarks).toBeUndefined();
    expect(server.requests.map(({ path }) => path).slice(0, 2)).toEqual([
      '/points/41.211,-96.63',
      '/points/41.2,-96.6',
    ]);
    expect(server.mostAtOnce()).toBe(1);
  });

  it.each<readonly [string, WeatherReply, string, number]>([
    ['keeps silent', { stall: 'headers' }, 'source-timeout', 1],
    ['stops in the middle', { stall: 'body', body: '{"properties"' }, 'source-timeout', 1],
    ['hangs up', { drop: 'before' }, 'source-unreachable', 3],
    ['hangs up in the middle', { drop: 'within', body: '{"properties"' }, 'source-body', 3],
  ])(
    'a service that %s is an error, after three tries or one long one',
    async (_what, reply, code, tries) => {
      answering(() => reply);
      expect(await errorOne(source())).toMatchObject({ code, retryable: true });
      expect(server.requests.filter(({ path }) => path === '/gridpoints/OAX/59,58')).toHaveLength(tries);
    },
  );

  it('a service that hangs up once is asked again', async () => {
    let first = true;
    answering(() => {
      const reply: WeatherReply = first ? { drop: 'before' } : json(gridBody());
      first = false;
      return reply;
    });
    expect((await goodOne(source())).keptSince).toBeUndefined();
  });
});
