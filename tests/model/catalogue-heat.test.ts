/**
 * What heats a unit and its parts. Marks: practice, no published source, unless it says otherwise; the numbers
 * beside the checks are the trade's, worked by hand.
 */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { batteryOf } from '../../src/model/catalogue-battery.ts';
import type { HeatSpec, LineSpec, Part, UnitModel, UnitSpec } from '../../src/model/unit.ts';

const NO_PARTS = { catalogue: true, add: [], without: [], own: [] };

function unitOf(over: Partial<UnitSpec>): UnitModel {
  return buildUnit({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 9.144,
    slides: 0,
    belly: 'heated',
    skirting: 'none',
    hoseConnected: false,
    heat: null,
    network: null,
    parts: NO_PARTS,
    ...over,
  });
}

function partOf(unit: UnitModel, id: string): Part {
  const part = unit.parts.find((one) => one.id === id);
  if (part === undefined) throw new Error(`There is no ${id}.`);
  return part;
}

/** Above its zone, at rest with its heater on all the time [K]: Q/G. */
function riseOf({ heat, conductanceWPerK }: Part): number {
  return (heat?.watts ?? 0) / conductanceWPerK;
}

const HEAT: HeatSpec = { setC: 18, furnaceW: 6594, ductedShare: null, running: true };

describe('a furnace', () => {
  it.each([
    [0, 6594],
    // 4 % per 1,000 ft.
    [304.8, 0.96 * 6594],
    [1524, 0.8 * 6594],
    [-100, 6594],
  ])('%d m above the sea gives %d W', (elevationM, capacityW) => {
    expect(unitOf({ heat: HEAT, elevationM }).heat?.capacityW).toBeCloseTo(capacityW, 6);
  });

  it('is taken at sea level where the height is not known, and says so', () => {
    const { heat, assumptions } = unitOf({ heat: HEAT });
    expect(heat?.capacityW).toBe(6594);
    expect(assumptions.join(' ')).toContain('The height of the place is not given');
    expect(unitOf({ heat: HEAT, elevationM: 0 }).assumptions.join(' ')).not.toContain('height');
  });

  it('states what is taken of gas and power, once they are not given', () => {
    const gas = { kg: 9.07, cylinderKg: 9.07, refilled: false };
    expect(unitOf({ heat: HEAT }).assumptions.join(' ')).toContain('gas is on board is not given');
    expect(unitOf({ heat: { ...HEAT, gas } }).assumptions.join(' ')).not.toContain('gas is on board');
  });
});

describe('a battery', () => {
  const lead = { capacityAh: 85, kind: 'lead', charge: 1, ageYears: 0, furnaceW: 6594 } as const;

  it('of lead is half usable, 0.6 of that at −15 °C', () => {
    expect(batteryOf(lead)).toMatchObject({ usableAh: 42.5, shareAtMinus15: 0.6, standbyA: 0.7 });
    expect(batteryOf({ ...lead, charge: 0.5 }).usableAh).toBeCloseTo(21.25, 9);
  });

  it('loses with age, but not all', () => {
    const aged = (ageYears: number): number => batteryOf({ ...lead, ageYears }).usableAh;
    expect(aged(3)).toBeLessThan(aged(0));
    expect(aged(30)).toBeGreaterThan(0.4 * aged(0));
    expect(batteryOf({ ...lead, kind: 'lithium' }).usableAh).toBeGreaterThan(aged(0) * 1.5);
  });

  it.each([
    // 18, 30 and 40 thousand BTU/h of input at 75 %; 1 BTU/h is 0.293071 W.
    [18_000, 3.5],
    [30_000, 7],
    [40_000, 10],
    [10_000, 3.5],
    [60_000, 10],
  ])('feeds the blower of a furnace of %d BTU/h with %d A', (input, amperes) => {
    const { blowerA } = batteryOf({ ...lead, furnaceW: input * 0.75 * 0.293_071 });
    expect(blowerA).toBeCloseTo(amperes, 2);
  });

  it('feeds no blower where there is no furnace', () => {
    expect(batteryOf({ ...lead, furnaceW: 0 }).blowerA).toBe(0);
  });
});

describe('the water heater', () => {
  it('hangs in the bay and is cold unless it is on, whatever the furnace does', () => {
    const unit = unitOf({ heat: HEAT });
    for (const id of ['heater-tank', 'heater-fittings']) {
      expect(partOf(unit, id)).toMatchObject({ zone: 'bay' });
      expect(partOf(unit, id).heat).toBeUndefined();
    }
    expect(unit.assumptions.join(' ')).toContain('The water heater is taken to be off');
  });

  it.each([
    ['gas', 3000],
    ['shore', 1400],
  ] as const)('on %s heats its tank with %d W, and its fittings a little', (waterHeater, watts) => {
    const unit = unitOf({ waterHeater });
    expect(partOf(unit, 'heater-tank').heat).toEqual({ watts, onBelowC: 45, needs: waterHeater });
    const fittings = partOf(unit, 'heater-fittings');
    expect(fittings.heat?.needs).toBe(waterHeater);
    // Warm to the touch in a bay 20 K colder, and never hotter than the tank: estimate.
    expect(riseOf(fittings)).toBeGreaterThan(20);
    expect(riseOf(fittings)).toBeLessThan(45);
  });

  it('without a tank is protected only if that is said', () => {
    const parts = { ...NO_PARTS, add: ['tankless-heater'] };
    expect(partOf(unitOf({ parts }), 'tankless-heater').heat).toBeUndefined();
    const unit = unitOf({ parts, tanklessProtected: true });
    expect(partOf(unit, 'tankless-heater').heat).toEqual({ watts: 100, onBelowC: 3.5, needs: 'gas' });
    expect(unit.assumptions.join(' ')).toMatch(/12 V and gas.*in wind/);
  });
});

describe('tanks', () => {
  it('hold as much as they are said to, with less of their wall wetted', () => {
    const whole = partOf(unitOf({}), 'fresh-tank');
    const half = partOf(unitOf({ tanks: { fresh: 0.5 } }), 'fresh-tank');
    expect(half.waterKg).toBeCloseTo(whole.waterKg / 2, 9);
    expect(half.conductanceWPerK).toBeLessThan(whole.conductanceWPerK);
    expect(half.conductanceWPerK).toBeGreaterThan(whole.conductanceWPerK / 2);
    expect(half.iceLayerRatio).toBeLessThan(whole.iceLayerRatio);
    // About 32 gal (20 to 100 found, second-hand).
    expect(whole.waterKg / 3.785).toBeGreaterThan(20);
    expect(whole.waterKg / 3.785).toBeLessThan(100);
  });

  it('have room for ice when part full; their valves and elbows have none', () => {
    const unit = unitOf({ tanks: { fresh: 0.5, grey: 0.95 } });
    expect(partOf(unit, 'fresh-tank').headroom).toBe(true);
    // Ice takes up 9 % more than its water (CRC Handbook: 0.9167 over 0.9998 g/cm³).
    expect(partOf(unit, 'grey-tank').headroom).toBeUndefined();
    expect(partOf(unit, 'black-tank').headroom).toBeUndefined();
    for (const id of ['tank-outlet', 'dump-grey', 'dump-black'])
      expect(partOf(unit, id).headroom).toBeUndefined();
  });

  it.each(['open', 'enclosed', 'heated'] as const)(
    'of an %s belly: petcock and low points freeze from their cold ends, towards open water',
    (belly) => {
      const unit = unitOf({ belly });
      for (const id of ['petcock', 'low-points']) expect(partOf(unit, id).headroom).toBe(true);
      for (const id of ['dump-grey', 'tank-outlet']) expect(partOf(unit, id).headroom).toBeUndefined();
    },
  );

  it('are closed by what gives: a dump valve breaks only when nearly solid', () => {
    expect(partOf(unitOf({}), 'dump-grey').body).toBe('flexible');
  });

  it('are no parts when empty, while what hangs on them still is', () => {
    const ids = unitOf({ tankPadW: 100, tanks: { fresh: 0, grey: 0, black: 0.2 } }).parts.map((p) => p.id);
    expect(ids).not.toContain('fresh-tank');
    expect(ids).not.toContain('grey-tank');
    expect(ids).toEqual(expect.arrayContaining(['black-tank', 'tank-outlet', 'dump-grey', 'petcock']));
  });

  it('are warmed by pads of 100 W by 4 to 10 K, which come on at 7 °C', () => {
    const unit = unitOf({ tankPadW: 100 });
    for (const id of ['fresh-tank', 'grey-tank', 'black-tank']) {
      const tank = partOf(unit, id);
      expect(tank.heat).toEqual({ watts: 100, onBelowC: 7, needs: 'shore' });
      expect(riseOf(tank)).toBeGreaterThan(4);
      expect(riseOf(tank)).toBeLessThan(10);
    }
  });
});

describe('the hose', () => {
  it('of 25 ft is heated by 80 W, its ends and the regulator are not', () => {
    const unit = unitOf({ hoseConnected: true, hoseHeated: true });
    expect(partOf(unit, 'hose').heat).toMatchObject({ watts: 80, needs: 'shore' });
    // At h 20, 1.0 W/K per metre: 80 W hold 7.62 m some 10 K above windy air; in calm air it is twice that.
    expect(riseOf(partOf(unit, 'hose'))).toBeGreaterThan(10);
    for (const id of ['hose-end-post', 'hose-end-unit', 'regulator', 'splitter'])
      expect(partOf(unit, id).heat).toBeUndefined();
  });

  it('without its wire has no ends of their own', () => {
    const ids = unitOf({ hoseConnected: true }).parts.map((part) => part.id);
    expect(ids).toContain('hose');
    expect(ids).not.toContain('hose-end-post');
    expect(partOf(unitOf({ hoseConnected: true }), 'hose').heat).toBeUndefined();
  });
});

describe('a line of the user’s own', () => {
  const line: LineSpec = {
    id: 'run',
    label: null,
    zone: 'underneath',
    circuit: 'cold',
    tube: 'pex-1/2',
    lengthM: 30.48,
    sleeveM: 0,
    tapeWPerM: 0,
  };
  const built = (over: Partial<LineSpec>): Part =>
    partOf(unitOf({ parts: { ...NO_PARTS, lines: [{ ...line, ...over }] } }), 'run');

  it('holds 0.92 gal per 100 ft of half-inch PEX', () => {
    // Found: contents of copper-tube-size PEX. 3.785412 L to the gallon.
    expect(built({}).waterKg / (0.92 * 3.785_412)).toBeCloseTo(1, 1);
  });

  it('gives way when it is PEX and not when it is copper', () => {
    expect([built({}).body, built({}).blocked]).toEqual(['flexible', 0.9]);
    expect([built({ tube: 'copper-1/2' }).body, built({ tube: 'copper-1/2' }).blocked]).toEqual([
      'rigid',
      0.2,
    ]);
  });

  it('loses less in a sleeve, and wind changes less of it', () => {
    const [bare, sleeved] = [built({}), built({ sleeveM: 0.013 })];
    expect(sleeved.conductanceWPerK).toBeLessThan(0.7 * bare.conductanceWPerK);
    expect(sleeved.film!.fixedShare).toBeGreaterThan(bare.film!.fixedShare);
    expect(sleeved.film!.diameterM).toBeCloseTo(0.015_875 + 0.026, 9);
  });

  it('is warmed by tape along its whole length', () => {
    const taped = built({ tapeWPerM: 15, sleeveM: 0.013 });
    expect(taped.heat).toEqual({ watts: 15 * 30.48, onBelowC: 3, needs: 'shore' });
    // Tape under a sleeve is sold to hold pipes to −40 °C and less: 15 W/m over some 0.2 W/(m·K).
    expect(riseOf(taped)).toBeGreaterThan(40);
  });

  it('takes the place of the catalogue’s part of its name', () => {
    const unit = unitOf({ parts: { ...NO_PARTS, lines: [{ ...line, id: 'cold-line' }] } });
    expect(unit.parts.filter(({ id }) => id === 'cold-line').map((part) => part.zone)).toEqual([
      'underneath',
    ]);
  });
});

/** A 3-in valve stands in the skin, its blade and stub below; only where ducts run below are valves boxed in: practice. */
describe('what hangs through the belly', () => {
  it('has dump valves half outside where nothing is said of heat', () => {
    expect(partOf(unitOf({ belly: 'heated', heat: null }), 'dump-black').zone).toBe('outlet');
  });

  it.each([
    ['open', null, 'underneath', 'underneath'],
    ['enclosed', 0.2, 'underneath', 'underneath'],
    ['heated', null, 'outlet', 'outlet'],
    ['heated', 0.119, 'outlet', 'outlet'],
    ['heated', 0.12, 'outlet', 'underbelly'],
  ] as const)(
    'of an %s one with a duct of %s stands %s, the dump valves %s',
    (belly, share, zone, valves) => {
      const unit = unitOf({ belly, heat: { ...HEAT, ductedShare: share } });
      expect(['petcock', 'low-points'].map((id) => partOf(unit, id).zone)).toEqual([zone, zone]);
      expect(['dump-grey', 'dump-black'].map((id) => partOf(unit, id).zone)).toEqual([valves, valves]);
    },
  );
});

describe('the post', () => {
  it('bears the sum of what the unit draws on it', () => {
    const unit = unitOf({
      heat: { ...HEAT, electricW: 3000 },
      waterHeater: 'shore',
      tankPadW: 100,
      tanks: { fresh: 0.5, grey: 0, black: 0.5 },
      hoseConnected: true,
      hoseHeated: true,
      electrics: { limitW: 2880, loads: [{ label: 'other loads', watts: 300 }] },
    });
    expect(unit.electrics).toEqual({
      limitW: 2880,
      loads: [
        { label: 'electric heaters', watts: 3000, withHeat: true },
        { label: 'water heater’s element', watts: 1400 },
        { label: 'tank pads', watts: 200 },
        { label: 'heated hose', watts: 80 },
        { label: 'other loads', watts: 300 },
      ],
    });
  });

  it('is not spoken of where nothing is known of it, nor off shore power', () => {
    expect(unitOf({ heat: HEAT }).electrics).toBeUndefined();
    expect(unitOf({ heat: { ...HEAT, shore: false }, tankPadW: 100 }).electrics).toBeUndefined();
  });
});

describe('the wind', () => {
  it.each([
    ['open', 1],
    ['sheltered', 0.5],
    ['row', 0.5],
    ['barn', 0],
  ] as const)('reaches a unit that stands %s by a share of %d', (shelter, share) => {
    expect(unitOf({ shelter }).windReaching).toBe(share);
  });
});

describe('every number that is filled in', () => {
  it('says where it comes from and, unless it is given or derived, its range', () => {
    const { stated } = unitOf({
      heat: { ...HEAT, battery: batteryOf({ ...USUAL, furnaceW: 6594 }) },
      waterHeater: 'gas',
      tankPadW: 100,
      hoseConnected: true,
      hoseHeated: true,
      shelter: 'barn',
      skirting: 'vinyl',
      lengthM: null,
    });
    expect(stated.length).toBeGreaterThan(20);
    const ranged = /\(.*\d.*\)|half to double|give or take|what the breaker bears|in wind/;
    expect(stated.filter(({ provenance, note }) => provenance !== 'derived' && !ranged.test(note))).toEqual(
      [],
    );
    expect(new Set(stated.map(({ path }) => path)).size).toBe(stated.length);
  });
});

const USUAL = { capacityAh: 85, kind: 'lead', charge: 1, ageYears: 0 } as const;
