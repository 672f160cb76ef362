/** The water after the list for dusk, and cold that begins, ends or lasts exactly at an instant that matters. */
import { describe, expect, it } from 'vitest';
import { emptiedAtDusk, findCold, type ColdAsked } from '../../src/model/damage.ts';
import type { CircuitState, UnitWater } from '../../src/model/water-state.ts';

const HOUR = 3600;
const by = { since: 5000, by: 'ann' } as const;
const EMPTIED: CircuitState = { state: { kind: 'drained', quality: 'well' }, ...by };
const WET: CircuitState = { state: { kind: 'wet' }, since: null, by: null };
const BLOWN: CircuitState = { state: { kind: 'blown' }, since: 1000, by: null };
const FILLED: CircuitState = {
  state: { kind: 'antifreeze', concentrationPercent: 28 },
  since: 1000,
  by: null,
};

function water(circuits: UnitWater['circuits'] = {}): UnitWater {
  return { all: WET, circuits };
}

describe('the list for dusk', () => {
  it('empties hose, inlet, flush line and outside shower, well, and nothing else', () => {
    expect(emptiedAtDusk(water(), by)).toEqual({
      post: EMPTIED,
      inlet: EMPTIED,
      flush: EMPTIED,
      'outside-shower': EMPTIED,
    });
  });

  it('leaves what was blown out or holds antifreeze, and what is said of other circuits', () => {
    const after = emptiedAtDusk(water({ inlet: BLOWN, flush: FILLED, cold: BLOWN, post: WET }), by);
    expect(after).toEqual({
      post: EMPTIED,
      inlet: BLOWN,
      flush: FILLED,
      'outside-shower': EMPTIED,
      cold: BLOWN,
    });
  });

  it('empties again what was drained in a hurry', () => {
    const hurried: CircuitState = { state: { kind: 'drained', quality: 'quick' }, since: 1000, by: null };
    expect(emptiedAtDusk(water({ flush: hurried }), by)['flush']).toEqual(EMPTIED);
  });

  it('cannot empty what ice closes', () => {
    const after = emptiedAtDusk(water(), by, { frozen: new Set(['inlet']) });
    expect(Object.keys(after).toSorted()).toEqual(['flush', 'outside-shower', 'post']);
  });
});

describe('cold that lasts two hours at −4 °C', () => {
  const ASKED = { atC: -4, hours: 2, firstHour: 0, from: 0, until: Infinity, now: -1 };
  const NEVER = { before: -Infinity, after: Infinity };

  function found(values: readonly number[], over: Partial<ColdAsked> = {}) {
    const into = { before: Number.NaN, after: Number.NaN };
    findCold(Float64Array.from(values), { ...ASKED, ...over }, into);
    return into;
  }

  const COLD = [-6, -6, -6, -6, -6];

  it('counts as past at the very instant that is now', () => {
    expect(found(COLD, { now: 2 * HOUR })).toEqual({ before: 2 * HOUR, after: Infinity });
    expect(found(COLD, { now: 2 * HOUR - 1 })).toEqual({ before: -Infinity, after: 2 * HOUR });
  });

  it('counts up to the very end of what is asked for', () => {
    expect(found(COLD, { until: 2 * HOUR }).after).toBe(2 * HOUR);
    expect(found(COLD, { until: 2 * HOUR - 1 })).toEqual(NEVER);
  });

  it('is counted from where the question begins, whole hour or not', () => {
    expect(found(COLD, { from: HOUR }).after).toBe(3 * HOUR);
    expect(found(COLD, { from: 1.25 * HOUR }).after).toBe(3.25 * HOUR);
    expect(found(COLD, { from: 2 * HOUR + 1 })).toEqual(NEVER);
    // What ended before the question does not count, within its hour or before.
    expect(found([-6, -6, -6, -2, -2], { from: 2.75 * HOUR })).toEqual(NEVER);
  });

  it('is told once for each stretch: the last that is past, the first that is to come', () => {
    const waves = [-6, -6, -6, -6, -2, -6, -6, -6, -6, -2, -6, -6, -6, -6];
    // Each later stretch begins and ends half way between −2 and −6 °C, half an hour from the hour.
    expect(found(waves, { now: 8 * HOUR })).toEqual({ before: 6.5 * HOUR, after: 11.5 * HOUR });
    expect(found(waves, { now: 20 * HOUR })).toEqual({ before: 11.5 * HOUR, after: Infinity });
    expect(found(waves)).toEqual({ before: -Infinity, after: 2 * HOUR });
  });

  it('of no hours is the first touch', () => {
    expect(found([0, -4, 0], { hours: 0 }).after).toBe(HOUR);
    expect(found([0, -3.9, 0], { hours: 0 })).toEqual(NEVER);
    expect(found([0, -4, 0], { hours: 0, from: HOUR }).after).toBe(HOUR);
  });
});
