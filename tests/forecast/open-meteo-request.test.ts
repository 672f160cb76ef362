import { describe, expect, it } from 'vitest';
import type { Point } from '../../src/forecast/source.ts';
import { forecastQuery, serviceUrl } from '../../src/forecast/open-meteo/request.ts';
import {
  BERLIN,
  bridged,
  fetchOne,
  forecastOf,
  healthy,
  manyPoints,
  NOW,
  OSLO,
  START,
} from './open-meteo-setup.ts';

describe('the query', () => {
  it('asks for every variable in SI, in GMT epoch seconds, from three days back', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    await fetchOne(source, { ...BERLIN, elevationM: 34 });
    const url = new URL(requests[0]!.url);
    expect(url.pathname).toBe('/v1/forecast');
    expect(Object.fromEntries(url.searchParams)).toEqual({
      latitude: '52.5200',
      longitude: '13.4050',
      elevation: 'nan',
      hourly:
        'temperature_2m,dew_point_2m,wind_speed_10m,wind_gusts_10m,cloud_cover,precipitation,snow_depth,soil_temperature_0cm',
      timezone: 'GMT',
      timeformat: 'unixtime',
      wind_speed_unit: 'ms',
      past_days: '3',
      forecast_days: '11',
    });
  });

  it.each([
    [1, '2'],
    [24, '2'],
    [25, '3'],
    [360, '16'],
    [384, '16'],
    [1000, '16'],
  ])('for a horizon of %i hours asks for %s days, since today is half over', (hours, days) => {
    expect(forecastQuery([BERLIN], { horizonHours: hours })['forecast_days']).toBe(days);
  });

  it('asks a server of one’s own for the height of the places, and leaves it out where it is not known', () => {
    const of = (...points: Point[]): string | undefined =>
      forecastQuery(points, { horizonHours: 24, heights: 'of-place' })['elevation'];
    const [low, high] = manyPoints(2);
    expect(of(low!, high!)).toBe('1500.0,1501.0');
    expect(of(BERLIN, OSLO)).toBeUndefined();
    expect(forecastQuery([BERLIN, high!], { horizonHours: 24 })['elevation']).toBe('nan,nan');
  });

  it('keeps the path and the query of the base address', () => {
    const url = serviceUrl('https://proxy.test:8443/weather/?tenant=7', '/v1/forecast', { timezone: 'GMT' });
    expect(url.href).toBe('https://proxy.test:8443/weather/v1/forecast?tenant=7&timezone=GMT');
  });

  it('names the program, asks for JSON, and sends the key in a header only', async () => {
    const { source, requests } = bridged((request) => healthy(request), { apiKey: 'sesame-1234' });
    await fetchOne(source);
    expect(requests[0]!.headers.get('user-agent')).toBe('drainby/0.0.0');
    expect(requests[0]!.headers.get('accept')).toBe('application/json');
    expect(requests[0]!.headers.get('x-api-key')).toBe('sesame-1234');
    expect(requests[0]!.url).not.toContain('sesame');
  });
});

describe('several points', () => {
  it('travel a hundred to a request, in order, and each gets its own answer', async () => {
    const points = manyPoints(250);
    const { source, requests } = bridged((request) =>
      healthy(request, {
        hours: 200,
        temperatureC: () => 0,
        change: (location) => ({
          ...location,
          hourly: { ...location.hourly, temperature_2m: location.hourly.time.map(() => location.latitude) },
        }),
      }),
    );
    const answers = await source.fetch(points, NOW, new AbortController().signal);
    const asked = requests.map((request) => new URL(request.url).searchParams.get('latitude')!.split(','));
    expect(asked.map((latitudes) => latitudes.length)).toEqual([100, 100, 50]);
    expect(asked.flat().map(Number)).toEqual(points.map(({ latitude }) => latitude));
    for (const point of points) {
      expect(forecastOf(answers.get(point.id)).members[0]!.temperatureC[0]).toBe(point.latitude);
    }
  });

  it('share a request whether their height is known or not: all are asked for at the height of the grid', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    const low = { ...BERLIN, elevationM: 34 };
    await source.fetch([OSLO, low], NOW, new AbortController().signal);
    expect(requests).toHaveLength(1);
    expect(new URL(requests[0]!.url).searchParams.get('elevation')).toBe('nan,nan');
  });

  it('of none sends nothing', async () => {
    const { source, requests } = bridged((request) => healthy(request));
    expect((await source.fetch([], NOW, new AbortController().signal)).size).toBe(0);
    expect(requests).toEqual([]);
  });
});

describe('a healthy answer', () => {
  it('becomes one member on the UTC axis with the credit that the licence asks for', async () => {
    const { source } = bridged((request) => healthy(request));
    const forecast = forecastOf(await fetchOne(source));
    expect(forecast).toMatchObject({ source: 'meteo', firstHour: START, fetchedAt: NOW, issuedAt: null });
    expect(forecast.attribution).toContain('https://open-meteo.com/');
    expect(forecast.whole).toBe(false);
    const [member] = forecast.members;
    expect(member!.temperatureC).toHaveLength(19 * 24);
    expect(member!.temperatureC.slice(0, 4)).toEqual([0, -1, -2, -3]);
    expect(member!.windSpeedMps![5]).toBe(2);
    expect(member!.cloudPercent![5]).toBe(50);
    expect(member!.soilTemperatureC![5]).toBe(5);
  });
});
