/** The card of one place, against sums done by hand and against a law that the test draws from. */
import { describe, expect, it } from 'vitest';
import { scorecard, type ScoreQuestion } from '../../src/verify/scorecard.ts';
import { seconds } from '../support/instants.ts';
import { keptLaw, normal } from '../support/kept.ts';
import { Random } from '../support/random.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const START = seconds('2026-12-01T00:00:00Z');

function card(over: Partial<ScoreQuestion>) {
  return scorecard({
    place: 'creek',
    asOf: START + 60 * DAY,
    kept: [],
    measured: { readings: [], station: [], archive: [] },
    nights: [],
    ...over,
  });
}

/** Forecasts of one day ahead of a law that is true, over so many days: mean −2 ± 5 K by day, deviation 2 K. */
function honest(days: number, seed: number) {
  const random = new Random(seed);
  const kept = Array.from({ length: days }, (_, day) => {
    const level = -2 + 5 * normal(random);
    return keptLaw({ validDay: START + day * DAY, leadDay: 1, meanC: () => level, deviationK: 2 });
  });
  const archive = kept.flatMap((k) =>
    k.meanC.map((t, hour) => ({ at: k.validDay + hour * HOUR, temperatureC: t + 2 * normal(random) })),
  );
  return { kept, archive };
}

describe('the card', () => {
  it('of nothing is empty', () => {
    expect(card({})).toEqual({
      schema: 'drainby.score/1',
      asOf: '2027-01-30T00:00:00Z',
      place: 'creek',
      forecasts: [],
      advice: [],
    });
  });

  it('of errors 1, 3, −1 and 5 K: bias 8/4, RMSE √(36/4), MAE 10/4; each truth, source and lead apart', () => {
    const kept = [1, 2].flatMap((leadDay) =>
      ['meteo', 'nws'].map((source) => ({
        ...keptLaw({ validDay: START, leadDay, meanC: () => 4, deviationK: 1 }),
        source,
      })),
    );
    const at = (hour: number, temperatureC: number) => ({ at: START + hour * HOUR, temperatureC });
    const readings = [at(3, 3), at(4, 1), at(5, 5), at(6, -1)];
    const { forecasts } = card({ kept, measured: { readings, station: [at(3, 0)], archive: [] } });
    expect(forecasts.map(({ source, truth, leadDay }) => [source, truth, leadDay])).toEqual([
      ['meteo', 'readings', 1],
      ['meteo', 'readings', 2],
      ['meteo', 'station', 1],
      ['meteo', 'station', 2],
      ['nws', 'readings', 1],
      ['nws', 'readings', 2],
      ['nws', 'station', 1],
      ['nws', 'station', 2],
    ]);
    expect(forecasts[0]).toMatchObject({
      firstDay: '2026-12-01',
      lastDay: '2026-12-01',
      days: 1,
      hours: 4,
      biasK: 2,
      rmseK: 3,
      maeK: 2.5,
    });
    expect(forecasts[2]).toMatchObject({ hours: 1, biasK: 4 });
  });

  it('of a law that is true: its CRPS is σ/√π, its chances are kept, its skill is there', () => {
    const { kept, archive } = honest(400, 2);
    const [found] = card({ kept, measured: { readings: [], station: [], archive } }).forecasts;
    expect(found!.days).toBe(400);
    expect(found!.hours).toBe(9600);
    // The mean score of a normal law that is true: σ/√π (Gneiting and Raftery 2007, JASA 102:359-378, from memory).
    expect(Math.abs(found!.crpsK! - 2 / Math.sqrt(Math.PI))).toBeLessThan(0.03);
    expect(Math.abs(found!.biasK!)).toBeLessThan(0.05);
    for (const { brier, reliability, resolution, uncertainty, skill, tenths } of [
      found!.below0,
      found!.atOrBelowMinus4,
    ]) {
      // Chances differ within a tenth: a uniform one has a variance of 0.1²/12 = 0.0008.
      expect(Math.abs(reliability! - resolution! + uncertainty! - brier!)).toBeLessThan(0.002);
      expect(reliability).toBeLessThan(0.001);
      expect(skill).toBeGreaterThan(0.4);
      expect(tenths.reduce((sum, { n }) => sum + n, 0)).toBe(9600);
      // A tenth with 300 independent hours tells a frequency to 3 points; 3 deviations.
      for (const { meanChance, frequency, n } of tenths)
        if (n > 300) expect(Math.abs(frequency! - meanChance!)).toBeLessThan(0.09);
    }
  });

  it('has no skill to state where it never froze, and leaves out chances that are unknown', () => {
    const warm = keptLaw({ validDay: START, leadDay: 0, meanC: () => 5, deviationK: 1 });
    const readings = [5, 6].map((hour) => ({ at: START + hour * HOUR, temperatureC: 5 }));
    const [found] = card({
      kept: [{ ...warm, below0: warm.below0.map(() => NaN) }],
      measured: { readings, station: [], archive: [] },
    }).forecasts;
    expect(found!.below0).toEqual({
      brier: null,
      reliability: null,
      resolution: null,
      uncertainty: null,
      baseRate: null,
      skill: null,
      tenths: [],
    });
    expect(found!.atOrBelowMinus4).toMatchObject({ brier: 0, baseRate: 0, skill: null });
  });

  it('can be written down as it is', () => {
    const { kept, archive } = honest(3, 1);
    const nights = [{ unit: 'blue', nights: [] }];
    const whole = card({ kept, measured: { readings: [], station: archive, archive }, nights });
    expect(JSON.parse(JSON.stringify(whole))).toEqual(whole);
  });
});

describe('advice', () => {
  it('of 20 nights, 5 of them harmful: 4 warned of, 1 missed, 3 warned of for nothing', () => {
    const night = (warned: boolean, harmed: boolean, count: number) =>
      Array.from({ length: count }, () => ({ warned, harmed }));
    const nights = [
      ...night(true, true, 4),
      ...night(false, true, 1),
      ...night(true, false, 3),
      ...night(false, false, 12),
    ];
    const [advice] = card({ nights: [{ unit: 'blue', nights }] }).advice;
    expect(advice).toMatchObject({
      unit: 'blue',
      nights: 20,
      hits: 4,
      misses: 1,
      falseAlarms: 3,
      correctRejections: 12,
      hitRate: 0.8,
      falseAlarmRate: 0.2,
      baseRate: 0.25,
    });
    // Hit rate − false alarm rate.
    expect(advice!.bestValue).toBeCloseTo(0.6, 12);
  });

  it('of nights without harm has no hit rate and no value', () => {
    const [advice] = card({ nights: [{ unit: 'blue', nights: [{ warned: false, harmed: false }] }] }).advice;
    expect(advice).toMatchObject({ hits: 0, misses: 0, hitRate: null, falseAlarmRate: 0, bestValue: null });
  });
});
