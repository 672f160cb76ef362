/**
 * The decaying average against `check-values.md`, Forecasts (NCEP's weight of 0.02; Cui and others 2012), and against
 * sums done by hand.
 */
import { describe, expect, it } from 'vitest';
import {
  decayed,
  learn,
  localRecord,
  pairsOf,
  weightAfter,
  type Evidence,
  type Pair,
} from '../../src/verify/bias.ts';
import type { LocalRecord } from '../../src/weather/local-record.ts';
import { seconds } from '../support/instants.ts';
import { Random } from '../support/random.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
const START = seconds('2026-12-01T00:00:00Z');

/** As at its last reading. */
function recordOf(evidence: Evidence, now = evidence.open.at(-1)?.at ?? START): LocalRecord {
  const record = localRecord(evidence, [], now);
  if (record === null) throw new Error('Nothing was learned.');
  return record;
}

/** At 06:00 of so many days, each with its error. */
function mornings(errorsK: readonly number[]): Pair[] {
  return errorsK.map((errorK, day) => ({ at: START + day * DAY + 6 * HOUR, errorK }));
}

describe('the decaying average', () => {
  it('has taken in 0.597 of a constant bias after 45 days at a weight of 0.02', () => {
    let biasK = 0;
    for (let day = 0; day < 45; day++) biasK = decayed(biasK, -3, 0.02);
    expect(biasK / -3).toBeCloseTo(0.597, 3);
  });

  it('is a plain mean of the first fifty, and then weighs each new one at 0.02', () => {
    expect([0, 1, 2, 48, 49, 50, 400].map((n) => weightAfter(n))).toEqual([
      1,
      1 / 2,
      1 / 3,
      1 / 49,
      0.02,
      0.02,
      0.02,
    ]);
  });
});

describe('what readings teach', () => {
  it('by hour of the UTC day: 2, 4 and 0 K at 06:00 are 2 K there, and nothing elsewhere', () => {
    const { biasK, readings, lastReadingAt } = recordOf(learn(null, { pairs: mornings([2, 4, 0]) }));
    expect(biasK.map((b) => Math.round(b * 1e9) / 1e9)).toEqual(
      Array.from({ length: 24 }, (_, hour) => (hour === 6 ? 2 : 0)),
    );
    expect(readings.map((n, hour) => [hour, n]).filter(([, n]) => n !== 0)).toEqual([[6, 3]]);
    expect(lastReadingAt).toBe(START + 2 * DAY + 6 * HOUR);
  });

  it('after 100 days at 4 K and 20 at 0 K is 4·0.98²⁰', () => {
    const errors = Array.from({ length: 120 }, (_, day) => (day < 100 ? 4 : 0));
    expect(recordOf(learn(null, { pairs: mornings(errors) })).biasK[6]).toBeCloseTo(4 * 0.98 ** 20, 9);
  });

  /** Halved in 30 days beyond the first three: engineering estimates. */
  it('counts less the longer nothing was read, and no more than the average remembers', () => {
    const winter = learn(null, { pairs: mornings(Array.from({ length: 120 }, () => -3)) });
    const last = START + 119 * DAY + 6 * HOUR;
    const left = (days: number): number => recordOf(winter, last + days * DAY).readings[6]!;
    expect([left(0), left(3), left(33), left(63)]).toEqual([50, 50, 25, 12.5]);
    const again = learn(winter, { pairs: [{ at: last + 303 * DAY, errorK: 1 }] });
    const { biasK, readings } = recordOf(again);
    const n = 50 / 2 ** 10;
    expect(readings[6]).toBeCloseTo(n + 1, 9);
    expect(biasK[6]).toBeCloseTo((-3 * n + 1) / (n + 1), 9);
    // Other hours were not read again.
    const all = mornings([2, 2]).flatMap(({ at, errorK }) => [
      { at, errorK },
      { at: at + HOUR, errorK },
    ]);
    const one = learn(learn(null, { pairs: all }), {
      pairs: [{ at: START + 64 * DAY + 6 * HOUR, errorK: 2 }],
    });
    expect(recordOf(one).readings[7]).toBeCloseTo(2 / 4, 1);
  });

  it('is what clear calm nights say, and little of cloudy ones', () => {
    // One at full weight, 27 at the least of 0.05: 5/(1 + 27·0.05) = 2.13 K.
    const pairs = mornings(Array.from({ length: 28 }, (_, day) => (day === 14 ? 5 : 0))).map((pair) => ({
      ...pair,
      weight: pair.errorK === 5 ? 1 : 0,
    }));
    const { biasK, readings, weighed } = recordOf(learn(null, { pairs }));
    expect(biasK[6]).toBeCloseTo(5 / 2.35, 9);
    expect(readings[6]).toBe(28);
    expect(weighed[6]).toBeCloseTo(2.35, 9);
    const alike = recordOf(learn(null, { pairs: pairs.map((pair) => ({ ...pair, weight: 1 })) }));
    expect(alike.biasK[6]).toBeCloseTo(5 / 28, 9);
    expect(alike.weighed).toEqual(alike.readings);
  });

  it('counts one reading an hour, the one nearest to it, and the earlier of two as near', () => {
    const at = START + 6 * HOUR;
    const pairs = [
      { at: at - 1500, errorK: 9 },
      { at: at + 600, errorK: 5 },
      { at: at - 600, errorK: 1 },
      { at: at + 1800, errorK: 7 },
    ];
    const { biasK, readings } = recordOf(learn(null, { pairs }));
    // Half past six belongs to seven.
    expect([biasK[6], biasK[7], readings[6], readings[7]]).toEqual([1, 7, 1, 1]);
  });

  it('comes to the same in whatever order and however often readings arrive', () => {
    const random = new Random(11);
    const pairs = Array.from({ length: 700 }, () => ({
      at: START + Math.round(random.between(0, 30 * DAY - HOUR)),
      errorK: random.between(-6, 6),
    }));
    const once = recordOf(learn(null, { pairs }));
    for (let round = 0; round < 20; round++) {
      const shuffled = pairs
        .map((pair) => ({ pair, key: random.next() }))
        .toSorted((x, y) => x.key - y.key)
        .map(({ pair }) => pair);
      let evidence: Evidence | null = null;
      for (let i = 0; i < shuffled.length; i += 50) {
        evidence = learn(evidence, { pairs: [...shuffled.slice(i, i + 50), ...shuffled.slice(0, 3)] });
        // As the store keeps it.
        evidence = JSON.parse(JSON.stringify(evidence)) as Evidence;
      }
      expect(recordOf(evidence!)).toEqual(once);
    }
  });

  it('comes to the same day by day over a winter as at once', () => {
    const random = new Random(5);
    const pairs = Array.from({ length: 150 * 24 }, (_, hour) => ({
      at: START + hour * HOUR,
      errorK: random.between(-3, 5),
    }));
    let evidence: Evidence | null = null;
    for (let day = 0; day < 150; day++)
      evidence = learn(evidence, { pairs: pairs.slice(Math.max(0, day - 3) * 24, (day + 1) * 24) });
    expect(recordOf(evidence!)).toEqual(recordOf(learn(null, { pairs })));
    expect(evidence!.open.length).toBeLessThanOrEqual(30 * 24 + 1);
  });

  it('takes a reading back that is no longer believed, and nothing of before the last 30 days', () => {
    const pairs = mornings([1, 1, 10]);
    const evidence = learn(null, { pairs });
    const mended = learn(evidence, { pairs: [], doubted: [pairs[2]!.at] });
    expect(recordOf(mended)).toEqual(recordOf(learn(null, { pairs: pairs.slice(0, 2) })));

    const late = learn(null, { pairs: mornings(Array.from({ length: 60 }, () => 2)) });
    const again = learn(late, { pairs: [{ at: START + 7 * HOUR, errorK: 50 }], doubted: [START + 6 * HOUR] });
    expect(recordOf(again)).toEqual(recordOf(late));
  });

  it('is nothing from an hour of which a reading was doubted once, also when it comes again undoubted', () => {
    const pairs = mornings([1, 10, 1]);
    const wrong = pairs[1]!;
    let evidence = learn(null, { pairs: pairs.slice(0, 1), doubted: [wrong.at] });
    evidence = JSON.parse(JSON.stringify(evidence)) as Evidence;
    evidence = learn(evidence, { pairs: [...pairs, { at: wrong.at + 60, errorK: 9 }] });
    expect(recordOf(evidence).biasK[6]).toBe(1);
    expect(recordOf(evidence).readings[6]).toBe(2);
  });

  it('stays small with a clock that is years ahead', () => {
    let evidence: Evidence | null = null;
    for (let day = 0; day < 100; day++) {
      const doubted = Array.from({ length: 24 }, (_, hour) => START + 4000 * DAY + day * DAY + hour * HOUR);
      evidence = learn(evidence, { pairs: [], doubted });
    }
    expect(evidence!.doubtedHours).toHaveLength(1440);
    expect(localRecord(evidence!, [], START)).toBeNull();
  });

  it('of no reading, of an unknown one, and of the only one taken back, is nothing', () => {
    const unknown = learn(null, { pairs: [{ at: START, errorK: NaN }] });
    expect(localRecord(unknown, [], START)).toBeNull();
    expect(localRecord(learn(null, { pairs: [] }), [], START)).toBeNull();
    const only = learn(null, { pairs: [{ at: START, errorK: 3 }] });
    expect(recordOf(learn(only, { pairs: [], doubted: [START] })).readings.every((n) => n === 0)).toBe(true);
  });
});

describe('pairs', () => {
  const forecast = { firstHour: START, temperatureC: [0, 2, NaN, -4] };

  it('hold a reading against the forecast of that instant', () => {
    const readings = [
      { at: START, temperatureC: -1 },
      { at: START + HOUR / 4, temperatureC: -1 },
      { at: START + 3 * HOUR, temperatureC: 0 },
    ];
    expect(pairsOf(forecast, readings).map((pair) => pair.errorK)).toEqual([1, 1.5, -4]);
  });

  it('carry what the hour tells, in between too', () => {
    const at = START + HOUR / 2;
    const said = { ...forecast, weight: [1, 0.5, 1, 0] };
    expect(pairsOf(said, [{ at, temperatureC: 0 }])).toEqual([{ at, errorK: 1, weight: 0.75 }]);
  });

  it('are not made where the forecast or the reading is unknown', () => {
    const ats = [START - 60, START + 1.5 * HOUR, START + 2 * HOUR, START + 2.5 * HOUR, START + 3 * HOUR + 1];
    const readings = [...ats.map((at) => ({ at, temperatureC: 0 })), { at: START, temperatureC: NaN }];
    expect(pairsOf(forecast, readings)).toEqual([]);
  });
});
