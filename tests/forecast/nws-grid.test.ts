import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { SourceError } from '../../src/errors.ts';
import { parseGrid } from '../../src/forecast/nws/grid-parse.ts';
import type { SourceAnswer } from '../../src/forecast/source.ts';
import { nightOf } from '../../src/weather/local-correction.ts';
import { hourlyOf } from '../../src/weather/steps.ts';
import { sharedPath, itWithShared } from '../shared-data.ts';
import { iso, seconds } from '../support/instants.ts';
import { cellAt, FARM, gridBody, hourly, layer, NOW, type Values } from './nws-bodies.ts';

type Good = Extract<SourceAnswer, { ok: true }>;

function parse(body: unknown, now = NOW): SourceAnswer {
  return parseGrid(body, { source: 'nws', point: FARM, fetchedAt: now, now });
}

function good(body: unknown, now = NOW): Good {
  const answer = parse(body, now);
  if (!answer.ok) throw answer.error;
  return answer;
}

function refused(body: unknown, now = NOW): SourceError {
  const answer = parse(body, now);
  if (answer.ok) throw new Error('An error was expected, not a forecast.');
  return answer.error;
}

/** Temperatures from 18:00 UTC on, in the hour of now, of a body with these values. */
function temperatures(values: Values, uom?: string): readonly number[] {
  const { forecast } = good(gridBody({ temperature: layer(values, uom), minTemperature: { values: [] } }));
  return forecast.members[0]!.temperatureC.slice(
    (seconds('2026-01-15T18:00:00Z') - forecast.firstHour) / 3600,
  );
}

describe('the recorded grid', () => {
  itWithShared('gives the values that stand in it', () => {
    const { forecast, remarks } = good(
      recording('gridpoint-raw-winter.json'),
      seconds('2026-01-15T17:50:00Z'),
    );
    const [member] = forecast.members;
    // First interval 11:00, last 13:00 for one hour on the 22nd: 7 days and 3 hours are 171 values.
    expect(forecast.firstHour).toBe(seconds('2026-01-15T11:00:00Z'));
    expect(member!.temperatureC).toHaveLength(171);
    const at = (time: string): number => member!.temperatureC[(seconds(time) - forecast.firstHour) / 3600]!;
    // 25 °F: (25 − 32)·5/9.
    expect(at('2026-01-15T11:00:00Z')).toBeCloseTo(-3.8889, 4);
    // 16:00/PT2H is 19 °F, 17:00/PT1H is 20 °F: the colder one, (19 − 32)·5/9.
    expect(at('2026-01-15T17:00:00Z')).toBeCloseTo(-7.2222, 4);
    // 32 °F, and exactly so.
    expect(at('2026-01-16T13:00:00Z')).toBe(0);
    // 00:00/PT3H is 13 °F: (13 − 32)·5/9, in each of its hours; then 14 °F.
    expect(at('2026-01-18T00:00:00Z')).toBeCloseTo(-10.5556, 4);
    expect(at('2026-01-18T02:00:00Z')).toBeCloseTo(-10.5556, 4);
    expect(at('2026-01-18T03:00:00Z')).toBe(-10);
    // 33 °F: 5/9.
    expect(at('2026-01-22T13:00:00Z')).toBeCloseTo(0.5556, 4);
    expect(forecast.issuedAt).toBe(seconds('2026-01-15T17:37:00Z'));
    expect(forecast.gridElevationM).toBe(367.8936);
    expect(remarks).toEqual(['It has two temperatures for 1 hour; the colder one is taken.']);
  });

  itWithShared('gives wind, cloud and the nights’ lows', () => {
    const { forecast } = good(recording('gridpoint-raw-winter.json'), seconds('2026-01-15T17:50:00Z'));
    const { windSpeedMps, cloudPercent, lows, soilTemperatureC } = forecast.members[0]!;
    // 16.668 km/h are 9 kn: 9·1852/3600 m/s.
    expect(windSpeedMps![0]).toBeCloseTo(4.63, 6);
    // 17:00 has 5.556 (from 16:00/PT2H) and 3.704 km/h: the stronger, 3 kn.
    expect(windSpeedMps![6]).toBeCloseTo((3 * 1852) / 3600, 6);
    // 17:00 has 58 and 53 %: the clearer.
    expect(cloudPercent!.slice(0, 8)).toEqual([54, 76, 89, 49, 52, 55, 53, 48]);
    expect(soilTemperatureC).toBeNull();
    // Eight intervals of 14 h; the last begins when the hours end. 15:00 is index 4, the last hour within 04:00, index 17.
    expect(lows).toHaveLength(7);
    expect(lows![0]).toEqual({ from: 4, to: 17, temperatureC: -8.88888888888889 });
    // 14:00 on the 17th is index 51; 12 °F: (12 − 32)·5/9.
    expect(lows![2]).toEqual({ from: 51, to: 64, temperatureC: -11.11111111111111 });
  });
});

describe('NWS-7: raw layers', () => {
  it('are spread over every hour of their intervals, also of those that began before now', () => {
    const values: Values = [
      ['2026-01-15T12:00:00+00:00/PT8H', -1],
      ['2026-01-15T20:00:00+00:00/P1DT18H', -5],
      ['2026-01-17T14:00:00+00:00/PT72H', -2],
      ['2026-01-20T14:00:00+00:00/P7DT20H', 3],
    ];
    const found = temperatures(values);
    expect(found).toEqual([-1, -1, ...many(42, -5), ...many(72, -2), ...many(188, 3)]);
  });

  it('leave hours unknown that no interval covers, and those that are null', () => {
    const values: Values = [
      ['2026-01-15T18:00:00+00:00/PT2H', -1],
      ['2026-01-15T21:00:00+00:00/PT1H', null],
      ['2026-01-15T22:00:00+00:00/PT2H', -3],
    ];
    expect(temperatures(values)).toEqual([-1, -1, NaN, NaN, -3, -3]);
  });

  it('take the colder of two values for an hour, and the known one beside null', () => {
    const values: Values = [
      ['2026-01-15T18:00:00+00:00/PT3H', -1],
      ['2026-01-15T19:00:00+00:00/PT2H', -4],
      ['2026-01-15T20:00:00+00:00/PT2H', null],
    ];
    expect(temperatures(values)).toEqual([-1, -4, -4, NaN]);
  });

  it('without values give no wind and no cloud, and absent ones neither', () => {
    const { forecast } = good(
      gridBody({ windSpeed: { values: [] }, skyCover: undefined, minTemperature: undefined }),
    );
    expect(forecast.members[0]).toMatchObject({ windSpeedMps: null, cloudPercent: null, lows: [] });
  });

  it('of temperature that are empty are no forecast', () => {
    expect(refused(gridBody({ temperature: { values: [] } })).code).toBe('forecast-empty');
    expect(refused(gridBody({ temperature: undefined })).code).toBe('source-body');
    const nulls = hourly('2026-01-15T11:00:00Z', 100, () => null);
    expect(refused(gridBody({ temperature: layer(nulls) })).code).toBe('forecast-empty');
  });

  it('with intervals that cannot be read keep the others and say so', () => {
    const values: Values = [...hourly('2026-01-15T18:00:00Z', 3, () => -1), ['tomorrow', 5]];
    expect(good(gridBody({ temperature: layer(values) })).remarks).toContainEqual(
      '1 stretch of hours could not be read and count as unknown.',
    );
    expect(refused(gridBody({ temperature: layer([['tomorrow', 5]]) })).code).toBe('source-body');
    expect(refused(gridBody({ temperature: layer([['2026-01-15T18:00:00Z/P9000D', 5]]) })).code).toBe(
      'source-body',
    );
  });

  it('of lows end with the hours: a night that is not wholly known has none', () => {
    const lows = layer([
      ['2026-01-15T09:00:00+00:00/PT10H', -2],
      ['2026-01-16T15:00:00+00:00/PT14H', null],
      ['2026-01-22T14:00:00+00:00/PT14H', -6],
    ]);
    const { forecast } = good(gridBody({ minTemperature: lows }));
    // 09:00 to 18:00: what lies before the first hour, 11:00, is cut off; 18:00 is index 7.
    expect(forecast.members[0]!.lows).toEqual([{ from: 0, to: 7, temperatureC: -2 }]);
  });
});

describe('X-4: units of the grid', () => {
  const values = hourly('2026-01-15T18:00:00Z', 3, () => 23);

  it('are read with the old and the new prefix, in °F too', () => {
    expect(temperatures(values, 'unit:degC')).toEqual([23, 23, 23]);
    expect(temperatures(values, 'wmoUnit:degF')).toEqual([-5, -5, -5]);
    expect(
      temperatures(
        hourly('2026-01-15T18:00:00Z', 2, () => 32),
        'wmoUnit:degF',
      ),
    ).toEqual([0, 0]);
  });

  it('that are none of temperature are refused', () => {
    const error = refused(gridBody({ temperature: layer(values, 'wmoUnit:percent') }));
    expect(error).toMatchObject({ code: 'source-units', retryable: false });
    expect(error.message).toContain('"wmoUnit:percent" instead of degC for the place "farm"');
    const { uom: _, ...bare } = layer(values);
    expect(refused(gridBody({ temperature: bare })).code).toBe('source-units');
  });

  it('that are none of wind leave the wind out, and it is said', () => {
    const { forecast, remarks } = good(gridBody({ windSpeed: layer(values, 'wmoUnit:degC') }));
    expect(forecast.members[0]!.windSpeedMps).toBeNull();
    expect(remarks).toEqual(['Its windSpeed is in an unknown shape or unit and is left out.']);
  });

  it('of height that are not metres leave the height unsaid', () => {
    const height = (elevation: unknown): number | undefined =>
      good(gridBody({ elevation })).forecast.gridElevationM;
    expect(height({ unitCode: 'unit:m', value: 12 })).toBe(12);
    expect(height({ unitCode: 'wmoUnit:km', value: 12 })).toBeUndefined();
    expect(height({ unitCode: 'wmoUnit:m', value: null })).toBeUndefined();
    expect(height({ unitCode: 'wmoUnit:m', value: 9999 })).toBeUndefined();
    expect(height(undefined)).toBeUndefined();
  });
});

describe('NWS-14: values that cannot be', () => {
  it('are unknown, and it is said', () => {
    const values = [-90, -90.1, 60, 60.1, 2000].map(
      (value, i) => [`2026-01-15T${18 + i}:00:00+00:00/PT1H`, value] as const,
    );
    expect(temperatures(values)).toEqual([-90, NaN, 60, NaN, NaN]);
    expect(good(gridBody({ temperature: layer(values) })).remarks).toContainEqual(
      '3 temperatures that cannot be were taken as unknown.',
    );
  });

  it('throughout are no forecast', () => {
    const values = hourly('2026-01-15T11:00:00Z', 100, () => 3000);
    expect(refused(gridBody({ temperature: layer(values) })).code).toBe('forecast-empty');
  });
});

describe('times of the grid', () => {
  it('X-1: out of order and twice give the same hours', () => {
    const values = hourly('2026-01-15T18:00:00Z', 30, (hour) => -hour);
    expect(temperatures([...values, ...values].toReversed())).toEqual(temperatures(values));
  });

  it('X-2: that begin only tomorrow are refused', () => {
    const error = refused(gridBody({ temperature: layer(hourly('2026-01-16T18:00:00Z', 100, () => 1)) }));
    expect(error.code).toBe('forecast-stale');
    expect(error.message).toContain('begins only at 2026-01-16T18:00:00Z');
  });

  it('X-3: that are few give few hours, never more', () => {
    expect(temperatures(hourly('2026-01-15T18:00:00Z', 5, () => -1))).toEqual(many(5, -1));
  });

  it('NWS-3: that have all passed are refused', () => {
    const error = refused(gridBody({ temperature: layer(hourly('2026-01-12T18:00:00Z', 30, () => 1)) }));
    expect(error.code).toBe('forecast-stale');
    expect(error.message).toContain('ended at 2026-01-13T23:00:00Z');
  });

  it('NWS-3: without a time of issue cannot be told from old ones, and are refused', () => {
    const error = refused(gridBody({ updateTime: 'yesterday' }));
    expect(error).toMatchObject({ code: 'source-body', retryable: true });
    expect(error.message).toContain('does not say when its forecast was issued');
  });

  it('with NOW count from when the body came', () => {
    const { forecast } = good(gridBody({ temperature: layer([['NOW/PT6H', -1]]) }));
    // 18:20 to 00:20 holds 19:00 to 00:00.
    expect(forecast.firstHour).toBe(seconds('2026-01-15T19:00:00Z'));
    expect(forecast.members[0]!.temperatureC).toEqual(many(6, -1));
  });
});

describe('NWS-4: the cell', () => {
  // The recorded cell is 0.0294° wide and 0.0221° high.
  it.each([
    [0, 0],
    [0.02, 0],
    [0, -0.03],
    [0, 360],
  ])('%d° north and %d° east of its own is near enough', (north, east) => {
    expect(good(gridBody({}, cellAt(north, east))).remarks).toEqual([]);
  });

  it.each([
    [0.05, 0],
    [0, 0.06],
    [-1, 0],
    [0, 180],
  ])('%d° north and %d° east of its own is another place', (north, east) => {
    expect(refused(gridBody({}, cellAt(north, east)))).toMatchObject({
      code: 'source-missing-place',
      message: 'The source "nws" answered with a grid cell that lies elsewhere for the place "farm".',
    });
  });

  it('that does not say where it lies is used, and it is said', () => {
    expect(good(gridBody({}, null)).remarks).toEqual(['The answer does not say where its grid cell lies.']);
  });
});

function many(count: number, value: number): number[] {
  return new Array<number>(count).fill(value);
}

function recording(name: string): unknown {
  return JSON.parse(readFileSync(sharedPath(`recordings/nws/${name}`), 'utf8'));
}

describe('blocks of hours', () => {
  // In the shape of gridpoint-raw-winter.json; a sine with its lowest, 0 °C, at 9 UTC, midway between two steps of 6 h.
  const FROM = seconds('2026-01-15T18:00:00Z');
  const spot = { ...FARM, lie: 'bench', coldSpotK: 0 } as const;
  const truth = (hour: number): number => 8 - 8 * Math.cos((2 * Math.PI * (hour + 9)) / 24);
  const block = (hour: number, hours: number) =>
    [`${iso(FROM + hour * 3600)}/PT${hours}H`, truth(hour)] as const;

  function read(late: Values) {
    const values = [...hourly('2026-01-15T18:00:00Z', 78, truth), ...late];
    const body = gridBody({ temperature: layer(values), minTemperature: { values: [] } });
    return good(body, NOW).forecast.members[0]!;
  }

  for (const step of [3, 6]) {
    it(`of ${step} in a row, late, are steps, and nights between them are reached`, () => {
      const late = Array.from({ length: 72 / step }, (_, k) => block(78 + k * step, step));
      const member = read(late);
      const { temperatureC, stepHours } = member;
      expect(stepHours!.slice(77, 80)).toEqual([1, step, step]);
      expect(temperatureC.slice(78, 80)).toEqual([truth(78), NaN]);
      // The last block ends the series and keeps its last hour.
      expect(temperatureC.at(-1)).toBeCloseTo(truth(150 - step), 12);
      const { temperatureC: made } = hourlyOf(member, nightOf(spot, FROM, 150)).member;
      expect(made.some(Number.isNaN)).toBe(false);
      for (const noon of [72, 96]) {
        const low = Math.min(...made.slice(noon, noon + 24));
        expect(low).toBeLessThanOrEqual(1e-9);
        expect(low).toBeGreaterThan(-8 * (1 - Math.cos((Math.PI * step) / 24)) - 1e-9);
      }
    });
  }

  it('that stand alone, are of other lengths, or come soon, are equal hours', () => {
    for (const late of [
      [block(78, 3), ...hourly('2026-01-19T03:00:00Z', 3, () => 1), block(84, 3)],
      [block(78, 2), block(80, 2), block(82, 5), block(87, 12)],
    ])
      expect(read(late)).not.toHaveProperty('stepHours');
    const soon = Array.from({ length: 24 }, (_, k) => block(k * 3, 3));
    const body = gridBody({ temperature: layer(soon) });
    expect(good(body, NOW).forecast.members[0]).not.toHaveProperty('stepHours');
  });
});
