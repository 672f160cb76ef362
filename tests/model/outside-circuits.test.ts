/** What can be let out alone, with the lines inside in use. Common practice, no source. */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { outsideCircuits } from '../../src/model/outside-circuits.ts';
import type { Part, UnitModel, ZoneId } from '../../src/model/unit.ts';
import { plainPart } from '../support/plain-part.ts';

const TRAILER = buildUnit({
  id: 'blue',
  kind: 'travel-trailer',
  lengthM: null,
  slides: 0,
  belly: 'open',
  skirting: 'none',
  hoseConnected: true,
  heat: null,
  network: null,
  parts: { catalogue: true, add: ['outside-kitchen', 'washing-machine', 'ice-maker'], without: [], own: [] },
});

function of(...parts: readonly Part[]): readonly string[] {
  return outsideCircuits({ ...TRAILER, parts });
}

function own(circuit: string, ...zones: readonly ZoneId[]): Part[] {
  return zones.map((zone) => plainPart({ id: `${circuit} in ${zone}`, circuit, zone }));
}

describe('of a trailer, what is let out alone', () => {
  it('is what has a lid, a valve or a coupling of its own, in the order of its parts', () => {
    expect(outsideCircuits(TRAILER)).toEqual(['outside-shower', 'inlet', 'flush', 'outside-kitchen', 'post']);
  });

  it('is not an outside shower that hangs on the lines', () => {
    const bare: UnitModel = { ...TRAILER, showerOnLines: true };
    expect(outsideCircuits(bare)).toEqual(['inlet', 'flush', 'outside-kitchen', 'post']);
  });
});

describe('of the user’s own circuits, what is let out alone', () => {
  it('is one that lies outside, at the post or in a bay altogether', () => {
    expect(of(...own('garden', 'outside'), ...own('loop', 'post', 'bay'))).toEqual(['garden', 'loop']);
  });

  it('is none that reaches inside, whatever lies beside it', () => {
    expect(of(...own('garden', 'outside', 'inside'), ...own('sink', 'cabinet'))).toEqual([]);
    expect(of(...own('garden', 'outside'), ...own('sink', 'inside'))).toEqual(['garden']);
  });

  it('is the flush line and the outside kitchen wherever they lie', () => {
    expect(of(...own('flush', 'inside'), ...own('outside-kitchen', 'cabinet'))).toEqual([
      'flush',
      'outside-kitchen',
    ]);
  });

  it.each(['cold', 'hot', 'heater', 'washer', 'ice-maker', 'tank-fresh', 'trap-shower'])(
    'is not %s, though all of it lies in a bay: the taps, a tank or a drain need it',
    (circuit) => {
      expect(of(...own(circuit, 'bay'))).toEqual([]);
    },
  );
});
