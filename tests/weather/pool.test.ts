/** Members of a single forecast and of ensembles: weights, spread, horizon, the middle one. */
import { describe, expect, it } from 'vitest';
import { errorDeviationK } from '../../src/weather/error-law.ts';
import type { ForecastMember } from '../../src/weather/forecast.ts';
import type { LocalRecord, SpreadRecord } from '../../src/weather/local-record.ts';
import { outlookOf, type OutlookRequest } from '../../src/weather/outlook.ts';
import { gaussian } from '../support/law-errors.ts';
import { LAW, MIDNIGHT, madeForecast, requestFor } from '../support/made-forecast.ts';
import { Random } from '../support/random.ts';

const HOUR = 3600;
const FLAT = Array.from({ length: 241 }, () => 3);

/** Each off by a value of its own, that is kept. */
function ensemble(
  model: string,
  count: number,
  deviationK: number,
  hours = FLAT.length,
): Partial<ForecastMember>[] {
  const random = new Random(count);
  return Array.from({ length: count }, () => {
    const off = deviationK * gaussian(random);
    return { model, temperatureC: FLAT.map((t, h) => (h < hours ? t + off : Number.NaN)) };
  });
}

function outlook(members: readonly Partial<ForecastMember>[], over: Partial<OutlookRequest> = {}) {
  return outlookOf(requestFor(madeForecast(members), over));
}

type Made = ReturnType<typeof outlook>['members'];

function meanAt(members: Made, hour: number): number {
  const total = members.reduce((sum, m) => sum + m.weight, 0);
  return members.reduce((sum, m) => sum + m.weight * m.temperatureC[hour]!, 0) / total;
}

function deviationAt(members: Made, hour: number): number {
  const [mean, total] = [meanAt(members, hour), members.reduce((sum, m) => sum + m.weight, 0)];
  const square = members.reduce((sum, m) => sum + m.weight * (m.temperatureC[hour]! - mean) ** 2, 0);
  return Math.sqrt(square / total);
}

function recordOf(spread: readonly SpreadRecord[]): LocalRecord {
  const none = Array.from({ length: 24 }, () => 0);
  return { biasK: none, readings: none, weighed: none, lastReadingAt: MIDNIGHT, spread };
}

const SINGLE = { temperatureC: FLAT };

describe('a pool', () => {
  it('gives each model its share, however many members it has', () => {
    const { members, assumptions } = outlook([SINGLE, ...ensemble('a', 30, 2), ...ensemble('b', 20, 2)]);
    const weight = (from: number, to: number): number =>
      members.slice(from, to).reduce((sum, m) => sum + m.weight, 0);
    expect(members).toHaveLength(51 + 30 + 20);
    for (const part of [weight(0, 51), weight(51, 81), weight(81, 101)]) expect(part).toBeCloseTo(1 / 3, 12);
    expect(assumptions).toContain(
      'Pooled by weight: the single forecast 33 %, a (30 members) 33 %, b (20 members) 33 %.',
    );
  });

  it('gives models the weights that are asked for', () => {
    const { members } = outlook([SINGLE, ...ensemble('a', 30, 2)], { modelWeights: { '': 1, a: 3 } });
    expect(members.slice(51).reduce((sum, m) => sum + m.weight, 0)).toBeCloseTo(0.75, 12);
  });

  it('has the weighted lower median as its middle, and its smallest weight as its resolution', () => {
    const { members, middle, resolution } = outlook([SINGLE, ...ensemble('a', 30, 2)]);
    expect(resolution).toBeCloseTo(0.5 / 51, 12);
    const cold = (m: Made[number]): number => m.temperatureC.reduce((sum, t) => sum + Math.max(0, -t), 0);
    const colder = members.filter((m) => cold(m) > cold(members[middle]!));
    const milder = members.filter((m) => cold(m) < cold(members[middle]!));
    for (const half of [colder, milder])
      expect(half.reduce((sum, m) => sum + m.weight, 0)).toBeLessThanOrEqual(0.5 + 1e-9);
  });
});

describe('an ensemble', () => {
  for (const count of [2, 3, 20, 31, 50]) {
    it(`of ${count} stands apart by the stated law at least, about its own mean`, () => {
      const raw = ensemble('a', count, 0.5);
      const { members } = outlook(raw);
      for (const hour of [0, 12, 48, 66, 120, 240]) {
        const mean = raw.reduce((sum, m) => sum + m.temperatureC![hour]!, 0) / count;
        expect(meanAt(members, hour)).toBeCloseTo(mean, 9);
        expect(deviationAt(members, hour)).toBeGreaterThanOrEqual(errorDeviationK(LAW, hour * HOUR) - 1e-9);
        // Where its own spread is less, no more than the law, but for what errors share with members.
        expect(deviationAt(members, hour)).toBeLessThan(
          count < 20 ? 9 : 1.35 * errorDeviationK(LAW, hour * HOUR),
        );
      }
    });
  }

  it('that stands further apart than the law is left as it is', () => {
    const raw = ensemble('a', 31, 9);
    const { members } = outlook(raw);
    members.forEach((m, i) => expect(m.temperatureC[48]).toBeCloseTo(raw[i]!.temperatureC![48]!, 9));
  });

  it('taken at its word is left as it is', () => {
    const raw = ensemble('a', 31, 0.5);
    const { members } = outlook(raw, { errorLaw: null });
    members.forEach((m, i) => expect([...m.temperatureC]).toEqual(raw[i]!.temperatureC));
  });

  it('has no errors in hours that have passed', () => {
    const raw = ensemble('a', 31, 0.5);
    const { members } = outlook(raw, { now: MIDNIGHT + 30.5 * HOUR });
    members.forEach((m, i) =>
      expect(Array.from(m.temperatureC.subarray(0, 31))).toEqual(raw[i]!.temperatureC!.slice(0, 31)),
    );
    expect(members[0]?.temperatureC[31]).not.toBe(raw[0]!.temperatureC![31]);
  });
});

describe('the record of a place', () => {
  // Worked by hand: 1 + (ratio − 1)·days/(days + 10).
  const record = recordOf([
    { leadDay: 0, days: 30, errorK: 4, memberK: 2 },
    { leadDay: 2, days: 30, errorK: 4, memberK: 2 },
  ]);

  it('stretches members by how far errors exceed their spread, shrunk by its days', () => {
    const raw = ensemble('a', 31, 9);
    const { members } = outlook(raw, { record });
    const mean = raw.reduce((sum, m) => sum + m.temperatureC![24]!, 0) / 31;
    members.forEach((m, i) =>
      expect(m.temperatureC[24]! - mean).toBeCloseTo(1.75 * (raw[i]!.temperatureC![24]! - mean), 9),
    );
  });

  it('never stretches them by less than 0.8 or more than 3', () => {
    const raw = ensemble('a', 31, 30);
    for (const [errorK, factor] of [
      [0.01, 0.8],
      [99, 3],
    ] as const) {
      const over = recordOf([{ leadDay: 0, days: 1e6, errorK, memberK: 2 }]);
      const { members } = outlook(raw, { record: over });
      const mean = raw.reduce((sum, m) => sum + m.temperatureC![24]!, 0) / 31;
      expect((members[3]!.temperatureC[24]! - mean) / (raw[3]!.temperatureC![24]! - mean)).toBeCloseTo(
        factor,
        9,
      );
    }
  });

  it('takes the place of the stated law, for a single forecast too', () => {
    // At lead 0 the law has 1 K, and the record 4: 1 + 3·30/40.
    const single = outlook([SINGLE], { record });
    expect(deviationAt(single.members, 0) / deviationAt(outlook([SINGLE]).members, 0)).toBeCloseTo(3.25, 9);
    // Beyond its last lead day the same factor: 1 + (4/1.6 − 1)·0.75.
    expect(deviationAt(single.members, 120) / deviationAt(outlook([SINGLE]).members, 120)).toBeCloseTo(
      2.125,
      9,
    );
    expect(deviationAt(outlook(ensemble('a', 31, 0.1), { record }).members, 0)).toBeGreaterThan(3.24);
  });

  it('that says nothing, or nonsense, changes nothing', () => {
    const nonsense = recordOf([{ leadDay: 1, days: 0, errorK: Number.NaN, memberK: 0 }]);
    const plain = outlook([SINGLE, ...ensemble('a', 20, 1)]);
    expect(outlook([SINGLE, ...ensemble('a', 20, 1)], { record: nonsense }).members).toEqual(plain.members);
  });

  it('is held against what members were before it', () => {
    const raw = ensemble('a', 31, 0.5);
    const { untaught } = outlook(raw, { record });
    const values = raw.map((m) => m.temperatureC![24]!);
    const mean = values.reduce((sum, t) => sum + t, 0) / 31;
    expect(untaught.meanC[24]).toBeCloseTo(mean, 9);
    expect(untaught.deviationK[24]).toBeCloseTo(
      Math.sqrt(values.reduce((sum, t) => sum + (t - mean) ** 2, 0) / 31),
      9,
    );
  });
});

describe('a model that ends sooner than the rest', () => {
  it('does not cut them: its members follow the longest, as far off as they were', () => {
    const rising = FLAT.map((t, h) => t + h / 100);
    const raw = ensemble('a', 20, 2, 100);
    const { hours, members, assumptions } = outlook([{ temperatureC: rising }, ...raw], { errorLaw: null });
    expect(hours).toBe(241);
    members.slice(1).forEach((m, i) => {
      const last = raw[i]!.temperatureC![99]!;
      expect(m.temperatureC[99]).toBe(last);
      // Hour 200 is of the same time of day as hour 80, the last such that they know.
      expect(m.temperatureC[200]).toBeCloseTo(last + 1.2, 9);
    });
    expect(assumptions).toContain(
      'The ensemble a ends after 99 of 240 h; from there its members follow the rest.',
    );
  });

  it('at any hour: its days do not become nights, nor its nights days', () => {
    // Nights alike, days 10 K warmer than those of the rest.
    const wave = (low: number, high: number) =>
      FLAT.map((_, h) => (low + high) / 2 - ((high - low) / 2) * Math.cos((2 * Math.PI * (h - 5)) / 24));
    for (let end = 73; end < 100; end++) {
      const short = wave(-6, 14).map((t, h) => (h < end ? t : Number.NaN));
      const members = [0, 1].map((k) => ({ model: 'a', temperatureC: short.map((t) => t + k) }));
      const found = outlook([{ temperatureC: wave(-6, 4) }, ...members], { errorLaw: null }).members;
      wave(-6, 14).forEach((t, h) => {
        expect(found[1]?.temperatureC[h]).toBeCloseTo(t, 9);
        expect(found[2]?.temperatureC[h]).toBeCloseTo(t + 1, 9);
      });
    }
  });

  it('within 72 h is left out, and that is said', () => {
    const { members, assumptions } = outlook([SINGLE, ...ensemble('a', 20, 2, 60)]);
    expect(members).toHaveLength(51);
    expect(assumptions).toContain('The ensemble a ends within 72 h and is left out.');
  });

  it('does not know the present hour: it is left out; the rest stand', () => {
    const late = ensemble('a', 20, 2).map((m) => ({
      ...m,
      temperatureC: m.temperatureC!.map((t, h) => (h < 9 ? Number.NaN : t)),
    }));
    const { members, assumptions } = outlook([SINGLE, ...late]);
    expect(members).toHaveLength(51);
    expect(assumptions.join()).toContain('The ensemble a is left out: meteo: the present hour is unknown.');
  });

  it('a single forecast that jumps leaves the ensembles standing', () => {
    const jump = FLAT.map((t, h) => (h < 30 ? t : t - 30));
    const { hours, members, endsAtHole } = outlook([{ temperatureC: jump }, ...ensemble('a', 20, 2)]);
    expect([hours, members.length, endsAtHole]).toEqual([241, 20, false]);
  });

  it('one member that ends sooner than its fellows does not cut them', () => {
    const raw = ensemble('a', 20, 2).map((m, i) =>
      i === 7 ? { ...m, temperatureC: m.temperatureC!.map((t, h) => (h > 80 ? Number.NaN : t)) } : m,
    );
    const { hours, members, assumptions } = outlook(raw);
    expect([hours, members.length]).toEqual([241, 19]);
    expect(assumptions).toContain('1 of 20 members of a end sooner than the others and are left out.');
  });

  it('all of which end on one short day keep each other', () => {
    const { hours, members } = outlook([...ensemble('a', 20, 2, 50), ...ensemble('b', 21, 2, 50)]);
    expect([hours, members.length]).toEqual([50, 41]);
  });
});

it('an outlook says which of its hours lie between steps, up to its horizon', () => {
  const stepHours = FLAT.map((_, h) => (h < 50 ? 1 : 6));
  const steps = FLAT.map((t, h) => (h < 50 || (h + 7) % 6 === 0 ? t : Number.NaN));
  const { stretches, hours } = outlook([{ temperatureC: steps, stepHours }], { horizonHours: 300 });
  // The last step of the series that the six divides: 18 UTC, hour 239 of a series from 07 UTC.
  expect(hours).toBe(240);
  expect(
    stretches.slice(0, 5).map((s) => [(s.from - MIDNIGHT) / HOUR, (s.to - MIDNIGHT) / HOUR, s.what]),
  ).toEqual([
    [-72, -1, 'unknown'],
    [0, 49, 'forecast'],
    [50, 52, 'between steps'],
    [53, 53, 'forecast'],
    [54, 58, 'between steps'],
  ]);
  expect(stretches.at(-1)).toMatchObject({ to: MIDNIGHT + 300 * HOUR, what: 'unknown' });
  expect(stretches.every((s, i) => i === 0 || s.from === stretches[i - 1]!.to + HOUR)).toBe(true);
});
