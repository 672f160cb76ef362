import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { parseGrid } from '../../src/forecast/nws/grid-parse.ts';
import { comparison, parseHourly } from '../../src/forecast/nws/hourly-parse.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { itWithShared, sharedPath } from '../shared-data.ts';
import { seconds } from '../support/instants.ts';
import { FARM, gridBody, hourlyBody, hourlyWith, NOW, period } from './nws-bodies.ts';

function forecastOf(body: unknown): Forecast {
  const answer = parseGrid(body, { source: 'nws', point: FARM, fetchedAt: NOW, now: NOW });
  if (!answer.ok) throw answer.error;
  return answer.forecast;
}

function compared(hourly: unknown, grid: unknown = gridBody(), now = NOW): string | null {
  return comparison(forecastOf(grid), parseHourly(hourly)!, now);
}

function first(change: Record<string, unknown>): number | undefined {
  return parseHourly(hourlyWith([period('2026-01-15T12:00:00-06:00', change)]))?.get(
    seconds('2026-01-15T18:00:00Z'),
  );
}

describe('the recorded hourly forecasts', () => {
  itWithShared('in SI units give the values that stand in it', () => {
    const hours = parseHourly(recording('weathergov_hourly.json'))!;
    expect(hours.size).toBe(156);
    // 16:00 −05:00 and 03:00 −05:00.
    expect(hours.get(seconds('2026-02-06T21:00:00Z'))).toBe(1);
    expect(hours.get(seconds('2026-02-13T08:00:00Z'))).toBe(-2);
  });

  itWithShared('in US units give the values that stand in it', () => {
    const hours = parseHourly(recording('gridpoint-hourly-winter.json'))!;
    // 156 periods, of which the first two begin at the same hour: the later, 20 °F, is (20 − 32)·5/9.
    expect(hours.size).toBe(155);
    expect(hours.get(seconds('2026-01-15T18:00:00Z'))).toBeCloseTo(-6.6667, 4);
    // 31 °F at 22:00 −06:00.
    expect(hours.get(seconds('2026-01-22T04:00:00Z'))).toBeCloseTo(-0.5556, 4);
  });

  itWithShared(
    'NWS-13: and the grid beside it, whose dates were shifted apart by an hour, are told apart',
    () => {
      // The README of the recordings: "dates shifted, values untouched". Read an hour earlier they agree to the bit.
      const text = compared(
        recording('gridpoint-hourly-winter.json'),
        recording('gridpoint-raw-winter.json'),
      );
      expect(text).toBe(
        'Its hourly forecast differs from its grid by 0.6 K in the median of 155 hours, as if its times were 1 h too late: one of the two has a mistake in its times. The grid is used.',
      );
    },
  );

  itWithShared('are not read out of the forecast in words, whose periods are half days', () => {
    const hours = parseHourly(recording('weathergov_forecast.json'))!;
    expect(hours.size).toBe(14);
  });
});

describe('NWS-8: a period’s temperature', () => {
  it('is a whole number in °F or °C', () => {
    expect(first({ temperature: 32, temperatureUnit: 'F' })).toBe(0);
    expect(first({ temperature: 14, temperatureUnit: 'F' })).toBe(-10);
    expect(first({ temperature: -4, temperatureUnit: 'C' })).toBe(-4);
  });

  it('or a quantity, which names its unit itself', () => {
    const quantity = (value: number | null, unitCode: string): number | undefined =>
      first({ temperature: { unitCode, value }, temperatureUnit: 'F' });
    expect(quantity(-4, 'wmoUnit:degC')).toBe(-4);
    expect(quantity(14, 'unit:degF')).toBe(-10);
    expect(quantity(null, 'wmoUnit:degC')).toBeUndefined();
    expect(quantity(3, 'wmoUnit:percent')).toBeUndefined();
  });

  it('is unknown as text, without a unit, in another one, and where it cannot be', () => {
    expect(first({ temperature: '20' })).toBeUndefined();
    expect(first({ temperature: null })).toBeUndefined();
    expect(first({ temperatureUnit: undefined })).toBeUndefined();
    expect(first({ temperatureUnit: 'R' })).toBeUndefined();
    expect(first({ temperature: 2000 })).toBeUndefined();
  });

  it.each([null, '', 'rising', undefined])('does not depend on its trend %s', (temperatureTrend) => {
    expect(first({ temperatureTrend })).toBeCloseTo(-6.6667, 4);
  });

  it('is placed by the offset of its own time, on both sides of a change of clocks', () => {
    // New York leaves daylight saving time on 1 November 2026: 01:00 occurs with both offsets.
    const hours = parseHourly(
      hourlyWith([period('2026-11-01T01:00:00-04:00'), period('2026-11-01T01:00:00-05:00')]),
    );
    expect([...hours!.keys()]).toEqual([seconds('2026-11-01T05:00:00Z'), seconds('2026-11-01T06:00:00Z')]);
    expect(parseHourly(hourlyWith([period('2026-11-01T01:00:00')]))!.size).toBe(0);
  });
});

describe('NWS-13: the hourly forecast beside the grid', () => {
  it('agrees when only its whole degrees differ', () => {
    expect(compared(hourlyBody())).toBeNull();
    expect(compared(hourlyBody(0, 0.4))).toBeNull();
  });

  it('that is off by more than 2 K is said to be', () => {
    expect(compared(hourlyBody(0, -2))).toBeNull();
    expect(compared(hourlyBody(0, -3))).toBe(
      'Its hourly forecast differs from its grid by 3.0 K in the median of 156 hours. The grid is used.',
    );
  });

  it('that is off by the offset of the zone is said to be', () => {
    expect(compared(hourlyBody(-6))).toContain('as if its times were 6 h too early');
    expect(compared(hourlyBody(5))).toContain('as if its times were 5 h too late');
  });

  it('NWS-11: may be shorter and begin in the past', () => {
    const periods = (hourlyBody(0, -3) as { properties: { periods: Record<string, unknown>[] } }).properties
      .periods;
    expect(compared(hourlyWith(periods.slice(0, 96)))).toContain('in the median of 96 hours');
    expect(compared(hourlyWith(periods.slice(0, 96)), gridBody(), NOW + 6 * 3600)).toContain('of 90 hours');
  });

  it('NWS-11: without periods cannot be compared', () => {
    const text = 'Its hourly forecast has too few hours in common with its grid for the two to be compared.';
    expect(compared(hourlyWith([]))).toBe(text);
    expect(compared(hourlyBody(), gridBody(), NOW + 150 * 3600)).toBe(text);
    expect(parseHourly({ properties: {} })).toBeNull();
  });
});

function recording(name: string): unknown {
  return JSON.parse(readFileSync(sharedPath(`recordings/nws/${name}`), 'utf8'));
}
