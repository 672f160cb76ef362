/**
 * How far members stand apart by what readings taught. Deviations are worked by hand from the rules in
 * src/weather/calibrate.ts (3 to 7 days, days/(days + 10), n/(n + 5), least 0.5 and 0.7: engineering estimates).
 */
import { describe, expect, it } from 'vitest';
import { errorDeviationK } from '../../src/weather/error-law.ts';
import type { LocalRecord, SpreadRecord } from '../../src/weather/local-record.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { LAW, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const DAY = 86_400;
const HOURS = 24 * 7 + 1;
/** Overcast: no night's bias. */
const FORECAST = madeForecast([
  {
    temperatureC: new Array<number>(HOURS).fill(3),
    cloudPercent: new Array<number>(HOURS).fill(100),
    windSpeedMps: new Array<number>(HOURS).fill(6),
  },
]);

function everyHour(biasK: number, readings: number, over: Partial<LocalRecord> = {}): LocalRecord {
  const hours = (value: number): number[] => new Array<number>(24).fill(value);
  return {
    biasK: hours(biasK),
    readings: hours(readings),
    weighed: hours(readings),
    lastReadingAt: MIDNIGHT,
    spread: [],
    ...over,
  };
}

function everyLead(errorK: number, days: number): SpreadRecord[] {
  return [0, 1, 2, 3, 4, 5, 6].map((leadDay) => ({ leadDay, days, errorK, memberK: 0 }));
}

/** Mean and deviation of the members so many days ahead; the one without an error counts for nothing in the latter. */
function law(record: LocalRecord | null, leadDay: number): { meanC: number; deviationK: number } {
  const { members } = outlookOf(requestFor(FORECAST, { record }));
  const values = members.map((m) => m.temperatureC[24 * leadDay]!);
  const meanC = values.reduce((sum, t) => sum + t, 0) / values.length;
  return {
    meanC,
    deviationK: Math.sqrt(values.reduce((sum, t) => sum + (t - meanC) ** 2, 0) / (values.length - 1)),
  };
}

const stated = (leadDay: number): number => errorDeviationK(LAW, leadDay * DAY);

describe('a spread that readings taught', () => {
  const aged = (days: number, over: Partial<LocalRecord> = {}): LocalRecord =>
    everyHour(0, 30, { spread: everyLead(0.5, 30), lastReadingAt: MIDNIGHT - days * DAY, ...over });

  it('fades to the stated law with the readings, from the third to the seventh day', () => {
    // Of six days ahead 0.5 K of 2.8, by 30 days: 1 − (1 − 0.5/2.8)·30/40 is below the least of 0.5.
    for (const [days, factor] of [
      [0, 0.5],
      [3, 0.5],
      [5, 0.75],
      [7, 1],
      [300, 1],
    ] as const)
      expect(law(aged(days), 6).deviationK / stated(6)).toBeCloseTo(factor, 9);
  });

  it('is at least 0.7 of the law on the first three days ahead, and at least half of it later', () => {
    const narrow = aged(0, { spread: everyLead(0.1, 300) });
    for (const [leadDay, factor] of [
      [1, 0.7],
      [2, 0.7],
      [3, 0.5],
      [4, 0.5],
    ] as const)
      expect(law(narrow, leadDay).deviationK / stated(leadDay)).toBeCloseTo(factor, 9);
    // The dangerous side alone: more is as it was.
    const wide = aged(0, { spread: everyLead(3 * stated(1), 10) });
    expect(law(wide, 1).deviationK / stated(1)).toBeCloseTo(2, 9);
  });

  it('holds what few readings leave of a bias, and nothing of a sensor that is too warm', () => {
    // Of 4 K with 5 readings 2 K remain: √(1.5² + 2²) = 2.5 K of errors.
    const few = everyHour(4, 5, { spread: everyLead(1.5, 1e9) });
    expect(law(few, 3).meanC).toBeCloseTo(1, 9);
    expect(law(few, 3).deviationK).toBeCloseTo(2.5, 6);
    const warm = everyHour(-4, 5, { spread: everyLead(1.5, 1e9) });
    expect(law(warm, 3).deviationK).toBeCloseTo(1.5, 6);
  });
});

describe('a bias that fades', () => {
  const aged = (biasK: number, days: number): LocalRecord =>
    everyHour(biasK, 15, { lastReadingAt: MIDNIGHT - days * DAY });

  it('widens the members by what is no longer taken off', () => {
    // 15 readings: three quarters of 4 K. After five days half of that.
    for (const [days, meanC, deviationK] of [
      [0, 0, 1.3],
      [5, 1.5, Math.hypot(1.3, 1.5)],
      [8, 3, Math.hypot(1.3, 3)],
    ] as const) {
      expect(law(aged(4, days), 1).meanC).toBeCloseTo(meanC, 9);
      expect(law(aged(4, days), 1).deviationK).toBeCloseTo(deviationK, 9);
    }
    const { assumptions } = outlookOf(requestFor(FORECAST, { record: aged(4, 8) }));
    expect(assumptions.join(' ')).toContain(
      'For what is no longer taken off, it may be off by up to 3 K (5.4 °F) more.',
    );
  });

  it('does not where it warmed: colder already', () => {
    expect(law(aged(-2, 8), 1).deviationK).toBeCloseTo(1.3, 9);
  });
});
