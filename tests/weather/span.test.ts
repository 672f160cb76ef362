/** The usable stretch of a forecast: gaps, lost members, and where it begins and ends. */
import { describe, expect, it } from 'vitest';
import { SourceError } from '../../src/errors.ts';
import type { Forecast } from '../../src/weather/forecast.ts';
import { fillGaps, usableSpan, type Span } from '../../src/weather/span.ts';

const HOUR = 3600;
const NAN = Number.NaN;

function forecast(members: readonly (readonly number[])[], over: Partial<Forecast> = {}): Forecast {
  return {
    source: 'series',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    firstHour: 0,
    whole: false,
    members: members.map((temperatureC) => ({
      weight: 1,
      temperatureC,
      windSpeedMps: null,
      cloudPercent: null,
      soilTemperatureC: null,
    })),
    ...over,
  };
}

function hours(count: number, over: Readonly<Record<number, number>> = {}): number[] {
  return Array.from({ length: count }, (_, i) => over[i] ?? i);
}

function span(of: Forecast, nowHour: number, horizonHours = 384): Span {
  return usableSpan({ forecast: of, now: nowHour * HOUR, horizonHours });
}

function bounds(of: Span): [number, number] {
  return [of.firstHour / HOUR, of.firstHour / HOUR + of.hours - 1];
}

describe('a gap', () => {
  it('of one or two hours is filled by a straight line', () => {
    expect(fillGaps([1, NAN, 3, NAN, NAN, 9])).toEqual({ values: [1, 2, 3, 5, 7, 9], filled: 3 });
  });

  it('of three hours, at the start or at the end stays unknown', () => {
    expect(fillGaps([1, NAN, NAN, NAN, 5]).values).toEqual([1, NAN, NAN, NAN, 5]);
    expect(fillGaps([NAN, 2, NAN]).values).toEqual([NAN, 2, NAN]);
  });

  it('that is filled is said', () => {
    const filled = span(forecast([hours(100, { 50: NAN })]), 72);
    expect(bounds(filled)).toEqual([0, 99]);
    expect(filled.members[0]?.temperatureC[50]).toBe(50);
    expect(filled.assumptions).toHaveLength(1);
    expect(span(forecast([hours(100)]), 72).assumptions).toEqual([]);
    expect(span(forecast([hours(100)]), 71).assumptions.join()).toContain('Less than 72 h of the past');
  });

  it('of three hours ahead ends the forecast there', () => {
    expect(bounds(span(forecast([hours(100, { 60: NAN, 61: NAN, 62: NAN })]), 40))).toEqual([0, 59]);
  });

  it('of three hours in the past moves the start behind it', () => {
    expect(bounds(span(forecast([hours(100, { 20: NAN, 21: NAN, 22: NAN })]), 40))).toEqual([23, 99]);
  });

  it('in one member is a gap in all', () => {
    const two = forecast([hours(100), hours(100, { 60: NAN, 61: NAN, 62: NAN })]);
    expect(bounds(span(two, 40))).toEqual([0, 59]);
  });
});

describe('the ends', () => {
  it('are 72 hours before now and the horizon', () => {
    expect(bounds(span(forecast([hours(500)]), 200, 100))).toEqual([128, 300]);
  });

  it('of a whole series are its own', () => {
    expect(bounds(span(forecast([hours(700)], { whole: true }), 200, 100))).toEqual([128, 699]);
  });

  it('come sooner with unknown hours at the end', () => {
    const trailing = hours(100, { 97: NAN, 98: NAN, 99: NAN });
    expect(bounds(span(forecast([trailing]), 40))).toEqual([0, 96]);
  });

  it('hold a present between two hours', () => {
    expect(bounds(span(forecast([hours(200)]), 100.5, 24))).toEqual([28, 124]);
  });
});

describe('a member without any temperature', () => {
  it('is left out, and that is said', () => {
    const some = span(forecast([hours(50), hours(50).map(() => NAN)]), 10);
    expect(some.members).toHaveLength(1);
    expect(some.assumptions.join()).toMatch(/1 of 2 members/);
  });
});

describe('no usable forecast', () => {
  function codeOf(of: Forecast, nowHour: number): string {
    try {
      span(of, nowHour);
    } catch (error) {
      if (error instanceof SourceError) return error.code;
      throw error;
    }
    return 'usable';
  }

  it('is one without a number', () => {
    expect(codeOf(forecast([hours(50).map(() => NAN)]), 10)).toBe('forecast-empty');
  });

  it('is one whose last hour has passed, also within its last hour', () => {
    expect(codeOf(forecast([hours(50)]), 60)).toBe('forecast-stale');
    expect(codeOf(forecast([hours(50)]), 49)).toBe('forecast-stale');
    expect(codeOf(forecast([hours(50)]), 48.9)).toBe('usable');
  });

  it('is one that does not know the present hour', () => {
    expect(codeOf(forecast([hours(50, { 20: NAN, 21: NAN, 22: NAN, 23: NAN })]), 20)).toBe('forecast-empty');
  });

  it('is one that begins days after now', () => {
    expect(codeOf(forecast([hours(50)]), -30)).toBe('forecast-empty');
  });
});
