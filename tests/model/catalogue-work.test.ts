/** Minutes and amounts by a unit's own parts. Common practice of the trade, no source; sums by hand. */
import { describe, expect, it } from 'vitest';
import {
  partialGallons,
  routeOf,
  usualMinutes,
  type Hands,
  type Kit,
} from '../../src/model/catalogue-work.ts';
import { buildUnit } from '../../src/model/catalogue.ts';
import type { Part, UnitKind, UnitSpec } from '../../src/model/unit.ts';
import { plainPart } from '../support/plain-part.ts';

const UNKNOWN_KIT: Kit = { bypass: null, pumpKit: null, compressor: null };
const OWN = { hour: 25, gallon: 7 };
const CREW = { hour: 130, gallon: 7 };

interface Asked {
  readonly add?: readonly string[];
  readonly hose?: boolean;
  readonly kit?: Partial<Kit>;
  readonly hands?: Hands;
  readonly tanks?: UnitSpec['tanks'];
}

function work(kind: UnitKind, { add = [], hose = false, kit, hands = 'owner', tanks }: Asked = {}) {
  const { parts } = buildUnit({
    id: 'u',
    kind,
    lengthM: null,
    slides: 0,
    belly: 'open',
    skirting: 'none',
    hoseConnected: hose,
    heat: null,
    network: null,
    parts: { catalogue: true, add, without: [], own: [] },
    ...(tanks === undefined ? {} : { tanks }),
  });
  const route = routeOf(parts, { ...UNKNOWN_KIT, ...kit }, hands === 'crew' ? CREW : OWN);
  return { ...route, ...usualMinutes(parts, hands, route) };
}

describe('minutes', () => {
  it('of a travel trailer: lines 25, heater 12 and 15, tanks 20; antifreeze 70 in place of the lines', () => {
    expect(work('travel-trailer')).toMatchObject({ keepWarm: 10, drain: 72, antifreeze: 117, air: 117 });
    expect(work('travel-trailer', { hose: true }).keepWarm).toBe(20);
  });

  it('of a crew are fewer', () => {
    expect(work('travel-trailer', { hands: 'crew' })).toMatchObject({ drain: 55, antifreeze: 77, air: 75 });
  });

  it('of a van without heater and tanks below are those of its lines', () => {
    expect(work('van')).toMatchObject({ drain: 25, antifreeze: 70, air: 70 });
  });

  it.each([
    ['washing-machine', 12],
    ['dishwasher', 10],
    ['ice-maker', 15],
    ['tankless-heater', 15],
    ['hydronic-coil', 15],
    ['water-softener', 5],
    ['second-toilet', 8],
    ['outside-kitchen', 8],
    ['macerator', 5],
  ])('grow with a %s by %i', (part, more) => {
    expect(work('travel-trailer', { add: [part] }).antifreeze).toBe(117 + more);
  });

  it('do not count tanks that are said to be empty; either of the two takes the trip', () => {
    expect(work('travel-trailer', { tanks: { grey: 0, black: 0 } }).drain).toBe(52);
    expect(work('travel-trailer', { tanks: { grey: 0 } }).drain).toBe(72);
    expect(work('travel-trailer', { tanks: { black: 0 } }).drain).toBe(72);
  });

  it('of traps and tanks without lines are 5 for the traps and the trip to the dump', () => {
    const trap = plainPart({ id: 'kitchen-trap', circuit: 'trap-kitchen' });
    const tank = plainPart({ id: 'grey-tank', circuit: 'tank-grey', waterKg: 60 });
    const minutes = (...parts: readonly Part[]) =>
      usualMinutes(parts, 'owner', routeOf(parts, UNKNOWN_KIT, OWN));
    expect(minutes(trap)).toEqual({ keepWarm: 10, drain: 0, antifreeze: 5, air: 5 });
    expect(minutes(trap, tank)).toEqual({ keepWarm: 10, drain: 20, antifreeze: 25, air: 25 });
  });

  it('of a tankless heater are its own 15, with none for a tank to cool', () => {
    expect(work('van', { add: ['tankless-heater'] })).toMatchObject({ heater: 'none', drain: 40 });
  });
});

describe('the route', () => {
  it('counts bypass and pump kit as there while nobody has said', () => {
    expect(work('travel-trailer')).toMatchObject({
      heater: 'unknown',
      pump: 'unknown',
      heaterGallons: 6,
      antifreezeGallons: 2,
    });
  });

  it('without bypass takes a jumper and 20 min where that is cheaper than the heater’s 6 gallons', () => {
    const kit = { bypass: false, pumpKit: true };
    expect(work('travel-trailer', { kit })).toMatchObject({
      heater: 'jumper',
      antifreezeGallons: 2,
      antifreeze: 137,
    });
    // 20 min of a crew cost 43 dollars, 6 gallons 42.
    expect(work('travel-trailer', { kit, hands: 'crew' })).toMatchObject({
      heater: 'fill',
      antifreezeGallons: 8,
      antifreeze: 77,
    });
  });

  it('without pump kit takes 20 min more, by antifreeze and not by air', () => {
    const kit = { bypass: true, pumpKit: false };
    expect(work('travel-trailer', { kit })).toMatchObject({ pump: 'hand', antifreeze: 137, air: 117 });
  });

  it('needs no bypass where there is no heater tank', () => {
    expect(work('van', { kit: { bypass: false, pumpKit: true } })).toMatchObject({
      heater: 'none',
      antifreeze: 70,
    });
  });

  it('takes 2 gallons, 3 with two baths, 5 with washer, dishwasher and ice maker', () => {
    expect(work('travel-trailer', { add: ['second-toilet'] }).antifreezeGallons).toBe(3);
    const add = ['washing-machine', 'dishwasher', 'ice-maker'];
    expect(work('travel-trailer', { add }).antifreezeGallons).toBe(5);
  });

  it('takes a cup or two for a trap and a quart for what is filled alone, nothing for tanks', () => {
    const some = ['trap-kitchen', 'trap-bath', 'flush', 'tank-grey', 'post'];
    expect(partialGallons(some, 2)).toBeCloseTo(0.45, 9);
    expect(partialGallons(some, 0.3)).toBe(0.3);
    expect(partialGallons(['flush', 'inlet', 'ice-maker'], 2)).toBeCloseTo(0.75, 9);
    expect(partialGallons(['tank-fresh', 'post'], 2)).toBe(0);
  });

  it('takes for the lines, or half of them, what the whole unit takes', () => {
    expect(partialGallons(['cold', 'hot', 'heater'], 2)).toBe(2);
    expect(partialGallons(['hot', 'flush'], 2)).toBe(2);
  });
});
