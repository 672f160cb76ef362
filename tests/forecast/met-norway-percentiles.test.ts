import { describe, expect, it } from 'vitest';
import { readForecast } from '../../src/forecast/met-norway/parse.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import { forecastOf } from './open-meteo-setup.ts';
import { CREEK, metNorwayBody, NOW, type BodyOptions } from './met-norway-body.ts';

function parsed(edit?: BodyOptions['edit'], temperatureC: (hour: number) => number = () => -5): SourceAnswer {
  const body = metNorwayBody({ percentiles: true, temperatureC, ...(edit && { edit }) });
  return readForecast(JSON.parse(JSON.stringify(body)), {
    point: CREEK,
    source: 'met',
    now: NOW,
    fetchedAt: NOW,
  });
}

/** Changes the details of the hourly entry `at` (of all entries when it is null). */
function details(
  change: (details: Record<string, unknown>) => void,
  at: number | null = null,
): BodyOptions['edit'] {
  return ({ properties: { timeseries } }) => {
    timeseries.forEach((entry, i) => {
      if (at === null || i === at) change(entry.data.instant.details!);
    });
  };
}

const LEFT_OUT =
  'The source "met" gives its percentiles for the place "creek" for some hours only, so they are left out.';

describe('percentiles as courses', () => {
  it('begin with the single forecast, and weigh 1 in all', () => {
    const [single, ...courses] = forecastOf(parsed()).members;
    expect(single).not.toHaveProperty('model');
    expect(new Set(courses.map(({ model }) => model))).toEqual(new Set(['percentiles']));
    expect(courses.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
    expect(courses.every(({ windSpeedMps }) => windSpeedMps === single!.windSpeedMps)).toBe(true);
  });

  it('are the quantiles of a normal law on either side', () => {
    // Median −5, 10 % at −7, 90 % at −4. z(0.10) = −1.28155 and z(0.02) = −2.05375 (tables of the normal law),
    // so 2 % is −5 − 2·2.05375/1.28155 = −8.20510 and 98 % is −5 + 1·2.05375/1.28155 = −3.39745.
    const courses = forecastOf(parsed())
      .members.slice(1)
      .map(({ temperatureC }) => temperatureC[10]!);
    expect(courses[0]).toBeCloseTo(-8.2051, 4);
    expect(courses[2]).toBeCloseTo(-7, 9);
    expect(courses[12]).toBeCloseTo(-5, 9);
    expect(courses[22]).toBeCloseTo(-4, 9);
    expect(courses[24]).toBeCloseTo(-3.39745, 4);
    expect(courses).toEqual(courses.toSorted((a, b) => a - b));
    expect(courses.filter((t) => t < -7.0001)).toHaveLength(2);
  });

  it('are between them where the single forecast lies outside', () => {
    const outside = details((d) => (d['air_temperature'] = 3), 10);
    const courses = forecastOf(parsed(outside))
      .members.slice(1)
      .map(({ temperatureC }) => temperatureC[10]!);
    expect([courses[2], courses[12], courses[22]].map((t) => t!.toFixed(6))).toEqual([
      '-7.000000',
      '-5.500000',
      '-4.000000',
    ]);
  });

  it('keep their lows as far below as they are at either end of the stretch', () => {
    const [single, ...courses] = forecastOf(parsed()).members;
    expect(single!.lows![0]).toEqual({ from: 65, to: 70, temperatureC: -5 });
    expect(courses[2]!.lows![0]!.temperatureC).toBeCloseTo(-7, 9);
    expect(courses[22]!.lows![0]!.temperatureC).toBeCloseTo(-4, 9);
  });

  it('are unknown where the single forecast is, and where they would be no weather', () => {
    const cold = forecastOf(parsed(details((d) => (d['air_temperature_percentile_10'] = -89)))).members[1]!;
    expect(cold.temperatureC.every(Number.isNaN)).toBe(true);
    const hole = forecastOf(parsed(details((d) => (d['air_temperature'] = null), 10))).members[13]!;
    expect(hole.temperatureC[10]).toBeNaN();
  });
});

describe('MET-5: percentiles that', () => {
  it('are missing altogether are no fault', () => {
    const answer = parsed(
      details((d) => {
        delete d['air_temperature_percentile_10'];
        delete d['air_temperature_percentile_90'];
      }),
    );
    expect(forecastOf(answer).members).toHaveLength(1);
    expect(answer).not.toHaveProperty('remarks');
  });

  it.each<[string, BodyOptions['edit']]>([
    ['have a hole', details((d) => delete d['air_temperature_percentile_10'], 20)],
    ['are upside down', details((d) => (d['air_temperature_percentile_10'] = 30), 20)],
    ['are of one kind', details((d) => (d['air_temperature_percentile_90'] = null))],
    [
      'end within three days',
      ({ properties }) => {
        for (const { data } of properties.timeseries.slice(66))
          delete data.instant.details!['air_temperature_percentile_10'];
      },
    ],
  ])('%s are left out and said, and the forecast stands', (_, edit) => {
    const answer = parsed(edit);
    expect(forecastOf(answer).members).toHaveLength(1);
    expect(answer.ok && answer.remarks).toEqual([LEFT_OUT]);
  });

  it('end after three days are unknown from there on', () => {
    const answer = parsed(({ properties }) => {
      for (const { data } of properties.timeseries.slice(80))
        delete data.instant.details!['air_temperature_percentile_90'];
    });
    const [single, ...courses] = forecastOf(answer).members;
    // Entry 79 is 64 + 6·15 hours on.
    expect(courses[0]!.temperatureC[154]).not.toBeNaN();
    expect(courses[0]!.temperatureC[160]).toBeNaN();
    expect(single!.temperatureC[160]).toBe(-5);
  });
});
