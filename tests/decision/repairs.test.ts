/**
 * What breaks and what mends it. Prices and hours: common practice, no source, an hour of a workshop at 150 dollars;
 * sums by hand.
 */
import { describe, expect, it } from 'vitest';
import { DEFAULT_COSTS, repairPrice } from '../../src/decision/costs.ts';
import { REPAIRS, REPAIR_IDS, breakShare, repairOf } from '../../src/decision/repairs.ts';
import { catalogueParts } from '../../src/model/catalogue-parts.ts';
import type { Part } from '../../src/model/unit.ts';
import type { WaterState } from '../../src/model/water-state.ts';
import { plainPart } from '../support/plain-part.ts';

function catalogue(id: string): Part {
  const found = catalogueParts().find((part) => part.id === id);
  if (found === undefined) throw new Error(`The catalogue has no ${id}.`);
  const { circuit, body, waterKg, pocket } = found;
  return plainPart({ id, circuit, body, waterKg, pocket });
}

function priceOf(part: Part): number {
  return repairPrice(repairOf(part).id, DEFAULT_COSTS);
}

describe('a part of the catalogue', () => {
  it.each([
    ['pump and strainer: 180 and an hour', 330, ['pump-head', 'strainer']],
    ['a toilet valve: 60 and an hour', 210, ['toilet-valve', 'second-toilet']],
    [
      'a faucet: 80 and an hour',
      230,
      ['kitchen-faucet', 'bath-faucet', 'outside-shower', 'outside-shower-hot', 'outside-kitchen'],
    ],
    ['a fitting behind a wall or under the floor: 350', 350, ['cabinet-elbow', 'tank-outlet']],
    ['a line, opened like it: 350', 350, ['cold-line', 'hot-line', 'slide-line', 'black-flush']],
    ['the inlet: 35 and half an hour', 110, ['city-inlet']],
    ['a dump valve: 60 and two hours', 360, ['dump-grey', 'dump-black']],
    ['a heater: 1100 and three hours', 1550, ['heater-tank']],
    ['its fittings: 60 and an hour', 210, ['heater-fittings']],
    ['a tankless heater or a coil: 1200', 1200, ['tankless-heater', 'hydronic-coil']],
    ['a filter or an accumulator: 60 and half an hour', 135, ['canister-filter', 'accumulator']],
    [
      'a small valve: 15 and half an hour',
      90,
      ['petcock', 'low-points', 'check-valve', 'flush-breaker', 'spray-port', 'hand-spray'],
    ],
    ['an appliance: 120 and an hour', 270, ['washing-machine', 'dishwasher', 'ice-maker', 'dispenser-coil']],
    ['a macerator: 200 and an hour', 350, ['macerator']],
    ['a softener: 250', 250, ['water-softener']],
    ['a trap: 15 and half an hour', 90, ['kitchen-trap', 'bath-trap', 'shower-trap']],
    ['a tank: 250 and three hours', 700, ['fresh-tank', 'portable-tank', 'grey-tank', 'black-tank']],
    [
      'what hangs at the post: 40',
      40,
      ['hose', 'hose-end-post', 'hose-end-unit', 'regulator', 'splitter', 'post-filter', 'hydrant'],
    ],
  ])('is mended as %s', (_what, dollars, ids) => {
    expect(ids.map((id) => [id, priceOf(catalogue(id))])).toEqual(ids.map((id) => [id, dollars]));
  });

  it('is paid once with what is mended by the same work, and with nothing else', () => {
    const ids = catalogueParts().map(({ id }) => id);
    const name = (id: string): string => repairOf(catalogue(id)).together;
    const groups = ids.map((id) => ids.filter((other) => name(other) === name(id)));
    expect(groups.filter((group, i) => group.length > 1 && group[0] === ids[i])).toEqual([
      ['outside-shower', 'outside-shower-hot'],
      ['pump-head', 'strainer'],
      ['heater-tank', 'tankless-heater'],
    ]);
  });
});

describe('an own part', () => {
  it.each([
    ['a trap', { circuit: 'trap-laundry' }, 'trap'],
    ['at the post', { circuit: 'post' }, 'hook-up'],
    ['a tank of 5 kg and more', { circuit: 'tank-spare', waterKg: 5 }, 'tank'],
    ['an elbow or valve of a tank', { circuit: 'tank-spare', waterKg: 4.9 }, 'dump-valve'],
    ['a heater of 5 kg and more', { circuit: 'heater', waterKg: 5 }, 'heater'],
    ['a fitting of the heater', { circuit: 'heater', waterKg: 4.9 }, 'heater-fittings'],
    ['at the inlet', { circuit: 'inlet' }, 'inlet'],
    ['one that gives way', { circuit: 'cold', body: 'flexible' }, 'line'],
    ['one that does not', { circuit: 'cold', body: 'rigid' }, 'hidden-fitting'],
  ] as const)('is mended as its circuit is: %s', (_what, over, repair) => {
    const part = plainPart({ id: 'mine', ...over });
    expect(repairOf(part)).toEqual({ id: repair, together: 'mine' });
  });
});

describe('how often a closed part breaks', () => {
  const WELL: WaterState = { kind: 'drained', quality: 'well' };
  const QUICK: WaterState = { kind: 'drained', quality: 'quick' };

  it('is a share between never and always for each repair', () => {
    for (const id of REPAIR_IDS) {
      expect(REPAIRS[id].breaks, id).toBeGreaterThan(0);
      expect(REPAIRS[id].breaks, id).toBeLessThan(1);
    }
  });

  it('is more for what is rigid than for tubing that gives', () => {
    const full = { kind: 'wet' } as const;
    expect(breakShare(catalogue('cabinet-elbow'), full)).toBeGreaterThan(
      2 * breakShare(catalogue('cold-line'), full),
    );
  });

  it('is a twenty-fifth for what a drain leaves in a low spot, and none in a vessel with a plug', () => {
    expect(breakShare(catalogue('kitchen-faucet'), WELL)).toBe(0.04);
    expect(breakShare(catalogue('heater-tank'), WELL)).toBe(0);
    expect(breakShare(catalogue('grey-tank'), QUICK)).toBe(0);
  });

  it('is that of a full part where a drain in a hurry leaves it full', () => {
    expect(breakShare(catalogue('pump-head'), QUICK)).toBe(REPAIRS.pump.breaks);
    expect(breakShare(catalogue('pump-head'), WELL)).toBe(0.04);
  });

  it('is that of a full part where nobody knows what is in it', () => {
    expect(breakShare(catalogue('kitchen-faucet'), { kind: 'unknown' })).toBe(REPAIRS.faucet.breaks);
  });
});
