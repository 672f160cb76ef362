/** What can be done for a night's warmth: what it empties, what hangs on what, and what the newer takes back. */
import { describe, expect, it } from 'vitest';
import { MEASURES, emptiedBy, hasDucts, inOrder, joined, without } from '../../src/model/measure.ts';
import { buildUnit } from '../../src/model/catalogue.ts';
import type { HeatSpec, UnitSpec } from '../../src/model/unit.ts';

function spec(heat: HeatSpec | null, belly: UnitSpec['belly'] = 'enclosed'): UnitSpec {
  return {
    id: 'blue',
    kind: 'fifth-wheel',
    lengthM: null,
    slides: 0,
    belly,
    skirting: 'none',
    hoseConnected: true,
    heat,
    network: null,
    parts: { catalogue: true, add: [], without: [], own: [] },
  };
}

describe('a measure', () => {
  it('empties the circuit that it takes in or opens, in the order of the measures asked', () => {
    expect(emptiedBy(['shower-open', 'inlet-open', 'flush-open', 'hose-off'])).toEqual([
      'outside-shower',
      'inlet',
      'flush',
      'post',
    ]);
  });

  it('that draws water from a heated hose leaves the fresh tank to be empty', () => {
    expect(emptiedBy(['run-from-heated-hose'])).toEqual(['tank-fresh']);
  });

  it('empties a circuit that a unit has', () => {
    const circuits = buildUnit(spec(null)).parts.map(({ circuit }) => circuit);
    expect(circuits).toEqual(expect.arrayContaining([...emptiedBy(MEASURES)]));
  });

  it('empties nothing where it only shuts, lights or switches', () => {
    const dry = MEASURES.filter((measure) => emptiedBy([measure]).length === 0);
    expect(dry).toEqual(
      expect.arrayContaining([
        'run-from-tank',
        'hydrant-free',
        'supply-off',
        'furnace-on',
        'water-heater-on',
      ]),
    );
    expect(emptiedBy(dry)).toEqual([]);
  });
});

describe('a list without one of its measures', () => {
  it('is the rest, as it was', () => {
    const list = ['furnace-on', 'cupboards-open', 'taps-known'] as const;
    expect(without(list, 'cupboards-open')).toEqual(['furnace-on', 'taps-known']);
    expect(without(list, 'pads-off')).toEqual(list);
  });

  it('has none that makes sense only with it: with the hose on, the hydrant cannot drain', () => {
    const list = [
      'run-from-tank',
      'hose-off',
      'hydrant-free',
      'supply-off',
      'inlet-open',
      'flush-open',
    ] as const;
    expect(without(list, 'hose-off')).toEqual(['flush-open']);
    expect(without(list, 'hydrant-free')).toContain('hose-off');
  });
});

describe('a list in order', () => {
  it('has the water before the heat, and each measure once', () => {
    expect(inOrder(['water-heater-on', 'furnace-on', 'hose-off', 'furnace-on'])).toEqual([
      'hose-off',
      'furnace-on',
      'water-heater-on',
    ]);
  });
});

describe('what was asked before and what is asked now', () => {
  it('hold both', () => {
    expect(joined(['cupboards-open', 'hose-off'], ['hose-off', 'furnace-on'])).toEqual([
      'hose-off',
      'furnace-on',
      'cupboards-open',
    ]);
    expect(joined([], ['furnace-on'])).toEqual(['furnace-on']);
  });

  it('are of two ways of having water the newer', () => {
    const tank = ['run-from-tank', 'hose-off', 'hydrant-free', 'flush-open'] as const;
    const hose = ['run-from-heated-hose', 'flush-open'] as const;
    expect(joined(tank, hose)).toEqual(hose);
    expect(joined(hose, tank)).toEqual(tank);
  });

  it.each([
    ['water-heater-on', 'element-off'],
    ['tank-pads-on', 'pads-off'],
  ] as const)('are of %s and %s the newer: nobody is told both', (on, off) => {
    expect(joined(['furnace-on', on], ['furnace-on', off])).toEqual(['furnace-on', off]);
    expect(joined(['furnace-on', off], ['furnace-on', on])).toEqual(['furnace-on', on]);
  });
});

describe('ducts in the belly', () => {
  const FURNACE: HeatSpec = { setC: 18, furnaceW: 6000, ductedShare: null, running: false };

  it('are there where a furnace blows below, by its belly or by its share', () => {
    expect(hasDucts(spec(FURNACE, 'heated'))).toBe(true);
    expect(hasDucts(spec({ ...FURNACE, ductedShare: 0.04 }))).toBe(true);
    expect(hasDucts(spec({ ...FURNACE, ductedShare: 0 }))).toBe(false);
    expect(hasDucts(spec(FURNACE))).toBe(false);
  });

  it('are of no use without a furnace', () => {
    expect(hasDucts(spec({ ...FURNACE, furnaceW: 0 }, 'heated'))).toBe(false);
    expect(hasDucts(spec(null, 'heated'))).toBe(false);
  });
});
