import { describe, expect, it } from 'vitest';
import type { BodyLocation } from '../support/open-meteo-body.ts';
import type { WeatherHandler, WeatherReply } from '../support/weather-server.ts';
import { COLD_LATER, answers, setScene, type Air } from './scene.ts';

type Body = { readonly body: string };

/** The cold answer, its text changed by `spoil`. */
function spoiled(spoil: (body: string) => WeatherReply): WeatherHandler {
  return async (request) => spoil(((await answers(COLD_LATER)(request)) as Body).body);
}

/** The cold answer, the location changed by `change`. */
function changed(change: (location: BodyLocation) => void): WeatherHandler {
  return answers(COLD_LATER, {
    change: (location) => {
      change(location);
      return location;
    },
  });
}

function inFahrenheit({ hourly, hourly_units }: BodyLocation): void {
  hourly_units['temperature_2m'] = '°F';
  hourly['temperature_2m'] = (hourly['temperature_2m'] ?? []).map((t) => (t === null ? t : t * 1.8 + 32));
}

const PAGE = '<!doctype html><title>502 Bad Gateway</title>';
const html = { 'content-type': 'text/html' };

const FAULTS: readonly (readonly [string, string, WeatherHandler])[] = [
  ['a web page with status 502', 'source-http', () => ({ status: 502, headers: html, body: PAGE })],
  ['nan where a number belongs', 'source-body', spoiled((body) => ({ body: body.replace(/-15/g, 'nan') }))],
  ['half of its answer', 'source-body', spoiled((body) => ({ body: body.slice(0, body.length / 2) }))],
  [
    'half of its answer and cuts the line',
    'source-body',
    spoiled((body) => ({ drop: 'within', body: body.slice(0, body.length / 2) })),
  ],
  ['degrees Fahrenheit', 'source-units', changed(inFahrenheit)],
  ['no temperature at all', 'forecast-empty', answers(() => null)],
  [
    'an error in place of data',
    'source-refused',
    () => ({ status: 400, body: '{"error":true,"reason":"Latitude must be in range."}' }),
  ],
  [
    'the weather of another place',
    'source-missing-place',
    changed((location) => Object.assign(location, { latitude: -location.latitude })),
  ],
  [
    'the weather of last week',
    'forecast-stale',
    answers(COLD_LATER, { now: () => Date.now() / 1000 - 20 * 86_400 }),
  ],
];

/** Asks once, and gives the code of the place's problem. */
async function codeOf(weather: WeatherHandler): Promise<string | undefined> {
  const scene = await setScene({ weather });
  const { exit, stdout } = await scene.run('check', '--json');
  expect(exit).toBe(3);
  const answer = JSON.parse(stdout) as { places: { problem: { code: string; message: string } }[] };
  expect(answer).toMatchObject({
    places: [{ id: 'creek', forecast: null }],
    units: [{ id: 'blue', advice: null, chanceOfDamage: null, firstDamage: null, zones: null }],
  });
  expect(answer.places[0]?.problem.message).toMatch(/"meteo".*\.$/);
  return answer.places[0]?.problem.code;
}

describe('a weather service', () => {
  it('with a fault of any kind is no forecast, and its unit is unknown', { timeout: 60_000 }, async () => {
    const found = await Promise.all(FAULTS.map(async ([what, , weather]) => [what, await codeOf(weather)]));
    expect(found).toEqual(FAULTS.map(([what, code]) => [what, code]));
  });

  it('that leaves hours out is never read as saying 0 °C', async () => {
    const holes: Air = (hour, point) => (hour % 7 === 3 ? null : COLD_LATER(hour, point));
    const mildHoles: Air = (hour) => (hour % 7 === 3 ? null : 10);
    const scene = await setScene({ weather: answers(holes) });
    const { exit, stdout } = await scene.run('check', '--json');
    expect(exit).toBe(0);
    expect(JSON.parse(stdout)).toMatchObject({ units: [{ zones: { outside: { minimumC: -15 } } }] });

    scene.weather.respondWith(answers(mildHoles));
    const mild = await scene.run('check', '--json');
    expect(mild.exit).toBe(0);
    expect(JSON.parse(mild.stdout)).toMatchObject({
      units: [{ advice: { action: 'nothing' }, zones: { outside: { minimumC: 10, degreeHours: 0 } } }],
    });
  });
});
