/** What is kept of an outlook, against sums done by hand. */
import { describe, expect, it } from 'vitest';
import { keptForecasts, weightedQuantile } from '../../src/verify/keep.ts';
import type { Outlook } from '../../src/weather/outlook.ts';
import { sourced } from '../support/sourced.ts';
import { seconds } from '../support/instants.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const MIDNIGHT = seconds('2026-12-01T00:00:00Z');
const NOON = { place: 'creek', keptAt: MIDNIGHT + 12 * HOUR };

/** Three members of weights ½, ¼, ¼: −6, −2 and 2 °C, each warmer by a tenth each hour. */
function outlook(firstHour: number, hours: number): Outlook {
  const course = (fromC: number): Float64Array =>
    Float64Array.from({ length: hours }, (_, i) => fromC + (0.1 * (firstHour + i * HOUR - MIDNIGHT)) / HOUR);
  return {
    source: 'series',
    attribution: null,
    issuedAt: null,
    fetchedAt: firstHour,
    version: 'series 1',
    firstHour,
    endsAtHole: false,
    hours,
    middle: 1,
    resolution: 0.25,
    assumptions: [],
    members: [
      [2, 0.25],
      [-6, 0.5],
      [-2, 0.25],
    ].map(([fromC, weight]) => ({
      weight: weight!,
      temperatureC: course(fromC!),
      windSpeedMps: new Float64Array(hours),
      groundC: new Float64Array(hours),
    })),
  };
}

describe('days that are kept', () => {
  it('are whole UTC days, from the day of keeping to the seventh after', () => {
    const kept = keptForecasts(sourced(outlook(MIDNIGHT - 72 * HOUR, 72 + 16 * 24)), NOON);
    expect(kept.map((k) => [k.leadDay, (k.validDay - MIDNIGHT) / DAY])).toEqual(
      Array.from({ length: 8 }, (_, lead) => [lead, lead]),
    );
    expect(kept.every((k) => k.meanC.length === 24 && k.keptAt === NOON.keptAt && k.place === 'creek')).toBe(
      true,
    );
  });

  it('are none that the outlook begins or ends within', () => {
    // From 01:00 of the first day to 22:00 of the third: 23:00 is missing.
    const leads = (hours: number) =>
      keptForecasts(sourced(outlook(MIDNIGHT + HOUR, hours)), NOON).map((k) => k.leadDay);
    expect(leads(70)).toEqual([1]);
    expect(leads(71)).toEqual([1, 2]);
    expect(leads(10)).toEqual([]);
  });
});

describe('what is kept of an hour', () => {
  const [first] = keptForecasts(sourced(outlook(MIDNIGHT, 24)), NOON);

  it('is the weighted mean: ½·−6 + ¼·−2 + ¼·2 = −3', () => {
    expect(first!.meanC[0]).toBeCloseTo(-3, 12);
    expect(first!.meanC[10]).toBeCloseTo(-2, 12);
  });

  it('is the deviation with its factor: variance ½·9 + ¼·1 + ¼·25 = 11, N = 1/(¼ + 1/16 + 1/16) = 8/3', () => {
    // (8/3 + 1)/(8/3 − 1) = 11/5.
    expect(first!.deviationK[0]).toBeCloseTo(Math.sqrt((11 * 11) / 5), 12);
  });

  it('is the weight below 0 °C and at or below −4 °C', () => {
    expect(first!.below0.slice(0, 21)).toEqual(Array.from({ length: 21 }, (_, h) => (h < 20 ? 0.75 : 0.5)));
    expect(first!.atOrBelowMinus4.slice(18, 23)).toEqual([0.5, 0.5, 0.5, 0, 0]);
  });

  it('is its quantiles: members stand at ¼, 5/8 and 7/8', () => {
    const { q05, q25, q50, q75, q95 } = first!.quantilesC;
    // One half: (½ − ¼)/(5/8 − ¼) = 2/3 of the way from −6 to −2; three quarters: half way from −2 to 2.
    expect([q05[0], q25[0], q75[0], q95[0]]).toEqual([-6, -6, 0, 2]);
    expect(q50[0]).toBeCloseTo(-6 + 4 * (2 / 3), 12);
  });
});

describe('weighted quantiles', () => {
  it('of 1, 2, 3, 4 are those of Hazen: the first quarter 1.5, the median 2.5', () => {
    const law = [1, 2, 3, 4].map((valueC) => ({ weight: 0.25, valueC }));
    expect([0.05, 0.25, 0.5, 0.75, 0.95].map((p) => weightedQuantile(law, p))).toEqual([1, 1.5, 2.5, 3.5, 4]);
  });

  it('of one value are that value, of none unknown', () => {
    expect(weightedQuantile([{ weight: 1, valueC: -7 }], 0.05)).toBe(-7);
    expect(weightedQuantile([], 0.5)).toBeNaN();
  });
});

it('a single forecast is kept with deviation 0, and an hour of which a member knows nothing as unknown', () => {
  const whole = outlook(MIDNIGHT, 24);
  const single = { ...whole, members: [{ ...whole.members[0]!, weight: 1 }] };
  expect(keptForecasts(sourced(single), NOON)[0]!.deviationK[5]).toBe(0);
  whole.members[1]!.temperatureC[5] = NaN;
  const kept = keptForecasts(sourced(whole), NOON)[0]!;
  expect([kept.meanC[5], kept.deviationK[5], kept.quantilesC.q50[5], kept.below0[5]]).toEqual([
    NaN,
    NaN,
    NaN,
    NaN,
  ]);
  expect(kept.meanC[4]).toBeCloseTo(-2.6, 12);
});
