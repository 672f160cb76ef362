/** Errors and spreads of lead days, against sums done by hand and against laws that the test draws from. */
import { describe, expect, it } from 'vitest';
import { keptForecasts } from '../../src/verify/keep.ts';
import { scoredHours } from '../../src/verify/scored-hour.ts';
import { spreadRecords } from '../../src/verify/spread.ts';
import { sourced } from '../support/sourced.ts';
import { seconds } from '../support/instants.ts';
import { keptLaw, normal } from '../support/kept.ts';
import { Random } from '../support/random.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const START = seconds('2026-12-01T00:00:00Z');

describe('hours that are scored', () => {
  const kept = keptLaw({ validDay: START, leadDay: 0, meanC: (hour) => hour, deviationK: 1 });
  const readings = Array.from({ length: 24 }, (_, hour) => ({
    at: START + hour * HOUR + 600,
    temperatureC: 1,
  }));

  it('are those still to come when it was kept, and that were measured', () => {
    const late = { ...kept, keptAt: START + 20 * HOUR };
    const found = scoredHours([late], readings.slice(0, 23));
    expect(found.map(({ hour, errorK }) => [hour, errorK])).toEqual([
      [21, 20],
      [22, 21],
    ]);
  });

  it('are not those of which the forecast knows nothing, nor those measured more than half an hour off', () => {
    const holed = { ...kept, meanC: kept.meanC.map((t, hour) => (hour === 5 ? NaN : t)) };
    const found = scoredHours([holed], [readings[5]!, { at: START + 7.6 * HOUR, temperatureC: 0 }]);
    expect(found.map(({ hour }) => hour)).toEqual([8]);
  });

  it('count once where a day was kept twice at the same lead: as it was first', () => {
    const again = { ...kept, keptAt: START + HOUR, meanC: kept.meanC.map((t) => t + 100) };
    const found = scoredHours([again, kept], readings);
    expect(found).toHaveLength(23);
    expect(Math.max(...found.map(({ errorK }) => errorK))).toBe(22);
  });
});

describe('spread', () => {
  it('of errors 1, 2 and 6 K at one hour: about their mean 3, √((4 + 1 + 9)/2)', () => {
    const kept = [1, 2, 6].map((errorK, day) =>
      keptLaw({ validDay: START + day * DAY, leadDay: 2, meanC: () => errorK, deviationK: day + 1 }),
    );
    const readings = [0, 1, 2].map((day) => ({ at: START + day * DAY + 7 * HOUR, temperatureC: 0 }));
    const [record, ...more] = spreadRecords(kept, readings);
    expect(more).toEqual([]);
    expect(record).toMatchObject({ leadDay: 2, days: 3 });
    expect(record!.errorK).toBeCloseTo(Math.sqrt(7), 12);
    expect(record!.memberK).toBeCloseTo(Math.sqrt((1 + 4 + 9) / 3), 12);
  });

  it('is not there after a single day', () => {
    const kept = [keptLaw({ validDay: START, leadDay: 1, meanC: () => 3, deviationK: 1 })];
    expect(spreadRecords(kept, [{ at: START + HOUR, temperatureC: 0 }])).toEqual([]);
  });

  it('takes off a bias that is another at each hour, lead by lead', () => {
    const random = new Random(3);
    const days = 400;
    const readings = Array.from({ length: days * 24 }, (_, i) => ({ at: START + i * HOUR, temperatureC: 0 }));
    const kept = Array.from({ length: days }, (_, day) => day).flatMap((day) =>
      [1, 4].map((leadDay) =>
        keptLaw({
          validDay: START + day * DAY,
          leadDay,
          meanC: (hour) => hour / 4 - 2 + leadDay * normal(random),
          deviationK: 1.5,
        }),
      ),
    );
    const records = spreadRecords(kept, readings);
    // 9,600 draws a lead tell a deviation to 0.7 %.
    expect(records.map(({ leadDay }) => leadDay)).toEqual([1, 4]);
    for (const { errorK, leadDay } of records) expect(Math.abs(errorK / leadDay - 1)).toBeLessThan(0.02);
    expect(records.map(({ days: n, memberK }) => [n, Math.round(memberK * 1e9) / 1e9])).toEqual([
      [days, 1.5],
      [days, 1.5],
    ]);
  });

  it('is even with the error where few members and the truth are drawn from one law', () => {
    const random = new Random(9);
    const days = 2000;
    const law = (): number => 2 * normal(random);
    const readings = Array.from({ length: days }, (_, day) => ({
      at: START + day * DAY + 6 * HOUR,
      temperatureC: law(),
    }));
    const kept = Array.from({ length: days }, (_, day) => {
      const validDay = START + day * DAY;
      const members = Array.from({ length: 5 }, () => ({
        weight: 1 / 5,
        temperatureC: new Float64Array(24).fill(law()),
        windSpeedMps: new Float64Array(24),
        groundC: new Float64Array(24),
      }));
      const outlook = {
        source: 'meteo',
        attribution: null,
        issuedAt: null,
        fetchedAt: validDay,
        version: '1',
        firstHour: validDay,
        endsAtHole: false,
        hours: 24,
        members,
        middle: 0,
        resolution: 0.2,
        assumptions: [],
      };
      return keptForecasts(sourced(outlook), { place: 'creek', keptAt: validDay });
    }).flat();
    const [record] = spreadRecords(kept, readings);
    // Of five members the mean is off by 2·√(6/5) = 2.19; without the factor they would claim 2·√(4/5) = 1.79.
    expect(Math.abs(record!.errorK - 2 * Math.sqrt(6 / 5))).toBeLessThan(0.1);
    expect(Math.abs(record!.memberK / record!.errorK - 1)).toBeLessThan(0.04);
  });
});
