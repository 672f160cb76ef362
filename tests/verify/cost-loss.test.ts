/**
 * Warnings against counts done by hand; the value against `check-values.md`, Forecasts (Richardson 2000, found; the
 * two values derived there).
 */
import { describe, expect, it } from 'vitest';
import { contingency, relativeValue } from '../../src/verify/cost-loss.ts';

const RATES = { hitRate: 0.8, falseAlarmRate: 0.15, baseRate: 0.2 };

describe('counts of warnings', () => {
  it('tell hits, misses, false alarms and correct rejections apart', () => {
    const cases = [
      ...Array.from({ length: 4 }, () => ({ warned: true, happened: true })),
      { warned: false, happened: true },
      ...Array.from({ length: 3 }, () => ({ warned: true, happened: false })),
      ...Array.from({ length: 12 }, () => ({ warned: false, happened: false })),
    ];
    expect(contingency(cases)).toEqual({
      hits: 4,
      misses: 1,
      falseAlarms: 3,
      correctRejections: 12,
      hitRate: 4 / 5,
      falseAlarmRate: 3 / 15,
      baseRate: 5 / 20,
    });
  });

  it('have no rate where there is nothing to count', () => {
    expect(contingency([{ warned: false, happened: false }]).hitRate).toBeNull();
    expect(contingency([{ warned: true, happened: true }]).falseAlarmRate).toBeNull();
    expect(contingency([]).baseRate).toBeNull();
  });
});

describe('relative value', () => {
  it.each([
    [0.2, 0.65],
    [0.1, 0.4],
  ])('at cost/loss %d is %d', (costLoss, value) => {
    expect(relativeValue({ ...RATES, costLoss })).toBeCloseTo(value, 12);
  });

  it('peaks at the base rate, where it is hit rate − false alarm rate', () => {
    const values = Array.from({ length: 99 }, (_, i) =>
      relativeValue({ ...RATES, costLoss: (i + 1) / 100 })!,
    );
    expect(values.indexOf(Math.max(...values)) + 1).toBe(20);
    expect(Math.max(...values)).toBeCloseTo(RATES.hitRate - RATES.falseAlarmRate, 12);
  });

  it('is 1 for perfect warnings, 0 for always or never warning at best, below 0 for warnings turned round', () => {
    const perfect = { hitRate: 1, falseAlarmRate: 0, baseRate: 0.3, costLoss: 0.1 };
    expect(relativeValue(perfect)).toBeCloseTo(1, 12);
    expect(relativeValue({ ...perfect, falseAlarmRate: 1 })).toBeCloseTo(0, 12);
    expect(relativeValue({ ...perfect, costLoss: 0.5, hitRate: 0 })).toBeCloseTo(0, 12);
    expect(relativeValue({ ...perfect, hitRate: 0, falseAlarmRate: 1 })).toBeLessThan(0);
  });

  it('is not there where nothing happens, or always', () => {
    expect(relativeValue({ ...RATES, baseRate: 0, costLoss: 0.1 })).toBeNull();
    expect(relativeValue({ ...RATES, baseRate: 1, costLoss: 0.1 })).toBeNull();
  });
});
