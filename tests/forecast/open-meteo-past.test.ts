import { describe, expect, it } from 'vitest';
import { http } from 'msw';
import { setupServer } from 'msw/node';
import { Agent } from 'undici';
import { memoryShelf } from '../support/memory-shelf.ts';
import { openMeteoArchive, type AskPast } from '../../src/forecast/open-meteo/archive.ts';
import { openMeteoPreviousRuns } from '../../src/forecast/open-meteo/previous-runs.ts';
import type { OpenMeteoAccess } from '../../src/forecast/open-meteo/options.ts';
import { parsePast } from '../../src/forecast/open-meteo/past-parse.ts';
import { DAY_S, parseInstant } from '../../src/quantity/instant.ts';
import { itWithShared } from '../shared-data.ts';
import { mswBridge } from '../support/msw-bridge.ts';
import { BERLIN, jsonText, NOW, recording, type Responder } from './open-meteo-setup.ts';

const FROM = parseInstant('2026-01-01T00:00:00Z')!;
const DAYS = { from: FROM, to: FROM + DAY_S };

function access(respond: Responder): { access: OpenMeteoAccess; requests: Request[] } {
  const requests: Request[] = [];
  const server = setupServer(
    http.all('http://past.test/*', ({ request }) => {
      requests.push(request);
      return respond(request, requests.length);
    }),
  );
  const dispatcher = new Agent().compose(mswBridge(server));
  const fixed = { id: 'meteo', apiKey: null, userAgent: 'drainby/0.0.0', sleep: async () => {} };
  return { access: { ...fixed, dispatcher, shelf: memoryShelf() }, requests };
}

function ask(client: AskPast): ReturnType<AskPast> {
  return client({ point: BERLIN, days: DAYS, now: NOW, signal: new AbortController().signal });
}

/** To the shape of recordings/open-meteo/archive.json and previous-runs.json, in the time format that is asked for. */
function body(names: readonly string[], change: object = {}, hours = 48): string {
  const series = names.map((name, index): [string, (number | null)[]] => [
    name,
    Array.from({ length: hours }, (_, hour) => (hour === 47 ? null : hour / 10 - index)),
  ]);
  return JSON.stringify({
    latitude: 52.55,
    longitude: 13.4,
    generationtime_ms: 19.6,
    utc_offset_seconds: 0,
    timezone: 'GMT',
    timezone_abbreviation: 'GMT',
    elevation: 38,
    hourly_units: { time: 'unixtime', ...Object.fromEntries(names.map((name) => [name, '°C'])) },
    hourly: {
      time: Array.from({ length: hours }, (_, hour) => FROM + hour * 3600),
      ...Object.fromEntries(series),
    },
    ...change,
  });
}

const LEADS = [1, 2, 3, 4, 5, 6, 7].map((day) => `temperature_2m_previous_day${day}`);

describe('the archive', () => {
  it('is asked for whole UTC days at the height of its grid', async () => {
    const { access: given, requests } = access(() => jsonText(body(['temperature_2m'])));
    const answer = await ask(openMeteoArchive({ ...given, archiveBaseUrl: 'http://past.test/a' }));
    expect(answer).toMatchObject({
      ok: true,
      fetchedAt: NOW,
      value: {
        firstHour: FROM,
        gridElevationM: 38,
        attribution:
          'Past weather by Open-Meteo.com (https://open-meteo.com/), CC BY 4.0; contains ERA5 of the Copernicus Climate Change Service',
      },
    });
    const url = new URL(requests[0]!.url);
    expect(url.pathname).toBe('/a/v1/archive');
    expect(Object.fromEntries(url.searchParams)).toEqual({
      latitude: '52.5200',
      longitude: '13.4050',
      elevation: 'nan',
      hourly: 'temperature_2m',
      timezone: 'GMT',
      timeformat: 'unixtime',
      start_date: '2026-01-01',
      end_date: '2026-01-02',
    });
  });

  it('gives an hour it does not know as NaN', async () => {
    const { access: given } = access(() => jsonText(body(['temperature_2m'])));
    const answer = await ask(openMeteoArchive({ ...given, archiveBaseUrl: 'http://past.test' }));
    if (!answer.ok) throw answer.error;
    expect(answer.value.temperaturesC[0]!.slice(45)).toEqual([4.5, 4.6, NaN]);
  });

  it('stands in as it was, with the reason, where it cannot be had', async () => {
    const { access: given } = access((_, count) =>
      count === 1 ? jsonText(body(['temperature_2m'])) : jsonText('', 502),
    );
    const client = openMeteoArchive({ ...given, archiveBaseUrl: 'http://past.test' });
    await ask(client);
    const later = { point: BERLIN, days: DAYS, now: NOW + DAY_S, signal: new AbortController().signal };
    expect(await client(later)).toMatchObject({
      ok: true,
      fetchedAt: NOW,
      keptSince: { code: 'source-http' },
    });
  });

  it.each([
    ['°F', { hourly_units: { time: 'unixtime', temperature_2m: '°F' } }, 'source-units'],
    ['another place', { latitude: 13.4, longitude: 52.5 }, 'source-missing-place'],
    ['other days', { hourly: { time: [FROM - DAY_S], temperature_2m: [1] } }, 'source-body'],
    [
      'more days than asked for',
      { hourly: { time: [FROM, FROM + 5 * DAY_S], temperature_2m: [1, 2] } },
      'source-body',
    ],
    ['no temperature', { hourly: { time: [FROM] }, hourly_units: { time: 'unixtime' } }, 'source-body'],
  ])('is refused with %s', async (_, change, code) => {
    const { access: given } = access(() => jsonText(body(['temperature_2m'], change)));
    const answer = await ask(openMeteoArchive({ ...given, archiveBaseUrl: 'http://past.test' }));
    expect(answer).toMatchObject({ ok: false, error: { code } });
  });
});

describe('previous runs', () => {
  it('are asked for and given by lead day', async () => {
    const { access: given, requests } = access(() => jsonText(body(LEADS)));
    const client = openMeteoPreviousRuns({ ...given, previousRunsBaseUrl: 'http://past.test/p' });
    const answer = await ask(client);
    if (!answer.ok) throw answer.error;
    expect(answer.value.temperaturesC.map((series) => series[10])).toEqual([1, 0, -1, -2, -3, -4, -5]);
    const url = new URL(requests[0]!.url);
    expect(url.pathname).toBe('/p/v1/forecast');
    expect(url.searchParams.get('hourly')).toBe(LEADS.join(','));
  });

  it('without one of the lead days are refused', async () => {
    const { access: given } = access(() => jsonText(body(LEADS.slice(0, 6))));
    const client = openMeteoPreviousRuns({ ...given, previousRunsBaseUrl: 'http://past.test' });
    expect(await ask(client)).toMatchObject({ ok: false, error: { code: 'source-body' } });
  });
});

/** A recording as our own query would have got it: its values, only the series asked for, its times as GMT seconds. */
function asAsked(name: string, names: readonly string[]): unknown {
  const value = JSON.parse(recording(name)) as {
    hourly: Record<string, unknown[]>;
    hourly_units: Record<string, string>;
  };
  const times = value.hourly['time'] as string[];
  const pick = <T>(from: Record<string, T>): Record<string, T> =>
    Object.fromEntries(names.flatMap((key) => (from[key] === undefined ? [] : [[key, from[key]]])));
  return {
    ...value,
    hourly_units: { ...pick(value.hourly_units), time: 'unixtime' },
    hourly: { ...pick(value.hourly), time: times.map((time) => parseInstant(`${time}:00Z`)) },
  };
}

describe('recorded answers about the past', () => {
  const read = (
    value: unknown,
    names: readonly string[],
    place: object,
    from: string,
  ): ReturnType<typeof parsePast> =>
    parsePast(
      value,
      { source: 'meteo', point: { ...BERLIN, ...place }, now: NOW, fetchedAt: NOW },
      {
        names,
        attribution: 'none',
        days: { from: parseInstant(from)!, to: parseInstant(from)! + 2 * DAY_S },
      },
    );
  const adelaide = { latitude: -34.76, longitude: 138.64 };
  const enschede = { latitude: 52.27, longitude: 6.88 };

  itWithShared('archive.json has the values that stand in it', () => {
    const answer = read(
      asAsked('archive.json', ['temperature_2m']),
      ['temperature_2m'],
      adelaide,
      '2025-01-10T00:00:00Z',
    );
    if (!answer.ok) throw answer.error;
    const [air] = answer.value.temperaturesC;
    expect(air).toHaveLength(72);
    expect([air![0], air![1], air![2], air![71]]).toEqual([20.3, 19.8, 19.2, 25.8]);
    expect(answer.value.gridElevationM).toBe(12);
  });

  itWithShared('previous-runs.json has the values that stand in it, by lead day', () => {
    const names = LEADS.slice(0, 2);
    const answer = read(asAsked('previous-runs.json', names), names, enschede, '2026-10-02T00:00:00Z');
    if (!answer.ok) throw answer.error;
    expect(answer.value.temperaturesC).toEqual([
      [14.2, 12.9, 12.1],
      [14.4, 14.2, 13.4],
    ]);
  });

  itWithShared('OM-10: in local time, as they were recorded, are refused and say why', () => {
    for (const [file, place] of [
      ['archive.json', adelaide],
      ['archive-winter-date-summer-offset.json', enschede],
      ['previous-runs.json', enschede],
    ] as const) {
      const names = file === 'previous-runs.json' ? LEADS.slice(0, 2) : ['temperature_2m'];
      const answer = read(JSON.parse(recording(file)), names, place, '2025-01-10T00:00:00Z');
      expect(answer).toMatchObject({ ok: false, error: { code: 'source-units' } });
      if (!answer.ok) expect(answer.error.message).toContain('time in "iso8601" instead of "unixtime"');
    }
  });
});
