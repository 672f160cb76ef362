/** From a forecast to members: weights, the dressed ones, the middle one, the local correction. */
import { describe, expect, it } from 'vitest';
import type { Forecast, ForecastMember } from '../../src/weather/forecast.ts';
import { correctionK, nightOf, type Spot } from '../../src/weather/local-correction.ts';
import { middleIndex } from '../../src/weather/middle.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { seconds } from '../support/instants.ts';

const HOUR = 3600;
/** Midnight in Denver. */
const MIDNIGHT = seconds('2026-12-01T07:00:00Z');
const BENCH: Spot = { latitude: 39.7, longitude: -105, lie: 'bench', coldSpotK: 0, elevationM: null };
const LAW = { atStartK: 1, perDayK: 0.3, members: 51 };

function forecast(members: readonly Partial<ForecastMember>[]): Forecast {
  return {
    source: 'series',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    firstHour: MIDNIGHT,
    whole: true,
    members: members.map((member) => ({
      weight: 1,
      temperatureC: [],
      windSpeedMps: null,
      cloudPercent: null,
      soilTemperatureC: null,
      ...member,
    })),
  };
}

const FLAT = Array.from({ length: 145 }, () => 3);

function outlook(members: readonly Partial<ForecastMember>[], over: { spot?: Spot; nowHour?: number } = {}) {
  return outlookOf({
    forecast: forecast(members),
    now: MIDNIGHT + (over.nowHour ?? 0) * HOUR,
    horizonHours: 384,
    spot: over.spot ?? BENCH,
    errorLaw: LAW,
  });
}

describe('a single forecast', () => {
  it('is dressed: its deviation is the law’s at every lead, its mean the forecast, its middle itself', () => {
    const { members, middle } = outlook([{ temperatureC: FLAT }]);
    expect(members).toHaveLength(51);
    expect(middle).toBe(0);
    expect([...members[0]!.temperatureC]).toEqual(FLAT);
    for (const hour of [0, 6, 24, 60, 72, 120, 144]) {
      const off = members.map((m) => m.temperatureC[hour]! - 3);
      expect(Math.abs(off.reduce((sum, x) => sum + x, 0))).toBeLessThan(1e-9);
      const deviation = Math.sqrt(off.reduce((sum, x) => sum + x * x, 0) / 50);
      expect(Math.abs(deviation / (1 + (0.3 * hour) / 24) - 1)).toBeLessThan(0.05);
    }
    expect(members.reduce((sum, m) => sum + m.weight, 0)).toBeCloseTo(1, 12);
  });

  it('has no errors in hours that have passed', () => {
    const { members } = outlook([{ temperatureC: FLAT }], { nowHour: 48.5 });
    for (const m of members) expect([...m.temperatureC.subarray(0, 49)]).toEqual(FLAT.slice(0, 49));
    expect(new Set(members.map((m) => m.temperatureC[49])).size).toBe(51);
  });

  it('cannot tell chances below the weight of one member apart', () => {
    expect(outlook([{ temperatureC: FLAT }]).resolution).toBeCloseTo(1 / 51, 12);
  });
});

describe('an ensemble', () => {
  it('keeps its members, with weights that sum to 1', () => {
    const { members } = outlook([
      { weight: 3, temperatureC: FLAT },
      { weight: 1, temperatureC: FLAT.map((t) => t - 5) },
    ]);
    expect(members.map((m) => m.weight)).toEqual([0.75, 0.25]);
  });

  it.each([1e308, Number.MAX_VALUE])('keeps weights of %s, whose sum no number holds', (weight) => {
    const half = { weight: weight / 2, temperatureC: FLAT.map((t) => t - 5) };
    const { members } = outlook([{ weight, temperatureC: FLAT }, half, half, half]);
    for (const [i, share] of [0.4, 0.2, 0.2, 0.2].entries())
      expect(members[i]?.weight).toBeCloseTo(share, 12);
    expect(members[1]?.temperatureC[10]).toBe(-2);
  });
});

describe('the middle member', () => {
  const of = (weight: number, ...values: number[]) => ({ weight, temperatureC: Float64Array.from(values) });

  it('is the weighted lower median by degree-hours below zero', () => {
    expect(middleIndex([of(1, -1), of(1, -3), of(1, -2)], 0)).toBe(2);
    expect(middleIndex([of(1, -1), of(1, -2)], 0)).toBe(0);
    expect(middleIndex([of(1, -1), of(1, -3), of(5, -9)], 0)).toBe(2);
    expect(middleIndex([of(2, -1), of(1, -3), of(1, -9)], 0)).toBe(0);
  });

  it('is, among members without frost, by falling mean, then by index', () => {
    expect(middleIndex([of(1, 1), of(1, 9), of(1, 5)], 0)).toBe(2);
    expect(middleIndex([of(1, 4), of(1, 4), of(1, 4)], 0)).toBe(1);
  });

  it('is judged from the present hour on', () => {
    expect(middleIndex([of(1, -50, 0), of(1, 0, -1), of(1, 0, -2)], 1)).toBe(1);
  });
});

describe('the local correction', () => {
  const clear = { cloudPercent: new Float64Array(24), windSpeedMps: new Float64Array(24) };
  const at = (spot: Partial<Spot>, air = clear): Float64Array => {
    const of = { ...BENCH, ...spot };
    return correctionK(of, nightOf(of, MIDNIGHT, 24), air);
  };
  const like = (cloud: number, wind: number) => ({
    cloudPercent: new Float64Array(24).fill(cloud),
    windSpeedMps: new Float64Array(24).fill(wind),
  });

  it('takes what the lie gives off on a clear calm night, and nothing by day', () => {
    // Creek bottoms 2-6 K, unknown 2 K: common practice, no source.
    const hollow = at({ lie: 'hollow' });
    expect(hollow[0]).toBeGreaterThanOrEqual(2);
    expect(hollow[0]).toBeLessThanOrEqual(6);
    expect(at({ lie: 'unknown' })[0]).toBe(2);
    // Noon in Denver, twelve hours after the first.
    expect(hollow[12]).toBe(0);
    expect(at({ lie: 'unknown' })[12]).toBe(0);
  });

  it('takes nothing on a bench, a ridge or in town', () => {
    for (const lie of ['bench', 'ridge', 'town'] as const)
      expect(at({ lie }).every((k) => k === 0)).toBe(true);
  });

  it('takes less under cloud and in wind, and nothing under full cloud', () => {
    expect(at({ lie: 'hollow' }, like(50, 0))[0]).toBeCloseTo(at({ lie: 'hollow' })[0]! / 2, 12);
    expect(at({ lie: 'hollow' }, like(100, 0))[0]).toBe(0);
    expect(at({ lie: 'hollow' }, like(0, 8))[0]).toBe(0);
  });

  it('takes unknown cloud as clear and unknown wind as calm', () => {
    expect(at({ lie: 'hollow' }, like(Number.NaN, Number.NaN))).toEqual(at({ lie: 'hollow' }));
  });

  it('takes a cold spot at any hour, and never warms', () => {
    expect(at({ coldSpotK: 1.5 }).every((k) => k === 1.5)).toBe(true);
    for (const lie of ['hollow', 'valley', 'unknown', 'bench'] as const) {
      for (const air of [clear, like(30, 2), like(100, 20)]) {
        expect(at({ lie }, air).every((k) => k >= 0)).toBe(true);
      }
    }
  });

  it('lowers the members of an outlook, and says so where the lie is not given', () => {
    const spot: Spot = { ...BENCH, lie: 'unknown' };
    const found = outlookOf({
      forecast: forecast([{ temperatureC: FLAT }]),
      now: MIDNIGHT,
      horizonHours: 384,
      spot,
      errorLaw: null,
    });
    expect(found.members[0]?.temperatureC[0]).toBe(1);
    expect(found.members[0]?.temperatureC[12]).toBe(3);
    expect(found.assumptions.join()).toMatch(/lie of the land/);
  });
});
