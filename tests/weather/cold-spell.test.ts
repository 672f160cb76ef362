/** Statistics of cold, against examples worked by hand on straight lines between hourly values. */
import { describe, expect, it } from 'vitest';
import {
  coldSpells,
  coldStatistics,
  sampleCounts,
  seriesFrom,
  stretchesAtOrBelow,
  type ZoneSeries,
} from '../../src/weather/cold-spell.ts';

const HOUR = 3600;

/** At or below −4 °C. */
function longestHours(series: ZoneSeries): number {
  return coldStatistics(series).longestHoursAtOrBelowMinus4C;
}

function hourly(values: readonly number[], from = 0): ZoneSeries {
  return seriesFrom(0, values, from);
}

describe('degree-hours', () => {
  it('are the area below zero: a triangle from +2 to −2 and back', () => {
    // Below zero from 0.5 h to 1.5 h, two triangles of 0.5 h by 2 K.
    expect(coldStatistics(hourly([2, -2, 2])).degreeHours).toBeCloseTo(1, 12);
  });

  it('are a rectangle at constant cold, a trapezium between two colds', () => {
    expect(coldStatistics(hourly([-3, -3, -3])).degreeHours).toBeCloseTo(6, 12);
    expect(coldStatistics(hourly([-2, -4])).degreeHours).toBeCloseTo(3, 12);
    expect(coldStatistics(hourly([4, 4, 0, 0])).degreeHours).toBe(0);
  });

  it('count from the present minute on', () => {
    // At 00:30 the line from 0 to −4 stands at −2: a trapezium of half an hour.
    expect(coldStatistics(hourly([0, -4], HOUR / 2)).degreeHours).toBeCloseTo(1.5, 12);
  });
});

describe('lows', () => {
  it('are the lowest value and its first instant', () => {
    const { minimumC, minimumAt } = coldStatistics(hourly([1, -3, 0, -3, 2]));
    expect([minimumC, minimumAt]).toEqual([-3, HOUR]);
  });

  it('may be the present instant itself', () => {
    const { minimumC, minimumAt } = coldStatistics(hourly([-6, 2, 3], HOUR / 4));
    expect([minimumC, minimumAt]).toEqual([-4, HOUR / 4]);
  });
});

describe('time at or below a temperature', () => {
  it('runs from crossing to crossing', () => {
    // From 0 to −8 within an hour: −4 is passed half way; from −8 to −2 it is passed after two thirds.
    expect(stretchesAtOrBelow(hourly([0, -8, -2]), -4)).toEqual([
      { start: 0.5 * HOUR, end: HOUR + (2 / 3) * HOUR },
    ]);
    expect(longestHours(hourly([0, -8, -2]))).toBeCloseTo(0.5 + 2 / 3, 12);
  });

  it('counts a value that stands exactly there', () => {
    expect(longestHours(hourly([-4, -4, -4]))).toBe(2);
    expect(stretchesAtOrBelow(hourly([0, -4, 0]), -4)).toEqual([{ start: HOUR, end: HOUR }]);
  });

  it('takes the longest of several', () => {
    expect(longestHours(hourly([0, -8, 0, 0, -8, -8, 0]))).toBeCloseTo(2, 12);
  });
});

describe('spells', () => {
  it('run from zero to zero, each with its own cold', () => {
    const spells = coldSpells(hourly([1, -1, 1, 1, -3, -3, 3]));
    expect(spells).toMatchObject([
      { start: 0.5 * HOUR, end: 1.5 * HOUR, minimumC: -1 },
      { start: 3.25 * HOUR, end: 5.5 * HOUR, minimumC: -3 },
    ]);
    // Triangles of 0.5 h by 1 K; then 0.75 by 3, one hour of 3 K, 0.5 by 3.
    expect(spells[0]?.degreeHours).toBeCloseTo(0.5, 12);
    expect(spells[1]?.degreeHours).toBeCloseTo(1.125 + 3 + 0.75, 12);
  });

  it('end with the series where the cold does not', () => {
    expect(coldSpells(hourly([1, -1, -1]))).toMatchObject([{ start: 0.5 * HOUR, end: 2 * HOUR }]);
  });

  it('are none where zero is only touched', () => {
    expect(coldSpells(hourly([2, 0, 0, 2]))).toEqual([]);
  });
});

describe('counts of hourly values', () => {
  it('take zero as not below it and −4 as at it, from the present hour on', () => {
    const values = [-9, 0, -0.1, -4, -3.9, -4.1, -5, 1];
    expect(sampleCounts(0, values, 0)).toEqual({ below0: 6, atOrBelowMinus4: 4, longestAtOrBelowMinus4: 2 });
    expect(sampleCounts(0, values, 1)).toMatchObject({ below0: 5, atOrBelowMinus4: 3 });
    expect(sampleCounts(0, values, HOUR)).toMatchObject({ below0: 5 });
  });
});
