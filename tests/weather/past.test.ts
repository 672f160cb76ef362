/** Hours that a forecast no longer tells, from what was kept. */
import { describe, expect, it } from 'vitest';
import type { Forecast } from '../../src/weather/forecast.ts';
import type { Spot } from '../../src/weather/local-correction.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { withPast as withPastAt, type KeptHour } from '../../src/weather/past.ts';
import { BENCH, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const HOUR = 3600;
const NAN = Number.NaN;

function kept(hour: number, temperatureC: number, over: Partial<KeptHour> = {}): KeptHour {
  return {
    hour: MIDNIGHT + hour * HOUR,
    temperatureC,
    windSpeedMps: null,
    cloudPercent: null,
    soilTemperatureC: null,
    source: 'nws',
    gridElevationM: null,
    ...over,
  };
}

const withPast = (forecast: Forecast, past: readonly KeptHour[]): Forecast =>
  withPastAt(forecast, past, BENCH);

const FLAT = Array.from({ length: 97 }, () => 3);

function temperatures(forecast: Forecast): readonly number[][] {
  return forecast.members.map((m) => [...m.temperatureC].slice(0, 6));
}

describe('kept hours', () => {
  it('come before the first hour, in every member, in whatever order they are given', () => {
    const forecast = madeForecast([{ temperatureC: [1, 2, 3] }, { temperatureC: [4, 5, 6], model: 'made' }]);
    const found = withPast(forecast, [kept(-1, -1), kept(-3, -3), kept(-2, -2)]);
    expect(temperatures(found)).toEqual([
      [-3, -2, -1, 1, 2, 3],
      [-3, -2, -1, 4, 5, 6],
    ]);
    expect(found).toMatchObject({ firstHour: MIDNIGHT - 3 * HOUR, ownFrom: MIDNIGHT });
  });

  it('leave a hole where nothing was kept, and never touch what the forecast says', () => {
    const forecast = madeForecast([{ temperatureC: [1, NAN, 3] }]);
    const found = withPast(forecast, [kept(-3, -3), kept(-1, NAN), kept(0, 9), kept(1, 9)]);
    expect(temperatures(found)).toEqual([[-3, NAN, NAN, 1, NAN, 3]]);
  });

  it('fill what the forecast does not know at its start', () => {
    const found = withPast(madeForecast([{ temperatureC: [NAN, NAN, 3] }]), [kept(-1, -1), kept(1, 7)]);
    expect(temperatures(found)).toEqual([[-1, NAN, 7, 3]]);
    expect(found.ownFrom).toBe(MIDNIGHT + 2 * HOUR);
  });

  it('bring wind, cloud and soil along, and move steps and lows', () => {
    const member = {
      temperatureC: [1, 2],
      windSpeedMps: [5, 6],
      stepHours: [6, 6],
      lows: [{ from: 0, to: 1, temperatureC: 0 }],
    };
    const past = [kept(-2, -2, { windSpeedMps: 2, cloudPercent: 40, soilTemperatureC: 1 }), kept(-1, -1)];
    expect(withPast(madeForecast([member]), past).members[0]).toMatchObject({
      windSpeedMps: [2, NAN, 5, 6],
      cloudPercent: [40, NAN, NAN, NAN],
      soilTemperatureC: [1, NAN, NAN, NAN],
      stepHours: [1, 1, 6, 6],
      lows: [{ from: 2, to: 3, temperatureC: 0 }],
    });
  });

  it('that are none leave the forecast as it is', () => {
    const forecast = madeForecast([{ temperatureC: FLAT }]);
    expect(withPast(forecast, [])).toBe(forecast);
    expect(withPast(forecast, [kept(5, -9)])).toBe(forecast);
  });

  it('are in the outlook, each with its source; its version stays the forecast’s', () => {
    const forecast = madeForecast([{ temperatureC: FLAT }]);
    const past = Array.from({ length: 72 }, (_, i) => kept(i - 72, -4, i < 10 ? { source: 'old' } : {}));
    const found = outlookOf(requestFor(withPast(forecast, past)));
    expect(found.members.every((m) => m.temperatureC[0] === -4 && m.temperatureC[71] === -4)).toBe(true);
    expect(found.assumptions.join()).not.toContain('Less than 72 h');
    expect(found.version).toBe(outlookOf(requestFor(forecast)).version);
    expect(found.stretches.map((s) => [s.from / HOUR - MIDNIGHT / HOUR, s.source, s.what])).toEqual([
      [-72, 'old', 'kept past'],
      [-62, 'nws', 'kept past'],
      [0, 'meteo', 'forecast'],
      [97, 'meteo', 'unknown'],
    ]);
  });
});

describe('kept hours of another service’s cell', () => {
  // 6.5 K a kilometre: ICAO standard atmosphere. What the hour is at the place, by the new forecast's outlook.
  function atPlace(lie: Spot['lie'], heights: { kept: number | null; cell?: number; place: number }): number {
    const { kept: gridElevationM, cell } = heights;
    const forecast = madeForecast(
      [{ temperatureC: FLAT, cloudPercent: FLAT.map(() => 100) }],
      cell === undefined ? {} : { gridElevationM: cell },
    );
    const spot = { ...BENCH, lie, elevationM: heights.place };
    const past = Array.from({ length: 72 }, (_, i) =>
      kept(i - 72, -3, { gridElevationM, cloudPercent: 100 }),
    );
    const request = requestFor(withPastAt(forecast, past, spot), { spot, errorLaw: null });
    return outlookOf(request).members[0]?.temperatureC[10] ?? NAN;
  }

  it('are at the place what they were there, whatever the new cell’s height', () => {
    for (const lie of ['bench', 'hollow'] as const)
      for (const cell of [1400, 2000, 2600])
        expect(atPlace(lie, { kept: 2000, cell, place: 2000 })).toBeCloseTo(-3, 12);
    expect(atPlace('bench', { kept: 2000, cell: 1400, place: 1400 })).toBeCloseTo(-3 + 3.9, 12);
    expect(atPlace('bench', { kept: 1400, cell: 2000, place: 1400 })).toBeCloseTo(-3, 12);
  });

  it('do not warm a hollow', () => {
    expect(atPlace('hollow', { kept: 2000, cell: 1400, place: 1400 })).toBeCloseTo(-3, 12);
    expect(atPlace('hollow', { kept: 1400, cell: 2000, place: 2000 })).toBeCloseTo(-3 - 3.9, 12);
  });

  it('without a known height are taken as of the new cell', () => {
    expect(atPlace('bench', { kept: null, cell: 2600, place: 2000 })).toBeCloseTo(-3 + 3.9, 12);
    expect(atPlace('bench', { kept: 2600, place: 2000 })).toBe(-3);
  });
});
