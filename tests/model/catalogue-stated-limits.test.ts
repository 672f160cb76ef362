/** What `drainby config` shows of the numbers that were filled in: each under its key, with its mark. */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { batteryOf } from '../../src/model/catalogue-battery.ts';
import type { HeatSpec, LineSpec, NetworkSpec, UnitModel, UnitSpec } from '../../src/model/unit.ts';

const PARTS = { catalogue: true, add: [], without: [], own: [] };
const BATTERY = { capacityAh: 85, kind: 'lead', charge: 1, ageYears: 0, furnaceW: 6594 } as const;
const HEAT: HeatSpec = { setC: 18, furnaceW: 6594, ductedShare: null, running: true };
const GAS = { kg: 18.14, cylinderKg: 9.07, refilled: false };
const LINE: LineSpec = {
  id: 'run',
  label: null,
  zone: 'underneath',
  circuit: 'cold',
  tube: 'pex-1/2',
  lengthM: 3,
  sleeveM: 0,
  tapeWPerM: 15,
};
const NONE_GIVEN: NetworkSpec = {
  insideCapacity: null,
  underbellyCapacity: null,
  underneathCapacity: null,
  insideOutside: null,
  insideUnderbelly: null,
  underbellyUnderneath: null,
  underneathOutside: null,
  underneathGround: null,
};

function unitOf(over: Partial<UnitSpec> = {}): UnitModel {
  return buildUnit({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 8,
    slides: 0,
    belly: 'heated',
    skirting: 'vinyl',
    hoseConnected: true,
    heat: null,
    network: null,
    parts: PARTS,
    ...over,
  });
}

const TANKLESS: Partial<UnitSpec> = {
  tanklessProtected: true,
  parts: { ...PARTS, add: ['tankless-heater'] },
};

/** Path to mark and value. */
function stated(over: Partial<UnitSpec>): Map<string, string> {
  return new Map(unitOf(over).stated.map(({ path, provenance, value }) => [path, `${provenance}: ${value}`]));
}

describe('what is filled in', () => {
  it('of the shell is capacity in J/K, conductance in W/K, each with its mark', () => {
    const shell = [...stated({ shelter: 'barn', lengthM: null })].filter(
      ([path]) => path.startsWith('network') || path === 'length' || path === 'windReaching',
    );
    // 7.3 m by 2.4 m of a usual trailer, 23.95 ft, in a bay of 4.5 m by 9.3 m.
    expect(Object.fromEntries(shell)).toEqual({
      length: 'practice: 7.3 m',
      'network.insideCapacity': 'practice: 1996000 J/K',
      'network.underbellyCapacity': 'estimate: 321200 J/K',
      'network.underneathCapacity': 'estimate: 167900 J/K',
      'network.barnCapacity': 'estimate: 4928000 J/K',
      'network.insideOutside': 'practice: 119.8 W/K',
      'network.insideUnderbelly': 'practice: 26.28 W/K',
      'network.underbellyUnderneath': 'practice: 87.6 W/K',
      'network.underneathOutside': 'practice: 138.7 W/K',
      'network.underneathGround': 'estimate: 35.04 W/K',
      'network.barnOutside': 'estimate: 376.7 W/K',
      'network.barnGround': 'estimate: 83.7 W/K',
      windReaching: 'estimate: 0',
    });
  });

  it('is shown as given where the user gave it', () => {
    const { stated: entries } = unitOf({ network: { ...NONE_GIVEN, insideOutside: 175, insideCapacity: 0 } });
    const entry = (path: string) => entries.find((one) => one.path === path);
    expect(entry('network.insideOutside')).toMatchObject({
      value: '175 W/K',
      provenance: 'config',
      note: 'given',
    });
    expect(entry('network.insideCapacity')).toMatchObject({ value: '0 J/K', provenance: 'config' });
    expect(entry('network.insideUnderbelly')?.provenance).toBe('practice');
    expect(stated({ lengthM: 8 }).has('length')).toBe(false);
  });

  it('of the zones are the shares of those that are blends', () => {
    const shares = (over: Partial<UnitSpec>): string[] =>
      [...stated(over)].filter(([path]) => path.startsWith('zones')).map((pair) => pair.join(' '));
    expect(shares({ belly: 'enclosed' })).toEqual([
      'zones.bay practice: 0.15 of the way from outside to inside',
      'zones.cabinet practice: 0.7 of the way from outside to inside',
      'zones.slide practice: 0.3 of the way from outside to inside',
    ]);
    expect(shares({ belly: 'heated', cupboardsOpen: true }).slice(1)).toEqual([
      'zones.cabinet practice: 0.88 of the way from outside to inside',
      'zones.slide practice: 0.3 of the way from outside to inside',
      'zones.outlet estimate: 0.5 underbelly, 0.5 the air below it',
    ]);
  });

  it('of the wind is said only where something keeps it off', () => {
    expect(stated({}).has('windReaching')).toBe(false);
    expect(stated({ shelter: 'open' }).has('windReaching')).toBe(false);
    expect(stated({ shelter: 'sheltered' }).get('windReaching')).toBe('estimate: 0.5');
  });

  it('of the heat is the furnace where it stands, its duct, cylinders and battery', () => {
    const full = stated({ heat: { ...HEAT, gas: GAS, battery: batteryOf(BATTERY) }, elevationM: 1524 });
    expect(Object.fromEntries([...full].filter(([path]) => path.startsWith('heat')))).toEqual({
      // 4 % off per 1,000 ft, 5,000 ft up.
      'heat.capacity': 'derived: 5275 W',
      'heat.ductedShare': 'practice: 0.04',
      'heat.cylinder': 'practice: 18.1 kg on board, 9.07 kg to a cylinder',
      'heat.battery': 'practice: 42.5 Ah usable, 0.6 of it at −15 °C; blower 7 A, all else 0.7 A',
    });
    expect(stated({ heat: HEAT, belly: 'open' }).get('heat.ductedShare')).toBe('estimate: 0');
    expect(stated({ heat: { ...HEAT, ductedShare: 0.1 } }).has('heat.ductedShare')).toBe(false);
  });

  it('of the heat is nothing of a furnace where there is none', () => {
    const heaters = stated({ heat: { ...HEAT, furnaceW: 0, electricW: 1500 } });
    expect([...heaters.keys()].filter((path) => path.startsWith('heat'))).toEqual([]);
    expect([...stated({}).keys()].filter((path) => path.startsWith('heat'))).toEqual([]);
  });

  it('of heaters of parts is their power, when they come on and what they need', () => {
    const warm = { hoseHeated: true, tankPadW: 100, waterHeater: 'gas', tanklessProtected: true } as const;
    const heaters = stated({ ...warm, parts: { ...PARTS, add: ['tankless-heater'], lines: [LINE] } });
    expect(Object.fromEntries([...heaters].filter(([path]) => path.startsWith('parts')))).toEqual({
      'parts.heater-tank.heat': 'practice: 3000 W below 45 °C, needs gas',
      'parts.heater-fittings.heat': 'estimate: 5 W below 30 °C, needs gas',
      'parts.tankless-heater.heat': 'practice: 100 W below 3.5 °C, needs gas',
      'parts.hose.heat': 'practice: 80 W below 7 °C, needs shore power',
      'parts.fresh-tank.heat': 'practice: 100 W below 7 °C, needs shore power',
      'parts.grey-tank.heat': 'practice: 100 W below 7 °C, needs shore power',
      'parts.black-tank.heat': 'practice: 100 W below 7 °C, needs shore power',
      'parts.run': 'derived: 0.343 kg, 1.3 W/K',
      'parts.run.heat': 'practice: 45 W below 3 °C, needs shore power',
    });
    const bare = stated({ parts: { ...PARTS, lines: [{ ...LINE, tapeWPerM: 0 }] } });
    expect([...bare.keys()].filter((path) => path.startsWith('parts'))).toEqual(['parts.run']);
  });

  it('of the post is what draws on it and what it bears', () => {
    const known = stated({ heat: { ...HEAT, electricW: 1500 }, electrics: { limitW: 2880, loads: [] } });
    expect(known.get('electrics.limit')).toBe('practice: 2880 W');
    expect(known.get('electrics.loads')).toBe('derived: 1500 W');
    const unknown = stated({ heat: { ...HEAT, electricW: 1500 } });
    expect(unknown.has('electrics.limit')).toBe(false);
    expect(unknown.get('electrics.loads')).toBe('derived: 1500 W');
    const idle = unitOf({ electrics: { limitW: 2880, loads: [] } }).stated;
    expect(idle.find(({ path }) => path === 'electrics.loads')).toMatchObject({
      value: '0 W',
      note: 'nothing is known to draw on the post',
    });
  });
});

it('the hour at which gas and charge were read goes with the heat', () => {
  expect(unitOf({ heat: { ...HEAT, gas: GAS, gaugedAt: 1000 } }).heat?.gaugedAt).toBe(1000);
  expect(unitOf({ heat: { ...HEAT, gas: GAS } }).heat).not.toHaveProperty('gaugedAt');
});

describe('what draws on the post', () => {
  const loads = (over: Partial<UnitSpec>) =>
    Object.fromEntries((unitOf(over).electrics?.loads ?? []).map(({ label, watts }) => [label, watts]));

  it('is a heat pump’s electricity, which is less than its heat', () => {
    // Heat over electricity of 2 to 3 near its limit: engineering estimate.
    const { 'heat pump': watts } = loads({ heat: { ...HEAT, heatPump: { watts: 3000, limitC: 4 } } });
    expect(watts).toBe(1200);
  });

  it('is tape along lines, and neither what hangs on gas nor the fittings that live off the tank', () => {
    const parts = { ...PARTS, lines: [LINE, { ...LINE, id: 'other' }] };
    expect(loads({ parts, waterHeater: 'shore' })).toEqual({
      'water heater’s element': 1400,
      'heat tape': 90,
    });
    expect(loads({ parts, waterHeater: 'gas' })).toEqual({ 'heat tape': 90 });
  });

  it('is nothing off shore power', () => {
    expect(unitOf({ heat: { ...HEAT, shore: false }, tankPadW: 100 }).electrics).toBeUndefined();
    expect(unitOf({ heat: { ...HEAT, shore: true }, tankPadW: 100 }).electrics?.loads).toHaveLength(1);
    expect(unitOf({ tankPadW: 100 }).electrics?.limitW).toBeNull();
  });
});

describe('what is taken for granted is said', () => {
  const said = (over: Partial<UnitSpec>): string => unitOf(over).assumptions.join(' ');

  it.each([
    [/length is not given/, { lengthM: null }, { lengthM: 8 }],
    [/gas is on board is not given/, { heat: HEAT }, { heat: { ...HEAT, gas: GAS } }],
    [
      /changed in time/,
      { heat: { ...HEAT, gas: { ...GAS, refilled: true } } },
      { heat: { ...HEAT, gas: GAS } },
    ],
    [/Shore power is taken to last/, { heat: HEAT }, { heat: { ...HEAT, shore: false } }],
    [/battery is not given/, { heat: { ...HEAT, shore: false } }, { heat: HEAT }],
    [/height of the place/, { heat: HEAT }, { heat: HEAT, elevationM: 0 }],
    [/goes below is not given: 4 %/, { heat: HEAT }, { heat: { ...HEAT, ductedShare: 0.1 } }],
    [/goes below/, { heat: HEAT }, { heat: HEAT, belly: 'enclosed' }],
    [/gas is on board|goes below|height/, { heat: HEAT }, { heat: { ...HEAT, furnaceW: 0 } }],
    [/heater is taken to be off/, {}, { waterHeater: 'gas' }],
    [/heater is taken to be on, on gas/, { waterHeater: 'gas' }, { waterHeater: 'shore' }],
    [/heater is taken to be on, on shore/, { waterHeater: 'shore' }, {}],
    [/The water heater/, {}, { parts: { ...PARTS, without: ['heater-tank'] } }],
    [/say with `gauged`/, { heat: { ...HEAT, gas: GAS } }, { heat: { ...HEAT, gas: GAS, gaugedAt: 1000 } }],
    [/gauged/, { heat: { ...HEAT, gas: GAS } }, { heat: HEAT }],
    [/protection is taken to work/, TANKLESS, { ...TANKLESS, tanklessProtected: false }],
    [/without protection of its own/, { ...TANKLESS, tanklessProtected: false }, TANKLESS],
    [/tankless/, { parts: { ...PARTS, add: ['tankless-heater'] } }, {}],
  ] as readonly (readonly [RegExp, Partial<UnitSpec>, Partial<UnitSpec>])[])(
    '%s',
    (words, where, whereNot) => {
      expect(said(where)).toMatch(words);
      expect(said(whereNot)).not.toMatch(words);
    },
  );

  it('not of a battery that is given, nor of heat where there is none', () => {
    expect(said({ heat: { ...HEAT, shore: false, battery: batteryOf(BATTERY) } })).not.toMatch(/battery/);
    expect(said({ lengthM: 8, parts: { ...PARTS, catalogue: false } })).toBe('');
  });
});
