/** What is said of one circuit and cannot be. Common practice of the trade, no source. */
import { describe, expect, it } from 'vitest';
import { whyNot, type WaterKind } from '../../src/model/water-state.ts';

const CIRCUITS: Readonly<Record<string, readonly string[]>> = {
  'trap-kitchen': ['kitchen-trap'],
  'tank-fresh': ['fresh-tank', 'petcock'],
  post: ['hose', 'regulator'],
  softener: ['water-softener'],
  filters: ['canister-filter', 'water-softener'],
  cold: ['pump-head', 'canister-filter'],
  heater: ['heater-tank'],
};

function refused(kind: WaterKind): string[] {
  return Object.entries(CIRCUITS)
    .filter(([circuit, parts]) => whyNot(kind, { circuit, parts }) !== null)
    .map(([circuit]) => circuit);
}

describe('a circuit by itself', () => {
  it('is not emptied by air where it is a trap or a tank', () => {
    expect(refused('blown')).toEqual(['trap-kitchen', 'tank-fresh']);
  });

  it('takes no antifreeze where that never goes: hose, softener, canister filter', () => {
    expect(refused('antifreeze')).toEqual(['post', 'softener', 'filters']);
  });

  it('may hold water, be drained or be unknown, whatever it is', () => {
    expect((['wet', 'unknown', 'drained'] as const).flatMap(refused)).toEqual([]);
  });

  it('says what can be said instead', () => {
    const why = whyNot('antifreeze', { circuit: 'softener', parts: ['water-softener'] });
    expect(why).toMatch(/bypass it, drain it and say drained\.$/);
  });
});
