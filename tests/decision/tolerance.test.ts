/** Cost-loss: act when p > C/L (Richardson 2000, found). The quotients are worked out by hand. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { tolerancesFromCosts, type ToleranceQuestion } from '../../src/decision/tolerance.ts';

const usual = DEFAULT_POLICY.tolerance;

/** Wet it loses 900; drained it loses 120 half the time. */
const TYPICAL: ToleranceQuestion = {
  ways: [
    { action: 'nothing', cost: 0, chance: 1, loss: 900 },
    { action: 'drain', cost: 30, chance: 0.5, loss: 60 },
    { action: 'winterize', cost: 60, chance: 0, loss: 0 },
  ],
  lossIfWet: 900,
  caution: 1,
  usual,
};

function of(over: Partial<ToleranceQuestion>) {
  return tolerancesFromCosts({ ...TYPICAL, ...over });
}

describe('a tolerance from costs', () => {
  it('is the least difference of cost over the loss: 30/900 for nothing, 30/120 for draining', () => {
    expect(of({})).toMatchObject({ nothing: 0.0333, drain: 0.25 });
  });

  it('is half as much with a caution of two', () => {
    expect(of({ caution: 2 })).toMatchObject({ nothing: 0.0167, drain: 0.125 });
  });

  it('is that of the wet unit where the action leaves no damage', () => {
    const nothing = { action: 'nothing', cost: 0, chance: 0, loss: 0 } as const;
    expect(of({ ways: [nothing, ...TYPICAL.ways.slice(1)], lossIfWet: 300 }).nothing).toBe(0.1);
  });

  it('takes the cheaper of two ways to do the same', () => {
    const air = { action: 'winterize', cost: 36, chance: 0.03, loss: 27 } as const;
    expect(of({ ways: [...TYPICAL.ways, air] }).drain).toBe(0.05);
  });

  it('starts from the cheaper of two ways of its own, with what that one leaves', () => {
    const quick = { action: 'drain', cost: 15, chance: 0.5, loss: 150 } as const;
    // 60 − 15 dollars against 150 / 0.5; by the dearer way 30 against 120.
    expect(of({ ways: [...TYPICAL.ways, quick] }).drain).toBe(0.15);
    expect(of({ ways: [quick, ...TYPICAL.ways] }).drain).toBe(0.15);
  });

  it('counts emptying what lies outside where that takes half of the chance away, and only there', () => {
    const part = (chance: number) =>
      ({ action: 'drain-part', cost: 18, chance, loss: 900 * chance }) as const;
    expect(of({ ways: [...TYPICAL.ways, part(0.5)] }).nothing).toBe(0.02);
    expect(of({ ways: [...TYPICAL.ways, part(0.51)] }).nothing).toBe(0.0333);
    // From 60 − 18 dollars for winterizing, or 30 − 18 for draining all, which is less.
    expect(of({ ways: [...TYPICAL.ways, part(0.5)] })['drain-part']).toBe(0.0133);
  });

  it('counts it, too, where this cold leaves no damage to either', () => {
    const dry = { chance: 0, loss: 0 } as const;
    const ways = [
      { action: 'nothing', cost: 0, ...dry },
      { action: 'drain-part', cost: 18, ...dry },
      { action: 'drain', cost: 30, ...dry },
    ] as const;
    expect(of({ ways }).nothing).toBe(0.02);
  });

  it('is as stated where the damage that comes costs nothing', () => {
    const ways = TYPICAL.ways.map((way) => ({ ...way, loss: 0 }));
    expect(of({ ways, lossIfWet: 0 })).toEqual(usual);
  });

  it('is as stated where nothing stronger is feasible, or this cold harms nothing', () => {
    expect(of({}).winterize).toBe(usual.winterize);
    expect(of({}).nothing).not.toBe(usual.nothing);
    const ways = TYPICAL.ways.map((way) => ({ ...way, chance: 0, loss: 0 }));
    expect(of({ ways, lossIfWet: null })).toEqual(usual);
  });

  it('is never under 0.01 nor over 0.5', () => {
    const cheap = TYPICAL.ways.map((way) => ({ ...way, cost: way.cost / 1000 }));
    const dear = TYPICAL.ways.map((way) => ({ ...way, cost: way.cost * 1000 }));
    expect(of({ ways: cheap })).toMatchObject({ nothing: 0.01, drain: 0.01 });
    expect(of({ ways: dear })).toMatchObject({ nothing: 0.5, drain: 0.5 });
  });
});
