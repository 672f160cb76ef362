/** Faults by their row in the catalogue of weather-sources.md, section 5; those of one fetch, as its answer shows them. */
import { describe, expect, it } from 'vitest';
import { HttpResponse } from 'msw';
import { gatherForecasts } from '../../src/forecast/gather.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import { DAY_S, HOUR_S, parseInstant } from '../../src/quantity/instant.ts';
import { itWithShared } from '../shared-data.ts';
import type { BodyOptions } from '../support/open-meteo-body.ts';
import { BERLIN, bridged, errorOf, fetchOne, forecastOf, healthy, jsonText } from './open-meteo-setup.ts';
import { NOW, NOW_INDEX, OSLO, recording, START, type Responder } from './open-meteo-setup.ts';

async function answered(change: Partial<BodyOptions>, point = BERLIN, now = NOW): Promise<SourceAnswer> {
  return fetchOne(bridged((request) => healthy(request, change)).source, point, now);
}

function temperatures(answer: SourceAnswer): readonly number[] {
  return forecastOf(answer).members[0]!.temperatureC;
}

function remarksOf(answer: SourceAnswer): readonly string[] {
  if (!answer.ok) throw answer.error;
  return answer.remarks ?? [];
}

/** Good once, and then what `fault` says: what the user is left with five hours later. */
async function later(fault: Responder, hours = 5): Promise<SourceAnswer> {
  const { source } = bridged((request, count) => (count === 1 ? healthy(request) : fault(request, count)));
  forecastOf(await fetchOne(source));
  return fetchOne(source, BERLIN, NOW + hours * HOUR_S);
}

describe('hours without a value', () => {
  it('OM-1: at the end shorten what is known, and none of them is 0', async () => {
    const series = temperatures(await answered({ temperatureC: (hour) => (hour < 200 ? -5 : null) }));
    expect(series).toHaveLength(19 * 24);
    expect(series.findLastIndex((t) => !Number.isNaN(t))).toBe(199);
    expect(series.slice(200).every(Number.isNaN)).toBe(true);
  });

  it('OM-2: within stay unknown, one or many, beside hours that are as they came', async () => {
    const gap = (hour: number): number | null => (hour === 100 || (hour > 120 && hour < 130) ? null : -5);
    const series = temperatures(await answered({ temperatureC: gap }));
    expect(series.slice(99, 102)).toEqual([-5, NaN, -5]);
    expect(series.slice(120, 131)).toEqual([-5, ...Array<number>(9).fill(NaN), -5]);
  });

  it('OM-3: all of them make the source unusable, so that the next one is asked', async () => {
    const empty = bridged((request) => healthy(request, { temperatureC: () => null }));
    expect(errorOf(await fetchOne(empty.source))).toMatchObject({ code: 'forecast-empty' });
    const other = bridged((request) => healthy(request), { id: 'other' });
    const gathered = await gatherForecasts({
      points: [{ ...BERLIN, sources: ['meteo', 'other'] }],
      sources: [
        { source: empty.source, staleAfterHours: 12, service: 'open-meteo' },
        { source: other.source, staleAfterHours: 12, service: 'open-meteo' },
      ],
      now: NOW,
      signal: new AbortController().signal,
      compare: true,
    });
    expect(gathered.get('berlin')).toMatchObject({ ok: true, forecast: { source: 'other' } });
  });

  it('OM-3: of wind, cloud or ground alone leave the temperature its use', async () => {
    const none = (): null => null;
    const answer = await answered({ windSpeedMps: none, cloudPercent: none, soilTemperatureC: none });
    expect(forecastOf(answer).members[0]).toMatchObject({
      windSpeedMps: null,
      cloudPercent: null,
      soilTemperatureC: null,
    });
    expect(temperatures(answer)[NOW_INDEX]).toBe(-(NOW_INDEX % 7));
  });
});

describe('names', () => {
  it('OM-4: a temperature that is left out, or comes under the name of a model, is refused and said', async () => {
    const renamed = (to: string | null): Partial<BodyOptions> => ({
      change: (location) => {
        const { temperature_2m: air, ...hourly } = location.hourly;
        const { temperature_2m: unit, ...units } = location.hourly_units;
        if (to === null) return { ...location, hourly, hourly_units: units };
        return { ...location, hourly: { ...hourly, [to]: air }, hourly_units: { ...units, [to]: unit } };
      },
    });
    for (const to of [null, 'temperature_2m_gfs_seamless']) {
      const error = errorOf(await answered(renamed(to)));
      expect(error).toMatchObject({ code: 'source-body', retryable: true });
      expect(error.message).toContain('left out temperature_2m');
    }
  });

  itWithShared(
    'OM-4: the recorded answer without a suffix has the temperature under its plain name',
    async () => {
      const value = JSON.parse(recording('model-suffix-dropped.json')) as { hourly: Record<string, unknown> };
      const start = parseInstant('2026-10-03T11:00:00Z')!;
      const body = {
        ...value,
        hourly_units: { time: 'unixtime', temperature_2m: '°C' },
        hourly: { ...value.hourly, time: [start, start + HOUR_S] },
      };
      const { source } = bridged(() => jsonText(JSON.stringify(body)));
      const place = { ...BERLIN, latitude: 52.28, longitude: 6.88 };
      expect(temperatures(await fetchOne(source, place, start))).toEqual([19.3, 20]);
    },
  );
});

describe('a service in trouble after a good answer leaves that one, as old as it is, with the reason', () => {
  const FAULTS: readonly (readonly [what: string, fault: Responder, code: string])[] = [
    ['OM-5: not JSON', () => jsonText('{"latitude":nan,"longitude":nan}'), 'source-body'],
    ['OM-6: cut off', () => jsonText('{"a":[1Unexpected error while streaming data: reset'), 'source-body'],
    [
      'OM-7: limits',
      () =>
        jsonText(
          '{"error":true,"reason":"Daily API request limit exceeded. Please try again tomorrow."}',
          429,
        ),
      'source-limited',
    ],
    ['OM-8: 502', () => HttpResponse.html('<html>502 Bad Gateway</html>', { status: 502 }), 'source-http'],
    ['OM-8: 504', () => jsonText('', 504), 'source-http'],
    ['OM-8: no connection', () => HttpResponse.error(), 'source-unreachable'],
    [
      'OM-9: the days of last week',
      (request) => healthy(request, { startEpochS: START - 30 * DAY_S }),
      'forecast-stale',
    ],
    [
      'OM-3: nothing but nulls',
      (request) => healthy(request, { temperatureC: () => null }),
      'forecast-empty',
    ],
    [
      'OM-15: a variable of another name',
      () => jsonText('{"error":true,"reason":"Cannot initialize WeatherVariable"}', 400),
      'source-refused',
    ],
  ];
  it.each(FAULTS)('%s', async (_, fault, code) => {
    const answer = await later(fault);
    expect(answer).toMatchObject({ ok: true, keptSince: { code } });
    expect(forecastOf(answer).fetchedAt).toBe(NOW);
    expect(temperatures(answer)[NOW_INDEX]).toBe(-(NOW_INDEX % 7));
  });

  it('OM-9: and none once that one has ended', async () => {
    const error = errorOf(await later(() => jsonText('', 502), 17 * 24));
    expect(error.code).toBe('source-http');
  });
});

describe('OM-7: limits', () => {
  it('are kept by the words of the service until they are over, and then it is asked again', async () => {
    const body =
      '{"error":true,"reason":"Hourly API request limit exceeded. Please try again in the next hour."}';
    const { source, requests } = bridged((request, count) =>
      count === 1 ? jsonText(body, 429) : healthy(request),
    );
    expect(errorOf(await fetchOne(source))).toMatchObject({ code: 'source-limited', retryAfterS: 1800 });
    expect(errorOf(await fetchOne(source, BERLIN, NOW + 1799)).code).toBe('source-limited');
    expect(requests).toHaveLength(1);
    expect(forecastOf(await fetchOne(source, BERLIN, NOW + 1800)).fetchedAt).toBe(NOW + 1800);
  });

  it('of the free service are not reached: what is spent is counted, and beyond it nothing is asked', async () => {
    // 8 variables over 3 past days and 11 more: 0.8 × 14/14, at least 1 a place.
    const { source, requests } = bridged((request) => healthy(request), { allowance: { day: 2 } });
    const at = (now: number): Promise<SourceAnswer> => fetchOne(source, { ...BERLIN, elevationM: 40 }, now);
    forecastOf(await at(NOW));
    forecastOf(await at(NOW + HOUR_S));
    const third = await at(NOW + 2 * HOUR_S);
    expect(third).toMatchObject({ ok: true, keptSince: { code: 'source-limited' } });
    if (third.ok) expect(third.keptSince!.message).toContain('what it allows in one day is spent');
    expect(requests).toHaveLength(2);
  });

  it('are none with a key, unless they are named', async () => {
    const { source, waits } = bridged((request) => healthy(request, { hours: 120 }), { apiKey: 'k' });
    const points = Array.from({ length: 700 }, (_, i) => ({ ...BERLIN, id: `p${i}`, elevationM: 40 }));
    const answers = await source.fetch(points, NOW, new AbortController().signal);
    expect([...answers.values()].every((answer) => answer.ok)).toBe(true);
    expect(waits).toEqual([]);
  });
});

describe('the shelf', () => {
  it('answers within a quarter of an hour without a request, place by place', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await source.fetch([BERLIN, OSLO], NOW, new AbortController().signal);
    const more = { ...BERLIN, id: 'more', latitude: 50 };
    const answers = await source.fetch([OSLO, more, BERLIN], NOW + 899, new AbortController().signal);
    expect(forecastOf(answers.get('oslo')).fetchedAt).toBe(NOW);
    expect(forecastOf(answers.get('more')).fetchedAt).toBe(NOW + 899);
    expect(requests).toHaveLength(2);
    expect(new URL(requests[1]!.url).searchParams.get('latitude')).toBe('50.0000');
    await fetchOne(source, BERLIN, NOW + 900);
    expect(requests).toHaveLength(3);
  });
});

describe('OM-10: time', () => {
  it.each([
    ['to summer time in Berlin', '2026-03-28T12:00:00Z', '2026-03-29T01:00:00Z'],
    ['from summer time in Berlin', '2026-10-24T12:00:00Z', '2026-10-25T01:00:00Z'],
  ])('goes on hour by hour over the change %s', async (_, now, change) => {
    const instant = parseInstant(now)!;
    const start = Math.floor(instant / DAY_S) * DAY_S - 3 * DAY_S;
    const answer = await answered(
      { startEpochS: start, temperatureC: (hour) => -hour / 10 },
      BERLIN,
      instant,
    );
    const at = (parseInstant(change)! - start) / HOUR_S;
    expect(forecastOf(answer).firstHour).toBe(start);
    expect(temperatures(answer).slice(at - 1, at + 3)).toEqual([-1, 0, 1, 2].map((h) => -(at + h) / 10));
  });

  it('in local text, as a proxy or a changed default might send it, is refused', async () => {
    const answer = await answered({
      change: (location) => ({
        ...location,
        utc_offset_seconds: 34_200,
        hourly_units: { ...location.hourly_units, time: 'iso8601' },
        hourly: {
          ...location.hourly,
          time: location.hourly.time.map((t) => new Date(t * 1000).toISOString().slice(0, 16)),
        },
      }),
    });
    expect(errorOf(answer).code).toBe('source-units');
  });
});

describe('OM-12: heights', () => {
  const elevated = (elevation: unknown): Partial<BodyOptions> => ({
    change: (location) => ({ ...location, elevation }),
  });

  it('of the grid are what the answer names, and of the ground what the terrain says', async () => {
    let start = START;
    const { source, heightRequests } = bridged((request) =>
      healthy(request, { startEpochS: start, ...elevated(1204) }),
    );
    const forecast = forecastOf(await fetchOne(source));
    expect(forecast).toMatchObject({ gridElevationM: 1204, groundElevationM: 38 });
    for (const [days, requests] of [
      [89, 1],
      [90, 2],
    ] as const) {
      start = START + days * DAY_S;
      expect(forecastOf(await fetchOne(source, BERLIN, NOW + days * DAY_S)).groundElevationM).toBe(38);
      expect(heightRequests).toHaveLength(requests);
    }
  });

  it.each([9999, -431, 8850, null, '38', undefined])(
    'of the grid that are %s are left out',
    async (elevation) => {
      expect(forecastOf(await answered(elevated(elevation)))).not.toHaveProperty('gridElevationM');
    },
  );

  it('of the ground are not asked for where the place names its own', async () => {
    const { source, heightRequests } = bridged((request) => healthy(request));
    const forecast = forecastOf(await fetchOne(source, { ...BERLIN, elevationM: 34 }));
    expect(forecast).not.toHaveProperty('groundElevationM');
    expect(heightRequests).toEqual([]);
  });

  it.each([
    ['fails', () => jsonText('', 503), 'status 503'],
    ['says nan', () => jsonText('{"elevation":[nan]}'), 'not JSON'],
    ['says null', () => jsonText('{"elevation":[null]}'), 'knows no height'],
    ['says 9999', () => jsonText('{"elevation":[9999]}'), 'knows no height'],
    ['speaks of other places', () => jsonText('{"elevation":[1,2]}'), 'answered for 2 places where 1'],
  ])(
    'of the ground are missing when the terrain %s; the forecast stands, and it is said',
    async (_, heights, words) => {
      const { source } = bridged((request) => healthy(request), {}, heights);
      const answer = await fetchOne(source);
      expect(forecastOf(answer)).not.toHaveProperty('groundElevationM');
      expect(remarksOf(answer)).toHaveLength(1);
      expect(remarksOf(answer)[0]).toMatch(
        /^The height of the ground at the place could not be learned\. .*\.$/,
      );
      expect(remarksOf(answer)[0]).toContain(words);
    },
  );

  it('at a whole southern latitude are asked for 11 m aside, where the terrain is not one degree off (issue 2085)', async () => {
    const { source, requests, heightRequests } = bridged((request) => healthy(request));
    await fetchOne(source, { ...BERLIN, latitude: -34 });
    expect(new URL(heightRequests[0]!.url).searchParams.get('latitude')).toBe('-33.9999');
    expect(new URL(requests[0]!.url).searchParams.get('latitude')).toBe('-34.0000');
  });
});

describe('temperatures that look odd', () => {
  it('OM-13: as no air can be are unknown, and a jump where models join stays as it came, for all to see', async () => {
    const joined = (hour: number): number =>
      hour === 150 ? -99.9 : hour === 151 ? 1e4 : hour < 200 ? -2 : -14;
    const series = temperatures(await answered({ temperatureC: joined }));
    expect(series.slice(149, 153)).toEqual([-2, NaN, NaN, -2]);
    expect(series.slice(198, 202)).toEqual([-2, -2, -14, -14]);
  });

  it('OM-16: as a low far too cold are those of the grid, with its height, for the correction of the place', async () => {
    const answer = await answered({
      temperatureC: () => -38,
      change: (location) => ({ ...location, elevation: 3100 }),
    });
    expect(temperatures(answer)[NOW_INDEX]).toBe(-38);
    expect(forecastOf(answer)).toMatchObject({ gridElevationM: 3100, groundElevationM: 38 });
  });

  it('X-3: that end before the horizon end there, and are not filled up', async () => {
    const series = temperatures(await answered({ hours: 120 }));
    expect(series).toHaveLength(120);
  });
});

describe('the recorded forecast of Munich', () => {
  itWithShared(
    'has the values that stand in it, once its time is whole UTC hours and its wind in m/s',
    async () => {
      const value = JSON.parse(recording('forecast-unixtime-munich-2026-02.json')) as {
        hourly: Record<string, number[]>;
      };
      const body = {
        ...value,
        hourly_units: { time: 'unixtime', temperature_2m: '°C' },
        hourly: { time: value.hourly['time'], temperature_2m: value.hourly['temperature_2m'] },
      };
      const munich = { ...BERLIN, latitude: 48.14, longitude: 11.58 };
      const now = parseInstant('2026-02-07T15:15:00Z')!;
      const forecast = forecastOf(
        await fetchOne(bridged(() => jsonText(JSON.stringify(body))).source, munich, now),
      );
      // From the file: 1770418800 is 2026-02-06T23:00:00Z.
      expect(forecast.firstHour).toBe(parseInstant('2026-02-06T23:00:00Z'));
      const { temperatureC } = forecast.members[0]!;
      expect([temperatureC.length, ...temperatureC.slice(0, 3), temperatureC[167]]).toEqual([
        168, 6.4, 6.6, 6.3, 4.9,
      ]);
      expect(forecast.gridElevationM).toBe(524);
      expect(forecast.members[0]!.windSpeedMps).toBeNull();
    },
  );
});
