import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { setImmediate as nextTurn } from 'node:timers/promises';
import { Agent } from 'undici';
import { openMeteoSource } from '../../src/forecast/open-meteo/client.ts';
import { memoryShelf } from '../support/memory-shelf.ts';
import type { OpenMeteoOptions } from '../../src/forecast/open-meteo/options.ts';
import { ensembleBody, metaBody, openMeteoBody } from '../support/open-meteo-body.ts';
import { startWeatherServer, type WeatherReply, type WeatherServer } from '../support/weather-server.ts';
import { BERLIN, errorOf, fetchOne, forecastOf, manyPoints, NOW, START } from './open-meteo-setup.ts';

let server: WeatherServer;
let agent: Agent;

beforeEach(async () => {
  server = await startWeatherServer();
  agent = new Agent();
});

afterEach(async () => {
  await agent.destroy();
  await server.close();
});

function source(change: Partial<OpenMeteoOptions> = {}): ReturnType<typeof openMeteoSource> {
  return openMeteoSource({
    id: 'meteo',
    baseUrl: server.url,
    ensembleBaseUrl: server.url,
    ensembles: [],
    staleAfterHours: 12,
    shelf: memoryShelf(),
    apiKey: null,
    horizonHours: 48,
    dispatcher: agent,
    userAgent: 'drainby/0.0.0',
    sleep: async () => {},
    ...change,
  });
}

const BODY = openMeteoBody([BERLIN], { startEpochS: START, temperatureC: () => -5 });

describe('over a real connection', () => {
  it('a healthy answer is read, with the user agent sent', async () => {
    server.respondWith(() => ({ body: BODY }));
    expect(forecastOf(await fetchOne(source())).members[0]!.temperatureC[0]).toBe(-5);
    expect(server.requests[0]!.headers['user-agent']).toBe('drainby/0.0.0');
  });

  it('an ensemble is read beside the forecast, one request after the other', async () => {
    server.respondWith(() => ({ body: BODY }));
    server.respondToEnsemblesWith(({ path, points }) => ({
      body: path.endsWith('meta.json')
        ? metaBody(NOW - 3600)
        : ensembleBody(points, {
            startEpochS: START + 72 * 3600,
            hours: 120,
            members: 31,
            temperatureC: (hour, member) => -(hour % 7) - member,
          }),
    }));
    const answer = await fetchOne(source({ ensembles: ['ncep_gefs025'] }));
    expect(forecastOf(answer).members).toHaveLength(32);
    expect(server.ensembleRequests.map(({ path }) => path)).toEqual([
      '/data/ncep_gefs025/static/meta.json',
      '/v1/ensemble',
    ]);
    expect(server.mostAtOnce()).toBe(1);
  });

  it('a server without ensembles leaves the forecast as it is, and that is said', async () => {
    server.respondWith(() => ({ body: BODY }));
    const answer = await fetchOne(source({ ensembles: ['ncep_gefs025'] }));
    expect(answer).toMatchObject({ ok: true, forecast: { issuedAt: null } });
    expect(forecastOf(answer).members).toHaveLength(1);
    if (answer.ok) expect(answer.remarks).toEqual([expect.stringMatching(/left out.*status 404.*Not Found/)]);
  });

  it('four batches travel one after the other', async () => {
    server.respondWith(async ({ points }) => {
      await nextTurn();
      return { body: openMeteoBody(points, { startEpochS: START, hours: 120, temperatureC: () => -5 }) };
    });
    const answers = await source().fetch(manyPoints(301), NOW, new AbortController().signal);
    expect([...answers.values()].filter((answer) => answer.ok)).toHaveLength(301);
    expect(server.requests).toHaveLength(4);
    expect(server.mostAtOnce()).toBe(1);
  });

  it.each<[string, WeatherReply]>([
    ['never answers', { stall: 'headers' }],
    ['stops in the middle', { stall: 'body', body: BODY.slice(0, 400) }],
  ])('a service that %s is given up in time, and not asked again in the same fetch', async (_, reply) => {
    server.respondWith(() => reply);
    const timeouts = { headersMs: 200, bodyMs: 200 };
    const error = errorOf(await fetchOne(source({ timeouts })));
    expect(error).toMatchObject({ code: 'source-timeout', retryable: true });
    expect(server.requests).toHaveLength(1);
  });

  it('a service that takes longer in all than allowed is given up', async () => {
    server.respondWith(() => ({ stall: 'body', body: BODY.slice(0, 400) }));
    const timeouts = { headersMs: 60_000, bodyMs: 60_000, totalMs: 100 };
    expect(errorOf(await fetchOne(source({ timeouts }))).code).toBe('source-timeout');
  });

  it('a connection cut before or within the answer is told apart, and both are tried again', async () => {
    server.respondWith(() => ({ drop: 'before' }));
    expect(errorOf(await fetchOne(source()))).toMatchObject({ code: 'source-unreachable', retryable: true });
    server.respondWith(() => ({ drop: 'within', body: BODY.slice(0, 400) }));
    expect(errorOf(await fetchOne(source()))).toMatchObject({ code: 'source-body', retryable: true });
    expect(server.requests).toHaveLength(6);
  });

  it('a port that nobody listens on is unreachable', async () => {
    const deaf = await startWeatherServer();
    await deaf.close();
    const error = errorOf(await fetchOne(source({ baseUrl: deaf.url })));
    expect(error).toMatchObject({ code: 'source-unreachable', retryable: true });
    expect(error.message).toContain('ECONNREFUSED');
  });

  it('a body over the limit ends the connection', async () => {
    server.respondWith(() => ({ stall: 'body', body: BODY }));
    const error = errorOf(await fetchOne(source({ maxBodyBytes: 1000 })));
    expect(error.code).toBe('source-too-large');
  });

  it('data nested deeper than can be written down is a broken answer, and the last good one stands in', async () => {
    const shelf = memoryShelf();
    const deep = `${BODY.slice(0, -1)},"x":${'['.repeat(50_000)}${']'.repeat(50_000)}}`;
    server.respondWith(() => ({ body: deep }));
    expect(errorOf(await fetchOne(source({ shelf })))).toMatchObject({
      code: 'source-body',
      retryable: true,
    });
    server.respondWith(() => ({ body: BODY }));
    await fetchOne(source({ shelf }));
    server.respondWith(() => ({ body: deep }));
    const later = await fetchOne(source({ shelf }), BERLIN, NOW + 3600);
    expect(later).toMatchObject({
      ok: true,
      forecast: { fetchedAt: NOW },
      keptSince: { code: 'source-body' },
    });
  });

  it('a caller who gives up in the middle of a request makes the fetch reject', async () => {
    const stop = new AbortController();
    server.respondWith(() => {
      stop.abort(new Error('The program is stopping.'));
      return { stall: 'headers' };
    });
    await expect(source().fetch([BERLIN], NOW, stop.signal)).rejects.toThrow('The program is stopping.');
  });
});
