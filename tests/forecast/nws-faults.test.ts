import { HttpResponse } from 'msw';
import { describe, expect, it } from 'vitest';
import type { Point } from '../../src/forecast/source.ts';
import { itWithShared } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import { cellAt, FARM, gridBody, hourly, hourlyBody, layer, NOW, pointBody } from './nws-bodies.ts';
import { bridged, errorOne, fetchOne, goodOne, json, problem, type Responders } from './nws-setup.ts';

const HOUR_S = 3600;

function places(count: number): Point[] {
  return Array.from({ length: count }, (_, i) => ({ ...FARM, id: `p${i}`, latitude: 41.2 + i / 1000 }));
}

describe('NWS-1: a service that stumbles', () => {
  itWithShared('is asked once more, and a third time, with growing waits', async () => {
    const { source, waits, kinds } = bridged({
      grid: (_, count) => (count < 3 ? problem('500_UnexpectedProblem.problem.json') : json(gridBody())),
    });
    const answer = await goodOne(source);
    expect(answer.keptSince).toBeUndefined();
    expect(kinds().filter((kind) => kind === 'grid')).toHaveLength(3);
    expect(waits).toEqual([1000, 2000]);
  });

  itWithShared('three times is an error in its own words', async () => {
    const { source, kinds } = bridged({ grid: () => problem('500_UnexpectedProblem.problem.json') });
    expect(await errorOne(source)).toMatchObject({
      code: 'source-http',
      retryable: true,
      message:
        'The source "nws" (weather.test) answered (status 500): UnexpectedProblem: An unexpected problem has occurred.',
    });
    expect(kinds()).toEqual(['points', 'grid', 'grid', 'grid']);
  });

  itWithShared('for a place leaves the others alone', async () => {
    const { source } = bridged({
      points: (request) =>
        request.url.includes('41.201') ? problem('500_UnexpectedProblem.problem.json') : json(pointBody()),
    });
    const answers = await source.fetch(places(3), NOW, new AbortController().signal);
    expect([...answers.values()].map(({ ok }) => ok)).toEqual([true, false, true]);
  });

  itWithShared(
    'for days: the last good answer stands with its age, and then it is said that it is old',
    async () => {
      const setup = bridged();
      await goodOne(setup.source);
      setup.respondWith({ grid: () => problem('500_UnexpectedProblem.problem.json') });
      const kept = await goodOne(setup.source, NOW + 6 * HOUR_S);
      expect(kept.forecast.fetchedAt).toBe(NOW);
      expect(kept.keptSince).toMatchObject({ code: 'source-http' });
      expect(await errorOne(setup.source, NOW + 12 * HOUR_S)).toMatchObject({
        code: 'source-http',
        retryable: true,
      });
    },
  );
});

const OFFICES = [
  [
    '503_ForecastGridExpired.problem.json',
    'ForecastGridExpired: The requested forecast grid was issued 2020-07-07',
  ],
  [
    '503_UnavailableWebService.problem.json',
    'UnavailableWebService: The resource you requested is currently',
  ],
  ['503_ForecastMissingData.problem.json', 'ForecastMissingData: The forecast grid is missing data'],
] as const;

describe('NWS-2: an office without a forecast', () => {
  for (const [file, words] of OFFICES) {
    itWithShared(`${file} is quoted, and may pass`, async () => {
      const error = await errorOne(bridged({ grid: () => problem(file) }).source);
      expect(error).toMatchObject({ code: 'source-http', retryable: true });
      expect(error.message).toContain(`(status 503): ${words}`);
    });
  }

  itWithShared('takes no warning away that is in force', async () => {
    const { source } = bridged({ grid: () => problem('503_ForecastGridExpired.problem.json') });
    const [answer] = (await source.fetch(places(1), NOW, new AbortController().signal)).values();
    expect(answer).toMatchObject({ ok: false, alerts: [{ title: 'Freeze Warning' }] });
  });

  itWithShared('does not keep the forecasts of other offices', async () => {
    const { source } = bridged({
      points: (request) => json(pointBody(/41\.2(0[1-4])?,/.test(request.url) ? { gridId: 'OLD' } : {})),
      grid: (request) =>
        request.url.includes('OLD') ? problem('503_ForecastGridExpired.problem.json') : json(gridBody()),
    });
    const answers = await source.fetch(places(7), NOW, new AbortController().signal);
    expect([...answers.values()].map(({ ok }) => ok)).toEqual([
      false,
      false,
      false,
      false,
      false,
      true,
      true,
    ]);
  });
});

describe('NWS-3: an old forecast under a good status', () => {
  const old = (hours: number): Response =>
    json(gridBody({ updateTime: new Date((NOW - hours * HOUR_S) * 1000).toISOString() }));

  it('is used up to its limit, by its updateTime', async () => {
    const { forecast } = await goodOne(bridged({ grid: () => old(12) }).source);
    expect(forecast.issuedAt).toBe(NOW - 12 * HOUR_S);
  });

  it.each([12.5, 18, 88])('of %d hours is refused, whatever its headers say', async (hours) => {
    const grid = (): Response => {
      const answer = old(hours);
      answer.headers.set('last-modified', 'Fri, 16 Jan 2026 18:00:00 GMT');
      answer.headers.set('expires', 'Fri, 16 Jan 2026 18:00:00 GMT');
      return answer;
    };
    const error = await errorOne(bridged({ grid }).source);
    expect(error).toMatchObject({ code: 'forecast-stale', retryable: true });
    expect(error.message).toContain('more than 12 hours ago');
  });

  it('gives way to a younger one that was kept', async () => {
    const setup = bridged();
    await goodOne(setup.source);
    setup.respondWith({ grid: () => old(40) });
    const answer = await goodOne(setup.source, NOW + HOUR_S);
    expect(answer.forecast.issuedAt).toBe(seconds('2026-01-15T17:37:00Z'));
    expect(answer.keptSince).toMatchObject({ code: 'forecast-stale' });
  });

  it('without a limit is used, with its age in it', async () => {
    const { source } = bridged({ grid: () => old(88) }, { staleAfterHours: null });
    expect((await goodOne(source)).forecast.issuedAt).toBe(NOW - 88 * HOUR_S);
  });
});

describe('NWS-4: a grid that was moved', () => {
  const moved = { gridX: 60, gridY: 57 };
  const elsewhere = (): Response => json(gridBody({}, cellAt(1, 1)));

  for (const file of ['404_NotFound_path.problem.json', '404_MarineForecastNotSupported.problem.json']) {
    itWithShared(`and answers ${file} for the old cell: the cell is looked up anew`, async () => {
      const setup = bridged();
      await goodOne(setup.source);
      setup.respondWith({
        points: () => json(pointBody(moved)),
        grid: (request) => (request.url.endsWith('/60,57') ? json(gridBody()) : problem(file)),
      });
      const before = setup.kinds().length;
      const answer = await goodOne(setup.source, NOW + HOUR_S);
      expect(setup.kinds().slice(before, before + 3)).toEqual(['grid', 'points', 'grid']);
      expect(answer.keptSince).toBeUndefined();
      expect(setup.requests.at(-2)!.url).toContain('/gridpoints/OAX/60,57/stations');
    });
  }

  it('and answers for another place under the old cell: the cell is looked up anew', async () => {
    const setup = bridged();
    await goodOne(setup.source);
    setup.respondWith({
      points: () => json(pointBody(moved)),
      grid: (request) => (request.url.endsWith('/60,57') ? json(gridBody()) : elsewhere()),
    });
    expect((await goodOne(setup.source, NOW + HOUR_S)).keptSince).toBeUndefined();
    // The new cell is remembered.
    const before = setup.kinds().length;
    await goodOne(setup.source, NOW + 2 * HOUR_S);
    expect(setup.kinds().slice(before, before + 2)).toEqual(['grid', 'hourly']);
  });

  it('and answers for another place under the new cell too is an error, after one look', async () => {
    const { source, kinds } = bridged({ grid: elsewhere });
    const error = await errorOne(source);
    expect(error).toMatchObject({ code: 'source-missing-place' });
    expect(error.message).toContain('a grid cell that lies elsewhere for the place "farm"');
    expect(kinds()).toEqual(['points', 'grid', 'points']);
  });

  itWithShared('and cannot be looked up anew: the first error stands', async () => {
    const setup = bridged();
    await goodOne(setup.source);
    setup.respondWith({
      points: () => json({}, 500),
      grid: () => problem('404_NotFound_path.problem.json'),
    });
    expect((await goodOne(setup.source, NOW + HOUR_S)).keptSince).toMatchObject({ code: 'source-refused' });
    expect((await fetchOne(setup.source, NOW + 20 * HOUR_S)).ok).toBe(false);
  });
});

describe('NWS-5: a redirect to the coordinates in their one form', () => {
  it('is followed on the same host', async () => {
    const { source, requests } = bridged({
      points: (_, count) =>
        count === 1
          ? new HttpResponse(null, { status: 301, headers: { location: '/points/41.211,-96.63' } })
          : json(pointBody()),
    });
    expect((await fetchOne(source)).ok).toBe(true);
    expect(requests[1]!.headers.get('user-agent')).toBe('drainby/0.0.0 (ann@example.org)');
  });

  it('is not followed to another host', async () => {
    const location = 'http://elsewhere.test/points/41.211,-96.63';
    const { source, requests } = bridged({
      points: () => new HttpResponse(null, { status: 301, headers: { location } }),
    });
    expect(await errorOne(source)).toMatchObject({ code: 'source-refused' });
    expect(requests).toHaveLength(1);
  });
});

describe('NWS-6: a service that does not know who asks', () => {
  const denied: Responders = { points: () => problem('403_akamai_access_denied.html') };

  itWithShared('is asked once, for all places, and the hint says what it wants', async () => {
    const { source, requests, waits } = bridged(denied);
    const answers = await source.fetch(places(20), NOW, new AbortController().signal);
    expect(requests).toHaveLength(1);
    expect(waits).toEqual([]);
    const errors = [...answers.values()].map((answer) => (answer.ok ? null : answer.error));
    expect(new Set(errors.map((error) => error?.code))).toEqual(new Set(['source-refused']));
    expect(errors[19]).toMatchObject({ retryable: false });
    expect(errors[19]!.message).toContain('refuses the request (status 403)');
    expect(errors[19]!.hint).toContain('give a contact');
    expect(errors[19]!.message).not.toContain('<');
  });

  itWithShared(
    'after it did: what was kept stands in for every place, and nothing more is asked',
    async () => {
      const setup = bridged();
      await setup.source.fetch(places(3), NOW, new AbortController().signal);
      const before = setup.requests.length;
      setup.respondWith({ grid: () => problem('403_akamai_access_denied.html') });
      const answers = await setup.source.fetch(places(3), NOW + HOUR_S, new AbortController().signal);
      expect(setup.requests.length - before).toBe(1);
      for (const answer of answers.values()) {
        expect(answer).toMatchObject({ ok: true, keptSince: { code: 'source-refused' }, alerts: [{}] });
        expect(answer).toHaveProperty('remarks');
      }
    },
  );
});

describe('a place outside the United States', () => {
  itWithShared('is said to be outside, and not asked for again for days', async () => {
    const { source, requests } = bridged({ points: () => problem('404_InvalidPoint.problem.json') });
    const oslo = { id: 'oslo', latitude: 59.9139, longitude: 10.7522, elevationM: null };
    for (const now of [NOW, NOW + 24 * HOUR_S]) {
      expect(await errorOne(source, now, oslo)).toMatchObject({
        code: 'source-refused',
        retryable: false,
        message:
          'The source "nws" covers the United States and its territories only: the place "oslo" (59.9139,10.7522) lies outside.',
      });
    }
    expect(requests).toHaveLength(1);
    await errorOne(source, NOW + 4 * 24 * HOUR_S, oslo);
    expect(requests).toHaveLength(2);
  });
});

describe('NWS-8 and NWS-13: the hourly forecast', () => {
  it('that differs is said to, and replaces nothing', async () => {
    const plain = await goodOne(bridged().source);
    const answer = await goodOne(bridged({ hourly: () => json(hourlyBody(6)) }).source);
    expect(answer.forecast).toEqual(plain.forecast);
    expect(answer.remarks).toHaveLength(1);
    expect(answer.remarks![0]).toContain('as if its times were 6 h too late');
  });

  itWithShared('that is not made for a coast is said not to be compared', async () => {
    const { source } = bridged({ hourly: () => problem('404_MarineForecastNotSupported.problem.json') });
    expect((await goodOne(source)).remarks).toEqual([
      'Its grid was not compared with its hourly forecast, which cannot be had: The source "nws" (weather.test) refuses the request (status 404): MarineForecastNotSupported: Forecasts for marine areas are not yet supported by this API.',
    ]);
  });

  it('in another shape is said not to be compared', async () => {
    const answer = await goodOne(bridged({ hourly: () => json({ properties: {} }) }).source);
    expect(answer.remarks![0]).toContain('in the shape of something else than an hourly forecast');
  });

  it('NWS-11: without periods is said to be too short', async () => {
    const answer = await goodOne(bridged({ hourly: () => json({ properties: { periods: [] } }) }).source);
    expect(answer.remarks![0]).toContain('too few hours in common');
  });
});

describe('NWS-12: headers that cannot be trusted', () => {
  it('do not make an error last', async () => {
    const setup = bridged({ grid: () => json({}, 500, { 'cache-control': 'public, max-age=86400' }) });
    await errorOne(setup.source);
    setup.respondWith({});
    expect((await fetchOne(setup.source, NOW + 60)).ok).toBe(true);
  });

  it('do not make a forecast last longer than about an hour', async () => {
    const { source, kinds } = bridged({
      grid: () => json(gridBody(), 200, { 'cache-control': 'public, max-age=86400' }),
    });
    await goodOne(source);
    await goodOne(source, NOW + HOUR_S);
    expect(kinds().filter((kind) => kind === 'grid')).toHaveLength(2);
  });

  it('nor hold an old forecast behind 304: it is asked for without conditions', async () => {
    const future = { 'last-modified': 'Sat, 24 Jan 2026 18:00:00 GMT' };
    const setup = bridged({ grid: () => json(gridBody(), 200, future) });
    await goodOne(setup.source);
    const later = NOW + 12 * HOUR_S;
    setup.respondWith({
      grid: (request) =>
        request.headers.has('if-modified-since')
          ? new Response(null, { status: 304 })
          : json(gridBody({ updateTime: '2026-01-16T05:00:00+00:00' }), 200, future),
    });
    const answer = await goodOne(setup.source, later);
    expect(answer.forecast.issuedAt).toBe(seconds('2026-01-16T05:00:00Z'));
    expect(answer.keptSince).toBeUndefined();
  });
});

describe('a service that is out', () => {
  it('is left alone after three requests without an answer, and what was kept stands in', async () => {
    const setup = bridged();
    await setup.source.fetch(places(1), NOW, new AbortController().signal);
    const before = setup.requests.length;
    const dead = (): Response => HttpResponse.error();
    setup.respondWith({
      points: dead,
      grid: dead,
      hourly: dead,
      alerts: dead,
      stations: dead,
      observations: dead,
    });
    const answers = await setup.source.fetch(places(30), NOW + HOUR_S, new AbortController().signal);
    // Three tries for the grid, two for the hours, three for the warnings.
    expect(setup.requests.length - before).toBe(8);
    expect(answers.get('p0')).toMatchObject({
      ok: true,
      keptSince: { code: 'source-unreachable' },
      alerts: [{}],
    });
    expect(answers.get('p29')).toMatchObject({
      ok: false,
      error: { code: 'source-unreachable', retryable: true },
    });
  });

  it('is found to be out also where most answers are still fresh', async () => {
    const setup = bridged();
    await setup.source.fetch(places(9), NOW, new AbortController().signal);
    const before = setup.requests.length;
    setup.respondWith({ alerts: () => HttpResponse.error() });
    const answers = await setup.source.fetch(places(9), NOW + 300, new AbortController().signal);
    // Only warnings are due after five minutes: three places, three tries each.
    expect(setup.requests.length - before).toBe(9);
    expect(answers.get('p8')).toMatchObject({ ok: true, alerts: [{}] });
    expect(answers.get('p8')).not.toHaveProperty('keptSince');
  });

  it('with 502 pages likewise', async () => {
    const bad = (): Response =>
      new Response('<html>502 Bad Gateway</html>', { status: 502, headers: { 'content-type': 'text/html' } });
    const { source, requests } = bridged({ points: bad });
    const answers = await source.fetch(places(30), NOW, new AbortController().signal);
    expect(requests).toHaveLength(9);
    expect(answers.get('p29')).toMatchObject({ ok: false, error: { code: 'source-http' } });
  });

  it('for a moment because we ask too much is asked again after five seconds', async () => {
    const { source, waits } = bridged({
      grid: (_, count) => (count === 1 ? json({}, 429) : json(gridBody())),
    });
    expect((await fetchOne(source)).ok).toBe(true);
    expect(waits).toEqual([5250]);
  });

  it.each([
    ['text that is not JSON', () => new Response('{"properties": nan')],
    ['nothing', () => new Response('')],
    ['a list', () => json([])],
    ['null', () => json(null)],
  ])('and answers %s is an error, never a forecast', async (_what, grid) => {
    expect(await errorOne(bridged({ grid }).source)).toMatchObject({ code: 'source-body', retryable: true });
    expect(await errorOne(bridged({ points: grid }).source)).toMatchObject({ code: 'source-body' });
  });
});

describe('times and units, as the user sees them', () => {
  const withTemperature = (temperature: unknown): Responders => ({
    grid: () => json(gridBody({ temperature })),
  });

  it('X-1: hours twice and out of order are the same hours', async () => {
    const values = hourly('2026-01-15T11:00:00Z', 60, (hour) => -hour / 10);
    const straight = await goodOne(bridged(withTemperature(layer(values))).source);
    const mixed = await goodOne(bridged(withTemperature(layer([...values, ...values].toReversed()))).source);
    expect(mixed.forecast).toEqual(straight.forecast);
  });

  it('X-2: a series that begins tomorrow is refused', async () => {
    const values = hourly('2026-01-16T11:00:00Z', 60, () => 4);
    expect(await errorOne(bridged(withTemperature(layer(values))).source)).toMatchObject({
      code: 'forecast-stale',
    });
  });

  it('X-3: a series of six hours is six hours, and no more is made up', async () => {
    const values = hourly('2026-01-15T18:00:00Z', 6, () => -4);
    const { forecast } = await goodOne(bridged(withTemperature(layer(values))).source);
    expect(forecast.members[0]!.temperatureC).toEqual([-4, -4, -4, -4, -4, -4]);
  });

  it('X-4: another unit of temperature is converted or refused', async () => {
    const values = hourly('2026-01-15T18:00:00Z', 30, () => 32);
    const { forecast } = await goodOne(bridged(withTemperature(layer(values, 'wmoUnit:degF'))).source);
    expect(new Set(forecast.members[0]!.temperatureC)).toEqual(new Set([0]));
    const error = await errorOne(bridged(withTemperature(layer(values, 'wmoUnit:Pa'))).source);
    expect(error).toMatchObject({ code: 'source-units', retryable: false });
  });
});
