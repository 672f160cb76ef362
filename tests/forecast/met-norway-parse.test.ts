import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { readForecast } from '../../src/forecast/met-norway/parse.ts';
import type { Point, SourceAnswer } from '../../src/forecast/source.ts';
import { parseInstant } from '../../src/quantity/instant.ts';
import type { ForecastMember } from '../../src/weather/forecast.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { errorOf, forecastOf } from './open-meteo-setup.ts';
import { CREEK, metNorwayBody, NOW, START, type BodyOptions } from './met-norway-body.ts';

function parsed(options: BodyOptions = {}, point: Point = CREEK, now = NOW): SourceAnswer {
  const value: unknown = JSON.parse(JSON.stringify(metNorwayBody(options)));
  return readForecast(value, { point, source: 'met', now, fetchedAt: now });
}

function single(options: BodyOptions = {}): ForecastMember {
  return forecastOf(parsed(options)).members[0]!;
}

function recorded(name: string, point: Omit<Point, 'id' | 'elevationM'>, now: string): SourceAnswer {
  const file = JSON.parse(readFileSync(sharedPath(`recordings/met-norway/${name}`), 'utf8')) as object;
  const asked = { id: 'there', elevationM: null, ...point };
  const at = parseInstant(now)!;
  return readForecast('data' in file ? file.data : file, {
    point: asked,
    source: 'met',
    now: at,
    fetchedAt: at,
  });
}

/** Values read in the files by eye, at the times that stand beside them. */
describe('a recorded answer', () => {
  itWithShared('compact, Oslo 2026: hourly to Monday 00:00, then every six hours', () => {
    const answer = recorded(
      'compact-oslo-2026-02.json',
      { latitude: 59.9139, longitude: 10.7522 },
      '2026-02-06T21:10:00Z',
    );
    const forecast = forecastOf(answer);
    expect(forecast).toMatchObject({
      issuedAt: parseInstant('2026-02-06T20:27:06Z'),
      firstHour: parseInstant('2026-02-06T21:00:00Z'),
      gridElevationM: 5,
      whole: false,
    });
    expect(forecast.members).toHaveLength(1);
    const member = forecast.members[0]!;
    // 9 days and 21 hours, both ends included.
    expect(member.temperatureC).toHaveLength(238);
    expect(member.temperatureC.slice(0, 2)).toEqual([-5.8, -5.9]);
    // 06:00 of the 9th is hour 57; the hours since 00:00 are not known.
    expect(member.temperatureC.slice(51, 58)).toEqual([-7.1, NaN, NaN, NaN, NaN, NaN, -4.4]);
    // 2026-02-14T06:00Z, 177 hours on.
    expect(member.temperatureC[177]).toBe(-11.8);
    expect(member.temperatureC.at(-1)).toBe(-5.9);
    expect(member.windSpeedMps!.slice(0, 2)).toEqual([6, 6.4]);
    expect(member.cloudPercent![50]).toBe(93.5);
    expect(member.stepHours!.slice(50, 54)).toEqual([1, 1, 6, 6]);
    expect(member.lows).toBeUndefined();
  });

  itWithShared('complete, London 2020: lows between the steps, no percentiles', () => {
    const answer = recorded(
      'complete-with-headers.json',
      { latitude: 51.5, longitude: -0.1 },
      '2020-07-20T11:44:31Z',
    );
    const forecast = forecastOf(answer);
    expect(forecast).toMatchObject({ issuedAt: parseInstant('2020-07-20T01:30:57Z'), gridElevationM: 25 });
    expect(forecast.members).toHaveLength(1);
    const { temperatureC, lows } = forecast.members[0]!;
    // 2020-07-22T18:00Z, 55 hours on, is the last hourly entry: 23.3 °C, 14.9 °C until midnight at the lowest.
    expect(temperatureC[55]).toBe(23.3);
    expect(lows![0]).toEqual({ from: 56, to: 61, temperatureC: 14.9 });
    expect(lows![1]).toEqual({ from: 62, to: 67, temperatureC: 11.8 });
    expect(lows).toHaveLength(26);
  });

  itWithShared('complete, 53.5 N 13 E 2022: 25 courses between and beyond the percentiles', () => {
    const answer = recorded(
      'complete-percentiles-2022-08.json',
      { latitude: 53.5, longitude: 13 },
      '2022-08-02T16:10:00Z',
    );
    const [first, ...courses] = forecastOf(answer).members;
    expect(first!.model).toBeUndefined();
    expect(courses).toHaveLength(25);
    // 2022-08-05T00:00Z, 56 hours on: 23.3 °C, percentiles 21.9 and 27.5 °C.
    expect(first!.temperatureC[56]).toBe(23.3);
    expect(courses[2]!.temperatureC[56]).toBeCloseTo(21.9, 9);
    expect(courses[12]!.temperatureC[56]).toBeCloseTo(23.3, 9);
    expect(courses[22]!.temperatureC[56]).toBeCloseTo(27.5, 9);
    expect(first!.lows![0]).toEqual({ from: 57, to: 62, temperatureC: 20.3 });
  });
});

describe('MET-5: the part in six-hour steps', () => {
  it('has NaN between its entries, marks its steps and names the lowest between them', () => {
    const member = single({ temperatureC: (hour) => -5 - Math.cos((hour * Math.PI) / 12) });
    expect(member.temperatureC.slice(0, 65).some(Number.isNaN)).toBe(false);
    expect(member.temperatureC.slice(65, 70).every(Number.isNaN)).toBe(true);
    expect(member.windSpeedMps!.slice(64, 71)).toEqual([2.5, NaN, NaN, NaN, NaN, NaN, 2.5]);
    expect(member.stepHours!.slice(63, 72)).toEqual([1, 1, 6, 6, 6, 6, 6, 6, 6]);
    expect(member.stepHours).toHaveLength(member.temperatureC.length);
    expect(member.lows).toHaveLength(28);
    expect(member.lows![0]).toMatchObject({ from: 65, to: 70 });
  });

  it('ends with entries that have `instant` only', () => {
    const { temperatureC } = single();
    expect(temperatureC).toHaveLength(65 + 6 * 28);
    expect(temperatureC.at(-1)).toBe(-5);
  });

  it('without lows, as in `compact`, has none', () => {
    const edit: BodyOptions['edit'] = ({ properties }) => {
      delete properties.meta.units['air_temperature_min'];
      for (const { data } of properties.timeseries) delete data.next_6_hours?.details!['air_temperature_min'];
    };
    expect(single({ edit }).lows).toBeUndefined();
  });

  it('tells a hole of another length from a step', () => {
    const edit: BodyOptions['edit'] = ({ properties }) => properties.timeseries.splice(10, 3);
    const member = single({ edit });
    expect(member.temperatureC.slice(9, 14)).toEqual([-5, NaN, NaN, NaN, -5]);
    expect(new Set(member.stepHours!.slice(0, 65))).toEqual(new Set([1]));
  });
});

describe('an unknown hour', () => {
  it.each([
    ['left out', undefined],
    ['null', null],
    ['far too low', -150],
    ['far too high', 4000],
  ])('that is %s is NaN and never 0', (_, value) => {
    const edit: BodyOptions['edit'] = ({ properties }) => {
      const details = properties.timeseries[7]!.data.instant.details!;
      for (const name of ['air_temperature', 'wind_speed', 'cloud_area_fraction']) details[name] = value;
    };
    const member = single({ edit });
    expect(member.temperatureC.slice(6, 9)).toEqual([-5, NaN, -5]);
    expect(member.windSpeedMps!.slice(6, 9)).toEqual([2.5, NaN, 2.5]);
    expect(member.cloudPercent!.slice(6, 9)).toEqual([12.5, NaN, 12.5]);
  });

  it('that has no details at all is NaN', () => {
    const edit: BodyOptions['edit'] = ({ properties }) =>
      delete properties.timeseries[7]!.data.instant.details;
    expect(single({ edit }).temperatureC[7]).toBeNaN();
  });

  it('in text refuses the answer', () => {
    const edit: BodyOptions['edit'] = ({ properties }) => {
      properties.timeseries[7]!.data.instant.details!['air_temperature'] = '-5';
    };
    expect(errorOf(parsed({ edit }))).toMatchObject({ code: 'source-body', retryable: true });
    expect(errorOf(parsed({ edit })).message).toContain('timeseries.7.data.instant.details.air_temperature');
  });

  it('everywhere makes no forecast', () => {
    expect(errorOf(parsed({ temperatureC: () => NaN })).code).toBe('forecast-empty');
    const edit: BodyOptions['edit'] = ({ properties }) => {
      properties.timeseries.length = 0;
    };
    expect(errorOf(parsed({ edit })).code).toBe('forecast-empty');
  });
});

describe('what is not said of', () => {
  it('wind or cloud is null', () => {
    const edit: BodyOptions['edit'] = ({ properties }) => {
      for (const { data } of properties.timeseries) {
        delete data.instant.details!['wind_speed'];
        delete data.instant.details!['cloud_area_fraction'];
      }
    };
    expect(single({ edit })).toMatchObject({
      windSpeedMps: null,
      cloudPercent: null,
      soilTemperatureC: null,
    });
  });

  it.each([null, 9999, -99_999])('the height, as %s, leaves it out and is remarked', (height) => {
    const edit: BodyOptions['edit'] = ({ geometry }) => {
      geometry.coordinates[2] = height;
    };
    const answer = parsed({ edit });
    expect(forecastOf(answer)).not.toHaveProperty('gridElevationM');
    expect(answer.ok && answer.remarks).toEqual([
      'The source "met" does not say for which height its temperatures for "creek" are.',
    ]);
  });

  it('the time of issue refuses the answer', () => {
    const edit: BodyOptions['edit'] = ({ properties }) => {
      properties.meta.updated_at = 'recently';
    };
    expect(errorOf(parsed({ edit })).message).toContain('does not say when its forecast was made');
  });
});

describe('MET-7: the height of the ground that the temperatures are for', () => {
  it('is the one in the answer', () => {
    const answer = parsed();
    expect(forecastOf(answer).gridElevationM).toBe(2800);
    expect(answer).not.toHaveProperty('remarks');
  });

  it('far from that of the place is remarked', () => {
    const answer = parsed({}, { ...CREEK, elevationM: 550.4 });
    expect(answer.ok && answer.remarks).toEqual([
      'The temperatures of the source "met" are for ground at 2800 m, and the place "creek" is given as 550 m: ' +
        'check its coordinates and height.',
    ]);
  });
});

describe('MET-8: the point in the answer', () => {
  it('with longitude and latitude swapped is another place', () => {
    const swapped = { ...CREEK, latitude: 60.5, longitude: 11.59 };
    const answer = parsed({ point: { ...swapped, latitude: 11.59, longitude: 60.5 } }, swapped);
    expect(errorOf(answer)).toMatchObject({ code: 'source-missing-place', retryable: false });
    expect(errorOf(answer).message).toContain('latitude 11.59, longitude 60.5');
  });

  itWithShared('recorded for somewhere else is another place', () => {
    const answer = recorded(
      'complete-with-headers.json',
      { latitude: -0.1, longitude: 51.5 },
      '2020-07-20T11:44:31Z',
    );
    expect(errorOf(answer).code).toBe('source-missing-place');
  });

  it.each([
    [39.61, -106.0501, true],
    [39.61, 253.95, true],
    [39.61, -106.07, false],
    [39.63, -106.05, false],
  ])('at %d, %d is taken: %s', (latitude, longitude, taken) => {
    expect(parsed({ point: { ...CREEK, latitude, longitude } }).ok).toBe(taken);
  });
});

describe('X-1: times that', () => {
  const times = (change: (times: string[]) => void): SourceAnswer =>
    parsed({
      edit: ({ properties: { timeseries } }) => {
        const list = timeseries.map(({ time }) => time);
        change(list);
        timeseries.forEach((entry, i) => (entry.time = list[i]!));
      },
    });

  it.each<[string, (times: string[]) => void]>([
    ['stand twice', (list) => (list[5] = list[4]!)],
    ['fall', (list) => list.splice(5, 2, list[6]!, list[5]!)],
    ['lie between hours', (list) => (list[5] = list[5]!.replace(':00:00Z', ':30:00Z'))],
    ['begin between hours', (list) => (list[0] = list[0]!.replace(':00:00Z', ':30:00Z'))],
    ['carry an offset', (list) => (list[5] = list[5]!.replace('Z', '+01:00'))],
    ['are no times', (list) => (list[5] = 'noon')],
    ['lie years ahead', (list) => (list[list.length - 1] = '2036-01-10T08:00:00Z')],
  ])('%s refuse the answer', (_, change) => {
    expect(errorOf(times(change))).toMatchObject({ code: 'source-body', retryable: true });
  });
});

describe('X-2 and X-3: a series that', () => {
  it('X-2: begins more than two hours from now is about another time', () => {
    expect(errorOf(parsed({ startEpochS: START + 3 * 3600 })).code).toBe('forecast-stale');
  });

  it('X-3: ended before now is stale, and one of which only six-hour steps are left is refused', () => {
    expect(errorOf(parsed({ startEpochS: START - 30 * 86_400 })).code).toBe('forecast-stale');
    expect(errorOf(parsed({ startEpochS: START - 4 * 86_400 })).code).toBe('forecast-empty');
  });
});

describe('X-4: a unit', () => {
  it.each([
    ['air_temperature', 'fahrenheit'],
    ['air_temperature', undefined],
    ['air_temperature_percentile_10', 'K'],
    ['air_temperature_min', 'K'],
    ['wind_speed', 'km/h'],
    ['cloud_area_fraction', '1'],
  ])('of %s that is %s refuses the answer', (name, unit) => {
    const edit: BodyOptions['edit'] = ({ properties: { meta } }) => {
      meta.units[name] = unit;
    };
    const error = errorOf(parsed({ edit, percentiles: true }));
    expect(error).toMatchObject({ code: 'source-units', retryable: false });
    expect(error.message).toContain(name);
  });

  it('of a variable without any value is not needed', () => {
    const edit: BodyOptions['edit'] = ({ properties: { meta } }) => {
      meta.units['air_temperature_percentile_10'] = 'K';
    };
    expect(parsed({ edit }).ok).toBe(true);
  });

  it('of a name that every object has is not taken from there', () => {
    const value: unknown = JSON.parse(
      JSON.stringify(metNorwayBody()).replace(
        '"air_temperature":"celsius"',
        '"__proto__":{"air_temperature":"celsius"}',
      ),
    );
    const answer = readForecast(value, { point: CREEK, source: 'met', now: NOW, fetchedAt: NOW });
    expect(errorOf(answer).code).toBe('source-units');
  });
});
