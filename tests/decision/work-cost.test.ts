/** What work costs. Prices: common practice, no source; sums by hand. A gallon of propane is 4.24 lb: from memory. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_COSTS } from '../../src/decision/costs.ts';
import type { Work } from '../../src/decision/policy.ts';
import { workCost, type WorkDone } from '../../src/decision/work-cost.ts';
import type { Route } from '../../src/model/catalogue-work.ts';

const WORK: Work = { keepWarmMinutes: 10, drainMinutes: 45, winterizeMinutes: 90, travelMinutes: 15 };
const ROUTE: Route = {
  heater: 'bypass',
  pump: 'kit',
  heaterGallons: 6,
  antifreezeGallons: 3,
  airGallons: 1,
};
/** Travel makes it an hour. */
const DRAIN: WorkDone = { action: 'drain', method: null, minutes: 45, circuits: null, moreGasKg: 0 };
const WINTERIZE: WorkDone = { ...DRAIN, action: 'winterize', method: 'antifreeze' };

function cost(done: WorkDone, work: Work = WORK): number {
  return workCost(done, { work, route: ROUTE, costs: DEFAULT_COSTS });
}

describe('what work costs', () => {
  it('is nothing where nothing is done, whatever the way there', () => {
    expect(cost({ ...DRAIN, action: 'nothing', moreGasKg: 5 })).toBe(0);
  });

  it('is in dollars, by the hour, travel included: 25 of the owner’s, 130 of a crew’s', () => {
    expect(DEFAULT_COSTS.currency).toBe('USD');
    expect(cost(DRAIN)).toBe(25);
    expect(cost(DRAIN, { ...WORK, hands: 'owner' })).toBe(25);
    expect(cost(DRAIN, { ...WORK, hands: 'crew' })).toBe(130);
    expect(cost(DRAIN, { ...WORK, travelMinutes: 75 })).toBe(50);
  });

  it('is to the cent', () => {
    // 20 min of 25 dollars.
    expect(cost({ ...DRAIN, minutes: 5 })).toBe(8.33);
  });

  it('is with its antifreeze: three gallons at 7 for the lines, one after air, none for a drain', () => {
    expect(cost(WINTERIZE)).toBe(25 + 21);
    expect(cost({ ...WINTERIZE, method: 'air' })).toBe(25 + 7);
    expect(cost({ ...DRAIN, circuits: ['flush'] })).toBe(25);
  });

  it('of some circuits alone is with a quart each, and never with more than the whole takes', () => {
    expect(cost({ ...WINTERIZE, circuits: ['flush', 'inlet'] })).toBe(25 + 3.5);
    const many = Array.from({ length: 20 }, (_, i) => `own-${i}`);
    expect(cost({ ...WINTERIZE, circuits: many })).toBe(25 + 21);
  });

  it('is with the gas that it burns beyond what is burnt anyway, and less gas saves nothing', () => {
    const warm: WorkDone = { ...DRAIN, action: 'keep-warm' };
    const gallonKg = 4.24 * 0.453_592_37;
    expect(cost({ ...warm, moreGasKg: 2 * gallonKg })).toBeCloseTo(25 + 8, 1);
    expect(cost({ ...warm, moreGasKg: -2 })).toBe(25);
  });
});
