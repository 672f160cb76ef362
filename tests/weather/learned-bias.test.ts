/**
 * What readings taught, as far as it is trusted. The shares are worked by hand from the rules in
 * src/weather/learned-bias.ts (n/(n + 5), 3 to 7 days, 3 and 8 K: engineering estimates).
 */
import { describe, expect, it } from 'vitest';
import { learnedBias as learnedAt, type LearnedBias } from '../../src/weather/learned-bias.ts';
import type { LocalRecord } from '../../src/weather/local-record.ts';
import { outlookOf } from '../../src/weather/outlook.ts';
import { BENCH, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';

const DAY = 86_400;

/** Bias and readings by UTC hour; nothing at the others. */
function record(
  hours: Readonly<Record<number, readonly [biasK: number, readings: number]>>,
  over: Partial<LocalRecord> = {},
): LocalRecord {
  const all = Array.from({ length: 24 }, (_, h) => hours[h] ?? ([0, 0] as const));
  return {
    biasK: all.map(([k]) => k),
    readings: all.map(([, n]) => n),
    weighed: all.map(([, n]) => n),
    lastReadingAt: MIDNIGHT,
    spread: [],
    ...over,
  };
}

const everyHour = (biasK: number, readings: number, over: Partial<LocalRecord> = {}): LocalRecord =>
  record(Object.fromEntries(Array.from({ length: 24 }, (_, h) => [h, [biasK, readings]])), over);

const DARK = new Array<number>(24).fill(1);

/** With no sun at all. */
function learnedBias(of: LocalRecord | null, now: number): LearnedBias {
  return learnedAt(of, { now, darkness: DARK });
}

describe('the learned bias', () => {
  it('counts by its readings: half with 5, three quarters with 15', () => {
    expect(learnedBias(everyHour(2, 5), MIDNIGHT).takenOffK[7]).toBeCloseTo(1, 12);
    expect(learnedBias(everyHour(2, 15), MIDNIGHT).takenOffK[7]).toBeCloseTo(1.5, 12);
    expect(learnedBias(everyHour(2, 15), MIDNIGHT).trust[7]).toBeCloseTo(0.75, 12);
  });

  it('makes at most 3 K warmer and 8 K colder, before it is shrunk', () => {
    expect(learnedBias(everyHour(-9, 5), MIDNIGHT).takenOffK[0]).toBeCloseTo(-1.5, 12);
    expect(learnedBias(everyHour(20, 5), MIDNIGHT).takenOffK[0]).toBeCloseTo(4, 12);
    expect(learnedBias(everyHour(Number.NaN, 5), MIDNIGHT).takenOffK[0]).toBe(0);
  });

  it('fades from the third to the seventh day after the last reading', () => {
    for (const [days, share] of [
      [0, 1],
      [3, 1],
      [5, 0.5],
      [7, 0],
      [30, 0],
    ] as const)
      expect(learnedBias(everyHour(2, 5), MIDNIGHT + days * DAY).takenOffK[3]).toBeCloseTo(share, 12);
    const said = (days: number): string =>
      learnedBias(everyHour(2, 5), MIDNIGHT + days * DAY).sentences.join();
    expect(said(1)).toBe(
      'By hour of the day, 1 K (1.8 °F) are taken off the forecast, as 120 readings here taught.',
    );
    expect(said(5)).toContain('they count less from day to day');
    expect(said(9)).toContain('too old');
  });

  it('is said as added where it warms, and as taken off where it cools', () => {
    const said = (of: LocalRecord): string => learnedBias(of, MIDNIGHT).sentences.join();
    expect(said(record({ 7: [-2, 5], 19: [3, 5] }))).toContain(
      'up to 1 K (1.8 °F) are added to the forecast at some hours and up to 1.5 K (2.7 °F) taken off at others',
    );
    expect(said(record({ 7: [-2, 5] }))).toContain('0 to 1 K (0 to 1.8 °F) are added to the forecast');
    expect(said(everyHour(-2, 5))).toContain('1 K (1.8 °F) are added to the forecast');
    expect(said(record({ 7: [2, 5] }))).toContain('0 to 1 K (0 to 1.8 °F) are taken off');
    expect(said(everyHour(0.01, 5))).toContain('0 K (0 °F) are taken off');
  });

  it('lies on a line between hours with readings, round midnight too, and ends within 3 h of the last', () => {
    const { takenOffK } = learnedBias(record({ 22: [2, 5], 2: [4, 5], 12: [3, 5] }), MIDNIGHT);
    // 1 K at 22, 2 K at 2, 1.5 K at 12, all half of what was read.
    expect(takenOffK[22]).toBeCloseTo(1, 12);
    expect(takenOffK[0]).toBeCloseTo(1.5, 12);
    expect(takenOffK[1]).toBeCloseTo(1.75, 12);
    expect(takenOffK[3]).toBeCloseTo(2 * (2 / 3), 12);
    expect(takenOffK[5]).toBe(0);
    expect(takenOffK[10]).toBeCloseTo(1.5 / 3, 12);
  });

  it('of no readings, or of no record, is nothing', () => {
    for (const none of [null, record({})]) {
      const { takenOffK, trust, sentences } = learnedBias(none, MIDNIGHT);
      expect([...takenOffK, ...trust].every((k) => k === 0)).toBe(true);
      expect(sentences).toEqual([]);
    }
  });
});

describe('nights under cloud', () => {
  it('teach what to take off, and neither warmth nor trust in clear calm ones', () => {
    const weighed = new Array<number>(24).fill(0);
    const cooler = learnedBias(everyHour(2, 5, { weighed }), MIDNIGHT);
    expect(cooler.takenOffK[3]).toBeCloseTo(1, 12);
    expect(cooler.trust.every((share) => share === 0)).toBe(true);
    expect(learnedBias(everyHour(-2, 5, { weighed }), MIDNIGHT).takenOffK[3]).toBeCloseTo(0, 12);
  });
});

describe('hours with the sun up', () => {
  const darkness = DARK.map((_, hour) => (hour >= 14 && hour < 23 ? 0 : 1));
  const taken = (of: LocalRecord): readonly number[] => learnedAt(of, { now: MIDNIGHT, darkness }).takenOffK;

  it('are cooled by what readings taught, and never warmed', () => {
    const warmer = taken(everyHour(-2, 5));
    expect(warmer.slice(14, 23).every((K) => K === 0)).toBe(true);
    expect(warmer.slice(0, 14).every((K) => Math.abs(K + 1) < 1e-12)).toBe(true);
    expect(taken(everyHour(2, 5)).every((K) => Math.abs(K - 1) < 1e-12)).toBe(true);
  });

  it('give no warmth to the hours around, and get none', () => {
    expect(taken(record({ 14: [-2, 5] })).every((K) => K === 0)).toBe(true);
    expect(taken(record({ 13: [-2, 5] }))[14]).toBe(0);
    expect(taken(record({ 13: [-2, 5] }))[12]).toBeLessThan(0);
  });

  it('are those of the place', () => {
    const noon = MIDNIGHT + 12 * 3600;
    const forecast = madeForecast([{ temperatureC: new Array<number>(25).fill(3) }]);
    const request = requestFor(forecast, { now: MIDNIGHT, errorLaw: null, record: everyHour(-2, 5) });
    const [member] = outlookOf(request).members;
    // Denver in December: the sun is up at noon and not at midnight.
    expect(member?.temperatureC[(noon - MIDNIGHT) / 3600]).toBe(3);
    expect(member?.temperatureC[0]).toBe(4);
  });
});

describe('in an outlook', () => {
  const FLAT = Array.from({ length: 97 }, () => 3);
  const outlook = (over: object) =>
    outlookOf(requestFor(madeForecast([{ temperatureC: FLAT }]), { errorLaw: null, ...over }));

  it('it is taken off, at its hour of the UTC day', () => {
    const { members } = outlook({ record: record({ 7: [2, 5] }) });
    // The first hour is 07 UTC.
    expect(members[0]?.temperatureC[0]).toBeCloseTo(2, 12);
    expect(members[0]?.temperatureC[24]).toBeCloseTo(2, 12);
    expect(members[0]?.temperatureC[12]).toBe(3);
  });

  it('what readings are held against is without it, and without the nights’ bias', () => {
    const { untaught, members } = outlook({ record: everyHour(2, 5), nightBiasK: 1 });
    expect([...untaught.meanC]).toEqual(FLAT);
    expect(members[0]?.temperatureC[0]).toBeLessThan(2);
  });
});

describe('nights that come out too warm', () => {
  const night = (over: object, air: object = {}) =>
    outlookOf(
      requestFor(madeForecast([{ temperatureC: [3, 3, 3, 3], ...air }]), {
        errorLaw: null,
        nightBiasK: 1,
        ...over,
      }),
    );
  const at = (lie: string): object => ({ spot: { ...BENCH, lie } });

  // 1 to 2 K too warm: ECMWF Forecast User Guide (found, check-values.md).
  it('are taken as colder when clear and calm, and not by day, under cloud or in wind', () => {
    expect(night({}).members[0]?.temperatureC[0]).toBe(2);
    expect(night({}, { cloudPercent: [100, 100, 100, 100] }).members[0]?.temperatureC[0]).toBe(3);
    expect(night({}, { windSpeedMps: [9, 9, 9, 9] }).members[0]?.temperatureC[0]).toBe(3);
    const noon = madeForecast([{ temperatureC: [3, 3] }], { firstHour: MIDNIGHT + 12 * 3600 });
    const byDay = outlookOf(requestFor(noon, { now: noon.firstHour, errorLaw: null, nightBiasK: 1 }));
    expect(byDay.members[0]?.temperatureC[0]).toBe(3);
    expect(night({}).assumptions.join()).toContain('up to 1 K (1.8 °F) are taken off');
  });

  it('are not colder by it where the lie takes off more already', () => {
    expect(night(at('unknown')).members[0]?.temperatureC[0]).toBe(1);
    expect(night(at('hollow')).members[0]?.temperatureC[0]).toBe(-1);
    expect(night(at('unknown')).assumptions.join()).not.toContain('come out too warm');
  });

  it('are left to readings where there are any, by how many', () => {
    const taught = (readings: number) =>
      night({ record: everyHour(0, readings) }).members[0]?.temperatureC[0];
    expect(taught(5)).toBeCloseTo(2.5, 12);
    expect(taught(45)).toBeCloseTo(2.9, 12);
    const stale = everyHour(0, 45, { lastReadingAt: MIDNIGHT - 8 * DAY });
    expect(night({ record: stale }).members[0]?.temperatureC[0]).toBe(2);
  });
});
