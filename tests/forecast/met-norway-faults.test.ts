import { createServer } from 'node:http';
import { once } from 'node:events';
import type { AddressInfo } from 'node:net';
import { gzipSync } from 'node:zlib';
import { HttpResponse } from 'msw';
import { Agent } from 'undici';
import { describe, expect, it } from 'vitest';
import { memoryShelf } from '../support/memory-shelf.ts';
import { startWeatherServer } from '../support/weather-server.ts';
import { errorOf, forecastOf } from './open-meteo-setup.ts';
import { bridged, fetchOne, healthy, HEADERS, rowOfPoints } from './met-norway-setup.ts';
import { CREEK, metNorwayBody, NOW } from './met-norway-body.ts';

const MINUTE_S = 60;

/** The service's error bodies are pages, not JSON (MET-doc, StatusCodes). */
function page(status: number, headers: Record<string, string> = {}): Response {
  const body = `<html><body><h1>${status}</h1></body></html>`;
  return new Response(body, { status, headers: { 'content-type': 'text/html; charset=utf-8', ...headers } });
}

describe('a request', () => {
  it('names the program and a contact, and asks for packed answers', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    expect((await fetchOne(source)).ok).toBe(true);
    expect(requests[0]!.headers.get('user-agent')).toBe('drainby/0.0.0 ann@example.org');
    expect(requests[0]!.headers.get('accept-encoding')).toContain('gzip');
  });

  it('MET-1: carries four decimals at most, without zeros at the end', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await fetchOne(source, NOW, { ...CREEK, latitude: 39.612_349_999, longitude: -106.05 });
    await fetchOne(source, NOW, { ...CREEK, latitude: -0.000_04, longitude: 179.999_96 });
    const asked = requests.map(({ url }) => new URL(url));
    expect(asked.map(({ search }) => search)).toEqual(['?lat=39.6123&lon=-106.05', '?lat=0&lon=180']);
    expect(asked[0]!.pathname).toBe('/weatherapi/locationforecast/2.0/complete');
  });

  it('MET-7: never carries a height, which would have to be whole metres', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await fetchOne(source, NOW, { ...CREEK, elevationM: 2760.4 });
    expect(requests[0]!.url).not.toMatch(/altitude|msl|2760/);
  });

  it('goes out for each place, with a pause between two', async () => {
    const { source, requests, waits } = bridged((request) => healthy(request));
    const answers = await source.fetch(rowOfPoints(3), NOW, new AbortController().signal);
    expect([...answers.values()].filter(({ ok }) => ok)).toHaveLength(3);
    expect(requests).toHaveLength(3);
    expect(waits).toEqual([100, 100]);
  });
});

describe('two places at one point', () => {
  it('cost one request', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    const points = [CREEK, { ...CREEK, id: 'creek, upper row', latitude: 39.610_04 }];
    const answers = await source.fetch(points, NOW, new AbortController().signal);
    expect([...answers.values()].map(({ ok }) => ok)).toEqual([true, true]);
    expect(requests).toHaveLength(1);
  });
});

describe('MET-1: a service that will not be asked like this', () => {
  it.each([null, '', '  ', 'ann', 'two words@example.org', 'ann@example.org\r\nX-Evil: 1'])(
    'is not asked with %j for a contact, and the key to set is named',
    async (contact) => {
      const { source, requests } = bridged((request) => healthy(request), { contact });
      const error = errorOf(await fetchOne(source));
      expect(error).toMatchObject({ code: 'source-refused', retryable: false });
      expect(error.hint).toContain('weather.contact');
      expect(requests).toHaveLength(0);
    },
  );

  it('by a 403 is left alone for hours, for every place, and the config is named', async () => {
    const { source, requests } = bridged(() => page(403));
    const answers = await source.fetch(rowOfPoints(5), NOW, new AbortController().signal);
    expect(requests).toHaveLength(1);
    for (const answer of answers.values()) {
      expect(errorOf(answer)).toMatchObject({ code: 'source-refused', retryable: false });
      expect(errorOf(answer).hint).toContain('contact');
    }
    await fetchOne(source, NOW + 5 * 3600);
    expect(requests).toHaveLength(1);
    await fetchOne(source, NOW + 7 * 3600);
    expect(requests).toHaveLength(2);
  });
});

describe('MET-2: a 203', () => {
  it('is used and said, and not asked for conditionally', async () => {
    const { source, requests } = bridged(
      async (request) => new Response(await healthy(request).text(), { status: 203, headers: HEADERS }),
    );
    const answer = await fetchOne(source);
    expect(forecastOf(answer).members[0]!.temperatureC[0]).toBe(-5);
    expect(answer.ok && answer.remarks).toEqual([
      'The source "met" says that what it was asked for is on trial or about to be withdrawn (status 203).',
    ]);
    await fetchOne(source, NOW + 40 * MINUTE_S);
    expect(requests).toHaveLength(2);
    expect(requests[1]!.headers.has('if-modified-since')).toBe(false);
  });
});

describe('MET-3: a 304', () => {
  it('keeps the body, which is then as young as the answer, and is not asked for again before it expires', async () => {
    const { source, requests } = bridged((request, count) =>
      count === 1
        ? healthy(request)
        : new HttpResponse(null, {
            status: 304,
            headers: { date: 'Sat, 10 Jan 2026 09:10:00 GMT', expires: 'Sat, 10 Jan 2026 09:42:00 GMT' },
          }),
    );
    await fetchOne(source);
    const later = NOW + 40 * MINUTE_S;
    const answer = await fetchOne(source, later);
    expect(requests[1]!.headers.get('if-modified-since')).toBe(HEADERS['last-modified']);
    expect(forecastOf(answer)).toMatchObject({ fetchedAt: later });
    expect(forecastOf(answer).members[0]!.temperatureC[0]).toBe(-5);
    expect(answer).not.toHaveProperty('keptSince');
    await fetchOne(source, later + 31 * MINUTE_S);
    expect(requests).toHaveLength(2);
    await fetchOne(source, later + 33 * MINUTE_S);
    expect(requests).toHaveLength(3);
    expect(requests[2]!.headers.get('if-modified-since')).toBe(HEADERS['last-modified']);
  });
});

describe('MET-4: a 429', () => {
  it.each([{}, { 'retry-after': '5' }])(
    'with %j is left alone for half an hour at least',
    async (headers) => {
      const { source, requests } = bridged(() => page(429, headers));
      const error = errorOf(await fetchOne(source));
      expect(error).toMatchObject({ code: 'source-limited', retryable: true, retryAfterS: 1800 });
      await fetchOne(source, NOW + 29 * MINUTE_S);
      expect(requests).toHaveLength(1);
      await fetchOne(source, NOW + 31 * MINUTE_S);
      expect(requests).toHaveLength(2);
    },
  );

  it('that asks for longer is left alone for longer, and the last good answer stands in', async () => {
    const { source, requests } = bridged((request, count) =>
      count === 1 ? healthy(request) : page(429, { 'retry-after': '7200' }),
    );
    await fetchOne(source);
    const answer = await fetchOne(source, NOW + 3600);
    expect(answer.ok && answer.keptSince).toMatchObject({ code: 'source-limited', retryAfterS: 7200 });
    expect(forecastOf(answer).fetchedAt).toBe(NOW);
    await fetchOne(source, NOW + 2 * 3600);
    expect(requests).toHaveLength(2);
  });
});

describe('MET-6: an answer', () => {
  it('is not asked for again before its Expires', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await fetchOne(source);
    const again = await fetchOne(source, NOW + 31 * MINUTE_S);
    expect(requests).toHaveLength(1);
    expect(forecastOf(again).fetchedAt).toBe(NOW);
    expect(again).not.toHaveProperty('keptSince');
    await fetchOne(source, NOW + 32 * MINUTE_S);
    expect(requests).toHaveLength(2);
  });

  it.each([
    ['in the past', { expires: 'Sat, 10 Jan 2026 07:00:00 GMT' }],
    ['no date', { expires: '0' }],
    [
      'from a clock that is slow',
      { date: 'Fri, 09 Jan 2026 08:30:00 GMT', expires: 'Fri, 09 Jan 2026 08:31:00 GMT' },
    ],
  ])('whose Expires is %s is not asked for again for half an hour', async (_, headers) => {
    const { source, requests } = bridged((request) => healthy(request, {}, headers));
    await fetchOne(source);
    await fetchOne(source, NOW + 29 * MINUTE_S);
    expect(requests).toHaveLength(1);
    await fetchOne(source, NOW + 31 * MINUTE_S);
    expect(requests).toHaveLength(2);
  });

  it('without Expires, too', async () => {
    const { source, requests } = bridged(async (request) => new Response(await healthy(request).text()));
    await fetchOne(source);
    await fetchOne(source, NOW + 29 * MINUTE_S);
    expect(requests).toHaveLength(1);
  });

  it('whose Expires is years ahead is asked for again the same day', async () => {
    const { source, requests } = bridged((request) =>
      healthy(request, {}, { expires: 'Thu, 10 Jan 2030 08:30:00 GMT' }),
    );
    await fetchOne(source);
    await fetchOne(source, NOW + 6 * 3600 + MINUTE_S);
    expect(requests).toHaveLength(2);
  });
});

describe('MET-8: an answer for the swapped point', () => {
  it('is refused and not kept in place of a good one', async () => {
    const { source } = bridged((request, count) =>
      healthy(request, count === 1 ? {} : { point: { ...CREEK, latitude: -106.05, longitude: 39.61 } }),
    );
    await fetchOne(source);
    const answer = await fetchOne(source, NOW + 40 * MINUTE_S);
    expect(answer.ok && answer.keptSince).toMatchObject({ code: 'source-missing-place' });
    expect(forecastOf(answer).fetchedAt).toBe(NOW);
  });
});

describe('MET-9: a service that is out of order', () => {
  it.each([502, 504, 500, 503, 499])(
    'with %d and a page is asked twice more, later and later',
    async (status) => {
      const { source, requests, waits } = bridged(() => page(status));
      const error = errorOf(await fetchOne(source));
      expect(error).toMatchObject({ code: 'source-http', retryable: true });
      expect(error.message).toContain(String(status));
      expect(requests).toHaveLength(3);
      expect(waits).toEqual([1000, 2000]);
    },
  );

  it('for one of many places is given up after two of them', async () => {
    const { source, requests } = bridged(() => page(504));
    const answers = await source.fetch(rowOfPoints(40), NOW, new AbortController().signal);
    expect(requests).toHaveLength(6);
    expect([...answers.values()].every((answer) => errorOf(answer).code === 'source-http')).toBe(true);
  });

  it('still serves what is fresh, and says of the rest since when it is kept', async () => {
    const { source } = bridged((request, count) => (count <= 4 ? healthy(request) : page(502)));
    const points = rowOfPoints(4);
    const { signal } = new AbortController();
    await source.fetch(points, NOW, signal);
    const early = await source.fetch(points, NOW + 10 * MINUTE_S, signal);
    expect([...early.values()].some((answer) => 'keptSince' in answer)).toBe(false);
    const late = await source.fetch(points, NOW + 40 * MINUTE_S, signal);
    for (const answer of late.values()) {
      expect(forecastOf(answer).fetchedAt).toBe(NOW);
      expect(answer.ok && answer.keptSince?.code).toBe('source-http');
    }
  });

  it('and cannot be reached is told apart', async () => {
    const { source } = bridged(() => HttpResponse.error());
    expect(errorOf(await fetchOne(source))).toMatchObject({ code: 'source-unreachable', retryable: true });
  });

  it('with a page under a 200, or half an answer, gives an error', async () => {
    expect(errorOf(await fetchOne(bridged(() => page(200)).source))).toMatchObject({ code: 'source-http' });
    const half = bridged(async (request) => new Response((await healthy(request).text()).slice(0, 5000)));
    expect(errorOf(await fetchOne(half.source))).toMatchObject({ code: 'source-body', retryable: true });
  });
});

describe('X-1 to X-4: through the client,', () => {
  it.each([
    ['X-1: times that stand twice', 'source-body', (text: string) => text.replace('09:00:00Z', '08:00:00Z')],
    [
      'X-2: a series from the future',
      'forecast-stale',
      (text: string) => text.replaceAll('2026-01-', '2026-03-'),
    ],
    [
      'X-3: a series that is over',
      'forecast-stale',
      (text: string) => text.replaceAll('2026-01-', '2025-01-'),
    ],
    [
      'X-4: degrees Fahrenheit',
      'source-units',
      (text: string) => text.replace('"air_temperature":"celsius"', '"air_temperature":"fahrenheit"'),
    ],
  ])('%s give an error of their own', async (_, code, change) => {
    const { source } = bridged(async (request) => new Response(change(await healthy(request).text())));
    expect(errorOf(await fetchOne(source)).code).toBe(code);
  });
});

describe('over a real connection', () => {
  it('a packed answer is read', async () => {
    const body = gzipSync(JSON.stringify(metNorwayBody()));
    const server = createServer((_, response) => {
      response.writeHead(200, { ...HEADERS, 'content-encoding': 'gzip' }).end(body);
    });
    server.listen(0, '127.0.0.1');
    await once(server, 'listening');
    const dispatcher = new Agent();
    const baseUrl = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
    const { source } = bridged(() => page(500), { baseUrl, dispatcher, shelf: memoryShelf() });
    expect(forecastOf(await fetchOne(source)).members[0]!.temperatureC[0]).toBe(-5);
    await dispatcher.destroy();
    server.close();
    await once(server, 'close');
  });
});

describe('MET-9: a service that is too slow', () => {
  it('is given up in time, and after two places for all', async () => {
    const server = await startWeatherServer(() => ({ stall: 'headers' }));
    const dispatcher = new Agent();
    const timeouts = { headersMs: 100, bodyMs: 100 };
    const { source } = bridged(() => page(500), { baseUrl: server.url, dispatcher, timeouts });
    const answers = await source.fetch(rowOfPoints(20), NOW, new AbortController().signal);
    const codes = new Set([...answers.values()].map((answer) => errorOf(answer).code));
    expect(codes).toEqual(new Set(['source-timeout']));
    expect(server.requests).toHaveLength(2);
    await dispatcher.destroy();
    await server.close();
  });
});

describe('the caller', () => {
  it('who gives up makes the fetch reject, before and between two requests', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await expect(source.fetch([CREEK], NOW, AbortSignal.abort())).rejects.toThrow(/abort/i);
    expect(requests).toHaveLength(0);
    const stop = new AbortController();
    const paused = bridged((request) => healthy(request), { sleep: async () => stop.abort() });
    await expect(paused.source.fetch(rowOfPoints(3), NOW, stop.signal)).rejects.toThrow(/abort/i);
    expect(paused.requests).toHaveLength(1);
  });
});
