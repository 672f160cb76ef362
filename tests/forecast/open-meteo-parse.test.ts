import { describe, expect, it } from 'vitest';
import type { Point, SourceAnswer } from '../../src/forecast/source.ts';
import type { Asked } from '../../src/forecast/open-meteo/answer-parse.ts';
import { parseLocation } from '../../src/forecast/open-meteo/parse.ts';
import { HOUR_S, parseInstant } from '../../src/quantity/instant.ts';
import { itWithShared } from '../shared-data.ts';
import { openMeteoBody, type BodyLocation, type BodyOptions } from '../support/open-meteo-body.ts';
import { BERLIN, bridged, errorOf, fetchOne, forecastOf, healthy } from './open-meteo-setup.ts';
import { NOW, NOW_INDEX, recording, START, type Options } from './open-meteo-setup.ts';

function parsed(change: Partial<BodyOptions> = {}, point: Point = BERLIN, now = NOW): SourceAnswer {
  const options = { startEpochS: START, temperatureC: (): number => -5, ...change };
  return read(openMeteoBody([BERLIN], options), { point, source: 'meteo', now, fetchedAt: now });
}

function changed(edit: (location: BodyLocation) => void): SourceAnswer {
  return parsed({
    change: (location) => {
      edit(location);
      return location;
    },
  });
}

function recorded(name: string, point: Partial<Point>, now: string): SourceAnswer {
  const instant = parseInstant(now)!;
  return read(recording(name), {
    point: { ...BERLIN, ...point },
    source: 'meteo',
    now: instant,
    fetchedAt: instant,
  });
}

function read(text: string, asked: Asked): SourceAnswer {
  const answer = parseLocation(JSON.parse(text), asked);
  return answer.ok ? { ok: true, forecast: answer.value } : answer;
}

describe('an unknown hour', () => {
  it('is NaN and never 0, be it null, impossible or left out', () => {
    const temperatureC = (hour: number): number | null =>
      hour === 90 ? null : hour === 91 ? -150 : hour === 92 ? 4000 : -5;
    const [member] = forecastOf(parsed({ temperatureC })).members;
    expect(member!.temperatureC.slice(89, 94)).toEqual([-5, NaN, NaN, NaN, -5]);

    const gap = changed(({ hourly }) => Object.values(hourly).forEach((values) => values.splice(100, 2)));
    const filled = forecastOf(gap).members[0]!.temperatureC;
    expect(filled).toHaveLength(19 * 24);
    expect(filled.slice(99, 103)).toEqual([-5, NaN, NaN, -5]);
  });

  it('OM-1: at the end of the series stays unknown', () => {
    const [member] = forecastOf(parsed({ temperatureC: (hour) => (hour < 453 ? -5 : null) })).members;
    expect(member!.temperatureC.slice(452)).toEqual([-5, NaN, NaN, NaN]);
  });

  it('of wind and cloud outside the possible is unknown too', () => {
    const [member] = forecastOf(
      parsed({
        windSpeedMps: (hour) => (hour < 5 ? [-1, 0, 120, 500, null][hour]! : 3),
        cloudPercent: (hour) => (hour < 5 ? [-1, 0, 100, 101, null][hour]! : 30),
      }),
    ).members;
    expect(member!.windSpeedMps!.slice(0, 6)).toEqual([NaN, 0, 120, NaN, NaN, 3]);
    expect(member!.cloudPercent!.slice(0, 6)).toEqual([NaN, 0, 100, NaN, NaN, 30]);
  });
});

describe('a variable that is missing', () => {
  it('is null, whether it was left out or has no value and no unit', () => {
    const [member] = forecastOf(
      changed(({ hourly, hourly_units }) => {
        delete hourly['wind_speed_10m'];
        delete hourly_units['wind_speed_10m'];
        hourly['soil_temperature_0cm'] = hourly.time.map(() => null);
        hourly_units['soil_temperature_0cm'] = 'undefined';
      }),
    ).members;
    expect(member!.windSpeedMps).toBeNull();
    expect(member!.soilTemperatureC).toBeNull();
    expect(member!.cloudPercent).toHaveLength(19 * 24);
  });

  it('refuses the answer when it is the temperature', () => {
    const answer = changed(({ hourly }) => delete hourly['temperature_2m']);
    expect(errorOf(answer)).toMatchObject({ code: 'source-body', retryable: true });
  });
});

describe('units that drift', () => {
  it.each([
    ['temperature_2m', '°F'],
    ['temperature_2m', 'K'],
    ['dew_point_2m', '°F'],
    ['wind_speed_10m', 'km/h'],
    ['wind_gusts_10m', 'mp/h'],
    ['cloud_cover', 'okta'],
    ['precipitation', 'inch'],
    ['snow_depth', 'ft'],
    ['soil_temperature_0cm', '°F'],
    ['time', 'iso8601'],
  ])('X-4: are refused: %s in %s', (variable, unit) => {
    const error = errorOf(changed(({ hourly_units }) => (hourly_units[variable] = unit)));
    expect(error).toMatchObject({ code: 'source-units', retryable: false });
    expect(error.message).toContain(variable);
    expect(error.message).toContain(`"${unit}"`);
  });

  it('are refused when the unit is left out', () => {
    const answer = changed(({ hourly_units }) => delete hourly_units['temperature_2m']);
    expect(errorOf(answer).code).toBe('source-units');
  });

  itWithShared('X-4: are refused in the recorded answer in Fahrenheit', () => {
    const toronto = { latitude: 43.7, longitude: -79.4 };
    const error = errorOf(recorded('forecast-fahrenheit.json', toronto, '2026-03-05T21:00:00Z'));
    expect(error.code).toBe('source-units');
    expect(error.message).toContain('temperature_2m in "°F"');
  });

  itWithShared('are refused in the recorded answer with variables under their former names', () => {
    const munich = { latitude: 48.14, longitude: 11.58 };
    const error = errorOf(recorded('forecast-unixtime-munich-2026-02.json', munich, '2026-02-07T15:15:00Z'));
    expect(error.code).toBe('source-units');
    expect(error.message).toContain('windspeed_10m');
  });

  itWithShared('OM-10: are refused in the recorded answer in local time of a half-hour zone', () => {
    const adelaide = { latitude: -34.76, longitude: 138.64 };
    const error = errorOf(recorded('forecast-half-hour-zone.json', adelaide, '2026-07-16T00:00:00Z'));
    expect(error.code).toBe('source-units');
    expect(error.message).toContain('iso8601');
  });
});

describe('an axis', () => {
  it.each([
    ['falls', (time: number[]) => time.splice(0, time.length, ...time.toReversed())],
    ['repeats an hour', (time: number[]) => (time[5] = time[4]!)],
    ['has half hours', (time: number[]) => (time[5]! -= 1800)],
    ['starts at half past', (time: number[]) => time.forEach((_, index) => (time[index]! += 1800))],
    ['begins beyond all calendars', (time: number[]) => time.splice(0, time.length, 3600e300)],
    ['spans years', (time: number[]) => (time[time.length - 1] = START + 5 * 365 * 86_400)],
  ])('X-1: that %s is refused', (_, edit) => {
    expect(errorOf(changed(({ hourly }) => edit(hourly.time))).code).toBe('source-body');
  });

  it('whose length differs from a variable is refused', () => {
    const error = errorOf(changed(({ hourly }) => hourly['cloud_cover']!.pop()));
    expect(error).toMatchObject({ code: 'source-body', retryable: true });
    expect(error.message).toContain('cloud_cover');
  });

  it('X-2: that ended before now, or begins later than two hours from now, is stale', () => {
    expect(errorOf(parsed({ hours: NOW_INDEX })).code).toBe('forecast-stale');
    expect(parsed({ hours: NOW_INDEX + 1 }).ok).toBe(true);
    expect(parsed({ startEpochS: NOW + 1800 + 3600 }).ok).toBe(true);
    expect(errorOf(parsed({ startEpochS: NOW + 1800 + 7200 })).code).toBe('forecast-stale');
  });

  it('whose hours from now on are all unknown is empty', () => {
    const answer = parsed({ temperatureC: (hour) => (hour < NOW_INDEX ? -5 : null) });
    expect(errorOf(answer).code).toBe('forecast-empty');
  });
});

describe('the grid point', () => {
  it.each([
    ['swapped', { latitude: 13.405, longitude: 52.52 }],
    ['0.6° farther north', { latitude: 53.12 }],
    ['1° farther east', { longitude: 14.405 }],
  ])('OM-14: %s from the place asked for is another place', (_, point) => {
    expect(errorOf(parsed({}, { ...BERLIN, ...point })).code).toBe('source-missing-place');
  });

  it('OM-14: may lie in the next cell, and across the date line', () => {
    expect(parsed({}, { ...BERLIN, latitude: 52.9, longitude: 13.9 }).ok).toBe(true);
    const change = (location: BodyLocation): BodyLocation => ({ ...location, longitude: -179.9 });
    expect(parsed({ change }, { ...BERLIN, longitude: 179.95 }).ok).toBe(true);
  });
});

describe('steps of the best match', () => {
  it('are of 3 h beyond 120 h ahead, where the source says that it is one', async () => {
    const ask = async (options: Options) =>
      forecastOf(await fetchOne(bridged((request) => healthy(request), options).source));
    const { members, firstHour } = await ask({ steps: 'best-match' });
    const late = (NOW + 120 * HOUR_S - firstHour) / HOUR_S;
    members[0]!.stepHours!.forEach((step, i) => expect(step).toBe(i > late ? 3 : 1));
    expect(members[0]!.stepHours).toHaveLength(members[0]!.temperatureC.length);
    expect((await ask({})).members[0]).not.toHaveProperty('stepHours');
  });
});
