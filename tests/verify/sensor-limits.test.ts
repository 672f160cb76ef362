/** At the very limits of what makes a reading doubtful: those of the task, engineering estimates otherwise. */
import { describe, expect, it } from 'vitest';
import { judgeSensor, type DoubtCode } from '../../src/verify/sensor.ts';
import { nearestToHours, type Measured } from '../../src/verify/truth.ts';

const HOUR = 3600;

/** Steady air of 0 °C over three days, dark but from the 30th to the 40th hour. */
const FORECAST = { firstHour: 0, temperatureC: Array.from({ length: 73 }, () => 0) };
const NIGHT = {
  firstHour: 0,
  darkness: Float64Array.from({ length: 73 }, (_, hour) => (hour >= 30 && hour <= 40 ? 0 : 1)),
};

/** `[hour, °C]` pairs. */
function codes(
  points: readonly (readonly [number, number])[],
  over: { of?: 'zone'; forecastC?: number } = {},
) {
  const readings = points.map(([hour, temperatureC]) => ({ at: hour * HOUR, temperatureC }));
  const forecast = { ...FORECAST, temperatureC: FORECAST.temperatureC.map((t) => over.forecastC ?? t) };
  const { doubts } = judgeSensor({
    readings,
    of: over.of ?? 'outside',
    forecast,
    night: NIGHT,
    now: 73 * HOUR,
    unit: 'C',
  });
  return doubts.map((doubt): DoubtCode | null => doubt?.code ?? null);
}

const NIGHTS = [10, 12, 14].map((hour): [number, number] => [hour, 0.3]);
const LATER = [44, 46, 48].map((hour): [number, number] => [hour, 0.1]);

describe('in the sun', () => {
  const day = (...valuesC: number[]) => valuesC.map((t, i): [number, number] => [33 + i / 2, t]);
  const isSun = (points: readonly (readonly [number, number])[]): boolean => codes(points).includes('sun');

  it('is two readings of 6 K above the forecast, half an hour apart', () => {
    expect(isSun([...NIGHTS, ...day(6, 6)])).toBe(true);
    expect(isSun([...NIGHTS, ...day(5.9, 6)])).toBe(false);
    expect(isSun([...NIGHTS, [33, 6], [33.4, 6]])).toBe(false);
  });

  it('needs three readings of a night within 24 hours, before or after', () => {
    expect(isSun([...NIGHTS.slice(1), ...day(7, 7)])).toBe(false);
    expect(isSun([...day(7, 7), ...LATER])).toBe(true);
    // All of them more than a day before.
    expect(isSun([[1, 0], [3, 0], [5, 0], ...day(7, 7)])).toBe(false);
    expect(isSun([...day(7, 7), [58.6, 0], [60, 0], [62, 0]])).toBe(false);
  });

  it('needs nights that agree to 3 K at their median', () => {
    const nights = (offK: number) => NIGHTS.map(([hour]): [number, number] => [hour, offK]);
    expect(isSun([...nights(3), ...day(7, 7)])).toBe(true);
    expect(isSun([...nights(3.1), ...day(7, 7)])).toBe(false);
    expect(isSun([...nights(-3.1), ...day(7, 7)])).toBe(false);
  });
});

describe('jumping', () => {
  it('is more than 8 K there and back within 70 minutes', () => {
    expect(
      codes([
        [1, 0],
        [2, 8.1],
        [3, 0],
      ]),
    ).toEqual([null, 'jumping', null]);
    expect(
      codes([
        [1, 0],
        [2, 8],
        [3, 0],
      ]),
    ).toEqual([null, null, null]);
    expect(
      codes([
        [1, 0],
        [2, -9],
        [3, 0],
      ]),
    ).toEqual([null, 'jumping', null]);
    expect(
      codes([
        [1, 0],
        [2.2, 9],
        [3, 0],
      ]),
    ).toEqual([null, null, null]);
    expect(
      codes([
        [1, 0],
        [2, 9],
        [3.2, 0],
      ]),
    ).toEqual([null, null, null]);
  });

  it('is not what stands sound between two jumps down', () => {
    const points = [0, 0, -20, 0, 0, 0, -20, 0, 0].map((t, i): [number, number] => [10 + i / 6, t]);
    expect(codes(points)).toEqual([null, null, 'jumping', null, null, null, 'jumping', null, null]);
  });

  it('is scatter over twelve readings off their neighbours by more than 2 K at the median, within a day', () => {
    const zigzag = (sizeK: number, stepHours: number, count: number) =>
      Array.from({ length: count }, (_, i): [number, number] => [1 + i * stepHours, i % 2 === 0 ? sizeK : 0]);
    expect(codes(zigzag(2.2, 1, 14)).filter((code) => code === 'jumping')).toHaveLength(12);
    expect(codes(zigzag(2, 1, 14)).filter((code) => code === 'jumping')).toHaveLength(0);
    expect(codes(zigzag(2.2, 1, 13)).filter((code) => code === 'jumping')).toHaveLength(0);
    // One every 2.3 hours: neighbours are more than 4 hours apart.
    expect(codes(zigzag(5, 2.3, 14)).filter((code) => code === 'jumping')).toHaveLength(0);
  });
});

describe('another unit', () => {
  it('is not what is far off either way', () => {
    const hours = Array.from({ length: 8 }, (_, i): [number, number] => [1 + i, 20]);
    // 20 °F are −6.7 °C: 6.7 K from the forecast.
    expect(codes(hours).every((code) => code === null)).toBe(true);
    expect(codes(hours, { forecastC: -6 }).every((code) => code === 'unit')).toBe(true);
  });

  it('in a zone is over 40 °C while outside is below 15', () => {
    expect(codes([[1, 40.5]], { of: 'zone', forecastC: 14.5 })).toEqual(['unit']);
    expect(codes([[1, 39.5]], { of: 'zone', forecastC: 14.5 })).toEqual([null]);
    expect(codes([[1, 40.5]], { of: 'zone', forecastC: 15.5 })).toEqual([null]);
  });
});

it('the summary is in the order of what came first', () => {
  const readings: Measured[] = [
    { at: 50 * HOUR, temperatureC: -127 },
    { at: 20 * HOUR, temperatureC: 0 },
    { at: 21 * HOUR, temperatureC: 9 },
    { at: 22 * HOUR, temperatureC: 0 },
    { at: 40 * HOUR, temperatureC: -127 },
  ];
  const question = { of: 'outside', forecast: FORECAST, night: NIGHT, now: 73 * HOUR, unit: 'C' } as const;
  const { summary } = judgeSensor({ ...question, readings });
  expect(summary.map(({ code, since, until, readings: n }) => [code, since / HOUR, until / HOUR, n])).toEqual(
    [
      ['jumping', 21, 21, 1],
      ['absurd', 40, 50, 2],
    ],
  );
  expect(summary[1]!.message).toBe(
    'The sensor gave no temperature between −60 °C and 60 °C. Look at its cable and its battery.',
  );
});

describe('what was measured at an hour', () => {
  const at = (minutes: number, temperatureC: number): Measured => ({ at: minutes * 60, temperatureC });

  it('is the nearest within half an hour, in whatever order, of two as near the earlier', () => {
    const points = [at(50, 1), at(65, 2), at(55, 3), at(89, 4)];
    expect([...nearestToHours(points)]).toEqual([[HOUR, at(55, 3)]]);
    expect([...nearestToHours(points.toReversed())]).toEqual([[HOUR, at(55, 3)]]);
    expect([...nearestToHours([at(90, 5)])]).toEqual([[2 * HOUR, at(90, 5)]]);
  });

  it('is not an unknown value', () => {
    expect([...nearestToHours([at(60, NaN), at(62, 1)])]).toEqual([[HOUR, at(62, 1)]]);
  });
});
