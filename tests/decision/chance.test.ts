/** Chances as sums of the weights of members, and the instants by which a share of them has failed. */
import { describe, expect, it } from 'vitest';
import { chanceOfDamage, chanceOfPart, firstDamage } from '../../src/decision/chance.ts';
import type { ScenarioRisk } from '../../src/model/risk.ts';

const { POSITIVE_INFINITY: NEVER } = Number;

interface Members {
  readonly weights: readonly number[];
  readonly firstAt: readonly number[];
  readonly partAt?: readonly number[];
}

function risk({ weights, firstAt, partAt = firstAt }: Members): ScenarioRisk {
  return {
    weights: Float64Array.from(weights),
    firstAt: Float64Array.from(firstAt),
    firstPart: new Int32Array(weights.length),
    partAt: Float64Array.from(partAt),
    lastBefore: new Float64Array(weights.length).fill(-NEVER),
  };
}

describe('the chance of damage', () => {
  it('is the weight of the members that fail in time, an instant that is the last one included', () => {
    const three = risk({ weights: [0.5, 0.3, 0.2], firstAt: [NEVER, 100, 200] });
    expect([99, 100, 199, 200, NEVER].map((until) => chanceOfDamage(three, until))).toEqual([
      0, 0.3, 0.3, 0.5, 1,
    ]);
    expect(chanceOfDamage(three, 1e12)).toBe(0.5);
  });

  it('is the same number whatever the order of the members, and never above one', () => {
    const tenths = Array.from({ length: 10 }, () => 0.1);
    const all = risk({ weights: tenths, firstAt: tenths.map(() => 1) });
    expect(chanceOfDamage(all, 1)).toBe(1);
    const mixed = [0.1, 0.7, 0.2];
    const one = risk({ weights: mixed, firstAt: [1, 1, NEVER] });
    const other = risk({ weights: mixed.toReversed(), firstAt: [NEVER, 1, 1] });
    expect(chanceOfDamage(one, 1)).toBe(0.8);
    expect(chanceOfDamage(other, 1)).toBe(0.8);
    const heavy = risk({ weights: [0.6, 0.6], firstAt: [1, 1] });
    expect(chanceOfDamage(heavy, 1)).toBe(1);
  });

  it('of one part counts the members in which that part fails', () => {
    // Three members, two parts each.
    const partAt = [10, NEVER, NEVER, 20, 30, 40];
    const two = risk({ weights: [0.5, 0.3, 0.2], firstAt: [10, 20, 30], partAt });
    expect(chanceOfPart(two, 0, 100)).toBe(0.7);
    expect(chanceOfPart(two, 1, 100)).toBe(0.5);
    expect(chanceOfPart(two, 1, 20)).toBe(0.3);
    expect(chanceOfPart(two, 0, 9)).toBe(0);
  });
});

describe('the first damage over all members', () => {
  // In no order, and two of them fail at once.
  const five = risk({ weights: [0.2, 0.2, 0.2, 0.2, 0.2], firstAt: [300, 100, NEVER, 400, 300] });

  it('is at the earliest that of the first member, and by half that of the middle one', () => {
    expect(firstDamage(five, 0.05)).toMatchObject({ earliest: 100, median: 300 });
  });

  it('has its deadline where half of the accepted chance is used, a tenth at most', () => {
    const quantiles = [0.05, 0.1, 0.2, 0.25, 1].map((t) => firstDamage(five, t).deadlineQuantile);
    expect(quantiles).toEqual([0.025, 0.05, 0.1, 0.1, 0.1]);
    const fine = risk({
      weights: [0.02, 0.03, 0.06, 0.89],
      firstAt: [10, 20, 30, 40],
    });
    expect(firstDamage(fine, 0.03).deadlineAt).toBe(10);
    // 2 and 3 % make 5 %: the deadline of a tolerance of 10 % is where it is reached, not where it is passed.
    expect(firstDamage(fine, 0.1).deadlineAt).toBe(20);
    expect(firstDamage(fine, 0.25).deadlineAt).toBe(30);
  });

  it('is reached by sums that fall short by a rounding error alone', () => {
    // Three times 0.1 is 0.30000000000000004, eight times 0.0125 is 0.1 less an error.
    const eighths = Array.from({ length: 80 }, () => 0.0125);
    const eighty = risk({ weights: eighths, firstAt: eighths.map((_, i) => i) });
    expect(firstDamage(eighty, 1).deadlineAt).toBe(7);
    expect(firstDamage(eighty, 1).median).toBe(39);
  });

  it('is never where less than the share is ever damaged, for the undamaged count', () => {
    const few = risk({ weights: [0.04, 0.96], firstAt: [50, NEVER] });
    expect(firstDamage(few, 0.1)).toEqual({
      earliest: 50,
      deadlineQuantile: 0.05,
      deadlineAt: null,
      median: null,
    });
    const none = risk({ weights: [1], firstAt: [NEVER] });
    expect(firstDamage(none, 0.05)).toMatchObject({ earliest: null, deadlineAt: null, median: null });
  });
});
