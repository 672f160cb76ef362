import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { coordinates } from '../../src/forecast/nws/cell.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import {
  alertFeature,
  collection,
  FARM,
  gridBody,
  hourly,
  layer,
  NOW,
  observed,
  station,
} from './nws-bodies.ts';
import { bridged, goodOne, json } from './nws-setup.ts';

const HOUR_S = 3600;

describe('a healthy service', () => {
  it('gives forecast, warnings and observation, with nothing to be said', async () => {
    const answer = await goodOne(bridged().source);
    expect(answer.forecast).toMatchObject({
      source: 'nws',
      attribution: 'Data: US National Weather Service (NOAA), https://www.weather.gov/',
      issuedAt: seconds('2026-01-15T17:37:00Z'),
      fetchedAt: NOW,
      gridElevationM: 367.8936,
    });
    expect(answer.alerts).toMatchObject([{ event: 'KOAX.FZ.W.0001', title: 'Freeze Warning' }]);
    expect(answer.observation).toMatchObject({ station: 'KOMA', temperatureC: -4 });
    // 0.07° of longitude at 41.211°: 0.07 · 111.195 km · cos 41.211° = 5.86 km.
    expect(answer.observation!.distanceKm).toBeCloseTo(5.86, 2);
    expect(answer.remarks).toBeUndefined();
    expect(answer.keptSince).toBeUndefined();
  });

  it('is asked for what its pages say, by a name with a contact, for GeoJSON', async () => {
    const { source, requests } = bridged();
    await goodOne(source);
    expect(requests.map(({ url }) => url.slice('http://weather.test'.length))).toEqual([
      '/points/41.211,-96.63',
      '/gridpoints/OAX/59,58',
      '/gridpoints/OAX/59,58/forecast/hourly',
      '/alerts/active?point=41.211,-96.63&status=actual',
      '/gridpoints/OAX/59,58/stations',
      '/stations/KOMA/observations?limit=15',
    ]);
    for (const { headers } of requests) {
      expect(headers.get('user-agent')).toBe('drainby/0.0.0 (ann@example.org)');
      expect(headers.get('accept')).toBe('application/geo+json');
    }
  });

  it('is asked below its baseUrl', async () => {
    const { requests, source } = bridged({}, { baseUrl: 'http://weather.test/' });
    await goodOne(source);
    expect(requests[0]!.url).toBe('http://weather.test/points/41.211,-96.63');
  });

  it('is asked for places of one cell once, and for the warnings at each', async () => {
    const { source, kinds } = bridged();
    const barn = { ...FARM, id: 'barn', longitude: -96.629 };
    const answers = await source.fetch([FARM, barn], NOW, new AbortController().signal);
    expect([...answers.values()].map(({ ok }) => ok)).toEqual([true, true]);
    expect(kinds().filter((kind) => kind === 'grid')).toHaveLength(1);
    expect(kinds().filter((kind) => kind === 'alerts')).toHaveLength(2);
    expect(kinds().slice(6)).toEqual(['points', 'alerts']);
  });

  it('costs four requests an hour and place, and two more every third day', async () => {
    const { source, kinds } = bridged({}, { staleAfterHours: null });
    for (let hour = 0; hour < 24; hour += 1) await goodOne(source, NOW + hour * HOUR_S);
    const asked = (kind: string): number => kinds().filter((each) => each === kind).length;
    // After 90 minutes the observation at the first station is too old, and the second one is asked as well.
    expect(['points', 'stations', 'grid', 'hourly', 'alerts'].map(asked)).toEqual([1, 1, 24, 24, 24]);
    expect(asked('observations')).toBe(24 + 22);
  });

  it('stops at once when the program does', async () => {
    const stop = new AbortController();
    const { source, requests } = bridged({
      grid: () => {
        stop.abort(new Error('stopped'));
        return json(gridBody());
      },
    });
    await expect(source.fetch([FARM], NOW, stop.signal)).rejects.toThrow('stopped');
    expect(requests).toHaveLength(2);
  });
});

describe('a recorded answer', () => {
  itWithShared(
    'NWS-7: comes through with its run-length hours, and what is odd about it is said',
    async () => {
      const raw: unknown = JSON.parse(
        readFileSync(sharedPath('recordings/nws/gridpoint-raw-winter.json'), 'utf8'),
      );
      const { forecast, remarks } = await goodOne(bridged({ grid: () => json(raw) }).source);
      const at = (seconds('2026-01-18T02:00:00Z') - forecast.firstHour) / HOUR_S;
      // 2026-01-18T00:00/PT3H is 13 °F: (13 − 32)·5/9.
      expect(forecast.members[0]!.temperatureC[at]).toBeCloseTo(-10.5556, 4);
      expect(remarks![0]).toBe('It has two temperatures for 1 hour; the colder one is taken.');
      // The hours beside it are not its own.
      expect(remarks![1]).toContain('Its hourly forecast differs from its grid by');
    },
  );

  itWithShared('is asked for at the cell that the recorded point names', async () => {
    const text = readFileSync(sharedPath('recordings/nws/weathergov_points.json'), 'utf8');
    const { source, requests } = bridged({
      points: () => json(JSON.parse(text)),
      grid: () => json(gridBody({}, null)),
    });
    await goodOne(source, NOW, { ...FARM, latitude: 38.8894, longitude: -77.0352 });
    // "gridId": "LWX", "gridX": 97, "gridY": 71.
    expect(requests[1]!.url).toBe('http://weather.test/gridpoints/LWX/97,71');
  });

  it('NWS-14: or any with temperatures in the thousands knows them as unknown, and says so', async () => {
    const values = hourly('2026-01-15T11:00:00Z', 60, (hour) => (hour === 20 ? 3000 : -5));
    const { source } = bridged({ grid: () => json(gridBody({ temperature: layer(values) })) });
    const { forecast, remarks } = await goodOne(source);
    expect(forecast.members[0]!.temperatureC.slice(19, 22)).toEqual([-5, NaN, -5]);
    expect(remarks![0]).toBe('1 temperature that cannot be was taken as unknown.');
  });
});

describe('politeness', () => {
  it('asks again for each kind after its own time only', async () => {
    const { source, kinds } = bridged();
    const askedAt = async (s: number): Promise<string[]> => {
      const before = kinds().length;
      await goodOne(source, NOW + s);
      return kinds().slice(before);
    };
    await goodOne(source);
    expect(await askedAt(120)).toEqual([]);
    expect(await askedAt(5 * 60)).toEqual(['alerts']);
    expect(await askedAt(20 * 60)).toEqual(['alerts', 'observations']);
    expect(await askedAt(HOUR_S)).toEqual(['grid', 'hourly', 'alerts', 'observations']);
  });

  it('asks for the cell and its stations again within a week', async () => {
    const { source, kinds } = bridged({}, { staleAfterHours: null });
    await goodOne(source);
    await goodOne(source, NOW + 2 * 24 * HOUR_S);
    expect(kinds().filter((kind) => kind === 'points' || kind === 'stations')).toHaveLength(2);
    await goodOne(source, NOW + 4 * 24 * HOUR_S);
    expect(kinds().filter((kind) => kind === 'points' || kind === 'stations')).toHaveLength(4);
  });

  it('asks conditionally, and takes 304 as the answer it has', async () => {
    const grid = (request: Request): Response =>
      request.headers.get('if-modified-since') === 'Thu, 15 Jan 2026 17:37:00 GMT'
        ? new Response(null, { status: 304 })
        : json(gridBody(), 200, { 'last-modified': 'Thu, 15 Jan 2026 17:37:00 GMT' });
    const { source, kinds } = bridged({ grid });
    await goodOne(source);
    const again = await goodOne(source, NOW + HOUR_S);
    expect(kinds().filter((kind) => kind === 'grid')).toHaveLength(2);
    expect(again.forecast.fetchedAt).toBe(NOW + HOUR_S);
    expect(again.forecast.issuedAt).toBe(seconds('2026-01-15T17:37:00Z'));
    expect(again.keptSince).toBeUndefined();
  });
});

describe('coordinates', () => {
  it.each([
    [41.211, -96.63, '41.211,-96.63'],
    [39.612345, -106.05, '39.6123,-106.05'],
    [40, -105.10004, '40,-105.1'],
    [-14.27, -170.7, '-14.27,-170.7'],
    [-0.00001, 144.79999999, '0,144.8'],
  ])(
    'NWS-5: of %d and %d have four decimals at most and no zeros at their end',
    (latitude, longitude, text) => {
      expect(coordinates({ id: 'x', elevationM: null, latitude, longitude })).toBe(text);
    },
  );
});

describe('the observation', () => {
  const stations = (): Response =>
    json(collection(...[1, 2, 3, 4, 5, 6, 7].map((n) => station(`K00${n}`, -96.63 - n / 100))));

  it('NWS-10: is that of the nearest station that has one', async () => {
    const { source } = bridged({
      stations,
      observations: (request) => {
        if (request.url.includes('K001')) return json(collection(observed({ value: null })));
        if (request.url.includes('K002'))
          return json(collection(observed({ value: -9 }, '2026-01-15T09:00:00Z')));
        if (request.url.includes('K003')) return json({}, 500);
        return json(collection(observed({ value: -4.4 })));
      },
    });
    expect((await goodOne(source)).observation).toMatchObject({ station: 'K004', temperatureC: -4.4 });
  });

  it('NWS-10: is asked for at five stations, and then there is none', async () => {
    const { source, kinds } = bridged({
      stations,
      observations: () => json(collection(observed({ value: null }))),
    });
    const answer = await goodOne(source);
    expect(answer).not.toHaveProperty('observation');
    expect(kinds().filter((kind) => kind === 'observations')).toHaveLength(5);
  });

  it('does not stand in the way of the forecast', async () => {
    const { source } = bridged({ stations: () => json({}, 500) });
    const answer = await goodOne(source);
    expect(answer).not.toHaveProperty('observation');
    expect(answer.alerts).toHaveLength(1);
  });
});

describe('warnings', () => {
  it('that cannot be asked for are not "none": it is said', async () => {
    const { source } = bridged({ alerts: () => json({}, 500) });
    const answer = await goodOne(source);
    expect(answer).not.toHaveProperty('alerts');
    expect(answer.remarks).toEqual([
      'Whether official warnings of cold are in force is not known: The source "nws" (weather.test) answered (status 500).',
    ]);
  });

  it('that cannot be asked for anew are those known, and it is said', async () => {
    const setup = bridged();
    await goodOne(setup.source);
    setup.respondWith({ alerts: () => json({}, 500) });
    const answer = await goodOne(setup.source, NOW + HOUR_S);
    expect(answer.alerts).toHaveLength(1);
    expect(answer.remarks).toEqual([
      'Official warnings are those of 2026-01-15T18:20:00Z: The source "nws" (weather.test) answered (status 500).',
    ]);
  });

  it('that are over are not shown from what is known either', async () => {
    const setup = bridged({}, { staleAfterHours: null });
    await goodOne(setup.source);
    setup.respondWith({ alerts: () => json({}, 500) });
    // It ends at 09:00 −06:00, 15:00 UTC.
    expect((await goodOne(setup.source, seconds('2026-01-16T15:30:00Z'))).alerts).toEqual([]);
  });

  it('in another shape are not "none" either', async () => {
    const { source } = bridged({ alerts: () => json({ title: 'Current watches' }) });
    const answer = await goodOne(source);
    expect(answer).not.toHaveProperty('alerts');
    expect(answer.remarks?.[0]).toContain('in the shape of something else than official warnings');
  });

  it('NWS-9: in force are shown once, and none that was cancelled, replaced, is over or is of something else', async () => {
    const code = (text: string): object => ({
      parameters: { VTEC: [`/O.${text}.260116T0000Z-260116T1500Z/`] },
    });
    const features = [
      alertFeature({ id: 'a', event: 'Freeze Watch', urgency: 'Past', ...code('UPG.KOAX.FZ.A.0004') }),
      alertFeature({ id: 'b', event: 'Freeze Watch', ...code('CAN.KOAX.FZ.A.0005') }),
      alertFeature({ id: 'c', headline: 'An older text', sent: '2026-01-15T03:00:00-06:00' }),
      alertFeature({ id: 'd', headline: 'The newest text', expires: '2026-01-15T12:00:00-06:00' }),
      alertFeature({ id: 'e', event: 'hard freeze warning', ends: null, parameters: {} }),
      alertFeature({ id: 'f', event: 'Winter Storm Warning', ...code('NEW.KOAX.WS.W.0001') }),
    ];
    const { alerts } = await goodOne(bridged({ alerts: () => json(collection(...features)) }).source);
    expect(alerts!.map(({ title, headline }) => [title, headline])).toEqual([
      ['Freeze Warning', 'The newest text'],
      ['hard freeze warning', (alertFeature()['properties'] as { headline: string }).headline],
    ]);
  });

  it('that cannot be read are counted', async () => {
    const { source } = bridged({ alerts: () => json(collection(alertFeature(), alertFeature({ sent: 1 }))) });
    expect((await goodOne(source)).remarks).toEqual([
      '1 official warning could not be read and may be of cold.',
    ]);
  });
});
