/** What is in a circuit of which something, or nothing, is said; and what cannot be in it. */
import { describe, expect, it } from 'vitest';
import {
  circuitState,
  isWet,
  whyNot,
  type CircuitState,
  type UnitWater,
  type WaterState,
} from '../../src/model/water-state.ts';
import { isTrap } from '../../src/model/circuit-names.ts';

const by = { since: 1000, by: 'ann' } as const;
const DRAINED: CircuitState = { state: { kind: 'drained', quality: 'well' }, ...by };
const BLOWN: CircuitState = { state: { kind: 'blown' }, ...by };

function water(all: CircuitState, circuits: UnitWater['circuits'] = {}): UnitWater {
  return { all, circuits };
}

describe('what is in a circuit', () => {
  it('is what is said of it, else what is said of the whole unit', () => {
    const some = water(BLOWN, { cold: DRAINED });
    expect(circuitState(some, 'cold')).toEqual(DRAINED);
    expect(circuitState(some, 'hot')).toEqual(BLOWN);
  });

  it('is still water in a trap when the unit was drained or blown out, and nobody knows since when', () => {
    const full = { state: { kind: 'wet' }, since: null, by: null };
    expect(circuitState(water(DRAINED), 'trap-sink')).toEqual(full);
    expect(circuitState(water(DRAINED), 'cold')).toEqual(DRAINED);
    expect(circuitState(water(BLOWN), 'trap-sink')).toEqual(full);
    expect(circuitState(water(BLOWN), 'cold')).toEqual(BLOWN);
    expect(circuitState(water(DRAINED, { 'trap-sink': DRAINED }), 'trap-sink')).toEqual(DRAINED);
  });

  it('is nothing in a tank of a unit that was blown out: its drain was opened first', () => {
    expect(circuitState(water(BLOWN), 'tank-fresh')).toEqual(DRAINED);
  });

  it('is not taken from what a language gives to every record', () => {
    expect(circuitState(water(BLOWN), 'constructor')).toEqual(BLOWN);
  });
});

it('unknown counts as wet, and nothing else does', () => {
  const states: WaterState[] = [
    { kind: 'wet' },
    { kind: 'unknown' },
    { kind: 'drained', quality: 'quick' },
    { kind: 'blown' },
    { kind: 'antifreeze', concentrationPercent: 28 },
  ];
  expect(states.map(isWet)).toEqual([true, true, false, false, false]);
});

it('a trap is told by the start of its name', () => {
  expect(['trap-sink', 'cold', 'mouse-trap-', 'trap'].map(isTrap)).toEqual([true, false, false, false]);
});

describe('what cannot be', () => {
  const cannot = (
    state: WaterState['kind'],
    circuit: string,
    parts: readonly string[] = ['pump-head'],
  ): boolean => whyNot(state, { circuit, parts }) !== null;

  it('is air in a trap or a tank, which it does not empty', () => {
    expect(cannot('blown', 'trap-sink')).toBe(true);
    expect(cannot('blown', 'tank-fresh')).toBe(true);
    for (const circuit of ['cold', 'post', 'flush', 'heater']) expect(cannot('blown', circuit)).toBe(false);
    expect(whyNot('blown', { circuit: 'trap-sink', parts: [] })).toMatch(/trap.*by hand and say drained/);
    expect(whyNot('blown', { circuit: 'tank-grey', parts: [] })).toMatch(/tank.*say drained/);
  });

  it('is antifreeze at the post, in a softener or in a canister filter', () => {
    expect(cannot('antifreeze', 'post')).toBe(true);
    for (const id of ['water-softener', 'canister-filter', 'post-filter'])
      expect(cannot('antifreeze', 'own', [id]), id).toBe(true);
    expect(cannot('antifreeze', 'own', ['water-softener', 'canister-filter'])).toBe(true);
  });

  it('is no antifreeze in a circuit that has other parts, too, in a trap or in a tank', () => {
    expect(cannot('antifreeze', 'cold', ['pump-head', 'canister-filter'])).toBe(false);
    expect(cannot('antifreeze', 'cold', [])).toBe(false);
    for (const circuit of ['trap-sink', 'tank-black', 'cold'])
      expect(cannot('antifreeze', circuit)).toBe(false);
  });

  it.each(['wet', 'unknown', 'drained'] as const)('%s can be anywhere', (state) => {
    for (const circuit of ['trap-sink', 'tank-fresh', 'post', 'cold'])
      expect(cannot(state, circuit, ['canister-filter'])).toBe(false);
  });
});
