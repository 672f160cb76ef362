/**
 * What can be switched on, opened or shut to keep a unit warm, and what it then is. Which measures a unit has follows
 * from what it has: common practice, no source.
 */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { bodyMeasures, keptWarm, standingMeasures, warmedLike } from '../../src/model/kept-warm.ts';
import type { Measure } from '../../src/model/measure.ts';
import type { HeatSpec, LineSpec, OwnPart, PartHeat, UnitModel, UnitSpec } from '../../src/model/unit.ts';

const HEAT: HeatSpec = { setC: 18, furnaceW: 6000, ductedShare: null, running: false };
const CATALOGUE = { catalogue: true, add: [], without: [], own: [] } as const;

function spec(over: Partial<UnitSpec> = {}): UnitSpec {
  return {
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 8,
    slides: 0,
    belly: 'enclosed',
    skirting: 'none',
    hoseConnected: false,
    heat: HEAT,
    network: null,
    parts: CATALOGUE,
    ...over,
  };
}

function line(over: Partial<LineSpec> = {}): LineSpec {
  return {
    id: 'feed',
    label: null,
    zone: 'underneath',
    circuit: 'cold',
    tube: 'pex-1/2',
    lengthM: 2,
    sleeveM: 0,
    tapeWPerM: 10,
    ...over,
  };
}

function withLines(...lines: readonly LineSpec[]): UnitSpec {
  return spec({ parts: { ...CATALOGUE, lines } });
}

const PROBE: OwnPart = {
  id: 'probe',
  label: null,
  zone: 'inside',
  circuit: 'cold',
  waterKg: 0.1,
  conductanceWPerK: 0.5,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: null,
  body: 'rigid',
  blocked: null,
  solid: null,
  pocket: 'never',
};

function measuresOf(of: UnitSpec): readonly Measure[] {
  return bodyMeasures(of, buildUnit(of));
}

function heatOf(unit: UnitModel | null, id: string): PartHeat | undefined {
  return unit?.parts.find((part) => part.id === id)?.heat;
}

/** Share of inside air behind its cupboards: 0.7 with their doors shut, 0.88 with them open. Practice. */
function cabinetShare(unit: UnitModel): number | undefined {
  return unit.network.zones.cabinet.of.find(({ end }) => end === 'inside')?.weight;
}

describe('a unit without a furnace', () => {
  const HEATERS: HeatSpec = { ...HEAT, furnaceW: 0, electricW: 1500 };
  const PUMP: HeatSpec = { ...HEAT, furnaceW: 0, heatPump: { watts: 3000, limitC: -5 } };

  it.each([
    ['electric heaters', HEATERS],
    ['a heat pump', PUMP],
  ])('is kept warm by %s only where somebody watches them', (_what, heat) => {
    expect(keptWarm(spec({ heat }))).toBeNull();
    expect(keptWarm(spec({ heat }), true)?.heat).toMatchObject({ capacityW: 0, running: true });
  });

  it('and without any other heat is not kept warm, whoever is there', () => {
    expect(keptWarm(spec({ heat: { ...HEAT, furnaceW: 0 } }), true)).toBeNull();
    const none = { ...HEATERS, electricW: 0, heatPump: { watts: 0, limitC: -5 } };
    expect(keptWarm(spec({ heat: none }), true)).toBeNull();
  });

  it('keeps its electric heaters at what they give', () => {
    expect(keptWarm(spec({ heat: HEATERS, belly: 'heated' }), true)?.heat?.electricW).toBe(1500);
  });
});

describe('what can be done to the unit itself', () => {
  it('of a trailer with cupboards on outside walls and a water heater is to open the ones and light the other', () => {
    expect(measuresOf(spec())).toEqual(['cupboards-open', 'water-heater-on']);
  });

  it('is only what it has something for', () => {
    expect(measuresOf(spec({ kind: 'van' }))).toEqual(['cupboards-open']);
    expect(measuresOf(spec({ parts: { ...CATALOGUE, catalogue: false, own: [PROBE] } }))).toEqual([]);
  });

  it('is all of it where there is all of it, what hangs on the furnace first', () => {
    const all = spec({ belly: 'heated', tankPadW: 60, parts: { ...CATALOGUE, lines: [line()] } });
    expect(measuresOf(all)).toEqual([
      'heaters-down',
      'cupboards-open',
      'water-heater-on',
      'tank-pads-on',
      'heat-tape-on',
    ]);
  });

  it('lights a water heater with a tank for the sake of either its tank or its fittings, no other kind', () => {
    const short = (...without: readonly string[]): UnitSpec => spec({ parts: { ...CATALOGUE, without } });
    expect(measuresOf(short('heater-tank'))).toContain('water-heater-on');
    expect(measuresOf(short('heater-fittings'))).toContain('water-heater-on');
    const tankless = { ...CATALOGUE, add: ['tankless-heater'] };
    const without = ['heater-tank', 'heater-fittings'];
    expect(measuresOf(spec({ parts: { ...tankless, without } }))).toEqual(['cupboards-open']);
  });

  it('switches on pads where they lie under a tank that holds something', () => {
    expect(measuresOf(spec({ tankPadW: 60 }))).toContain('tank-pads-on');
    const empty = { fresh: 0, grey: 0, black: 0 };
    expect(measuresOf(spec({ tankPadW: 60, tanks: empty }))).not.toContain('tank-pads-on');
  });

  it('does not take for pads what heats a hose, or the tape along a tank’s drain', () => {
    expect(measuresOf(spec({ hoseConnected: true, hoseHeated: true }))).not.toContain('tank-pads-on');
    const drain = measuresOf(withLines(line({ id: 'drain', circuit: 'tank-grey' })));
    expect(drain).toContain('heat-tape-on');
    expect(drain).not.toContain('tank-pads-on');
  });

  it('switches on tape where any line has it', () => {
    const bare = line({ id: 'bare', tapeWPerM: 0 });
    expect(measuresOf(withLines(bare))).not.toContain('heat-tape-on');
    expect(measuresOf(withLines(bare, line()))).toContain('heat-tape-on');
  });
});

describe('what the config says is so already', () => {
  it('is nothing unless it says so', () => {
    expect(standingMeasures(spec())).toEqual([]);
    const off = { ...withLines(line({ tapeWPerM: 0 })), cupboardsOpen: false, waterHeater: 'off' } as const;
    expect(standingMeasures(off)).toEqual([]);
  });

  it.each<readonly [string, Measure, Partial<UnitSpec>]>([
    ['open cupboards', 'cupboards-open', { cupboardsOpen: true }],
    ['a water heater on gas', 'water-heater-on', { waterHeater: 'gas' }],
    ['a water heater on shore power', 'water-heater-on', { waterHeater: 'shore' }],
    ['pads', 'tank-pads-on', { tankPadW: 60 }],
    ['tape along a line', 'heat-tape-on', { parts: withLines(line()).parts }],
  ])('is, by %s, %s and nothing else', (_what, measure, said) => {
    expect(standingMeasures(spec(said))).toEqual([measure]);
  });
});

describe('a unit kept warm by some measures', () => {
  const FULL = spec({
    belly: 'heated',
    tankPadW: 60,
    cupboardsOpen: true,
    waterHeater: 'gas',
    heat: { ...HEAT, electricW: 1500 },
    parts: { ...CATALOGUE, lines: [line(), line({ id: 'bare', tapeWPerM: 0 })] },
  });
  const by = (...measures: readonly Measure[]): UnitModel => warmedLike(keptWarm(FULL)!, FULL, measures);

  it('is that of the whole list where it is by all of them, in any order', () => {
    expect(by(...bodyMeasures(FULL, buildUnit(FULL)).toReversed())).toEqual(keptWarm(FULL));
  });

  it('has its heat on, and all else off or shut, whatever the config says stands so', () => {
    const unit = by();
    expect(unit.heat).toMatchObject({ running: true, electricW: 1500 });
    expect(cabinetShare(unit)).toBeCloseTo(0.7, 9);
    expect(unit.parts.filter(({ heat }) => heat !== undefined)).toEqual([]);
  });

  it('has what each of them switches on or opens, and no more', () => {
    const heated = (...measures: readonly Measure[]): string[] =>
      by(...measures)
        .parts.filter(({ heat }) => heat !== undefined)
        .map(({ id }) => id);
    expect(heated('water-heater-on')).toEqual(['heater-tank', 'heater-fittings']);
    expect(heated('tank-pads-on')).toEqual(['fresh-tank', 'grey-tank', 'black-tank']);
    expect(heated('heat-tape-on')).toEqual(['feed']);
    expect(cabinetShare(by('cupboards-open'))).toBeCloseTo(0.88, 9);
    expect(by('heaters-down').heat?.electricW).toBe(0);
  });

  it('has pads, tape and burner at what the config states of them', () => {
    const unit = by('tank-pads-on', 'heat-tape-on', 'water-heater-on');
    expect(heatOf(unit, 'grey-tank')?.watts).toBe(60);
    // 10 W/m along 2 m.
    expect(heatOf(unit, 'feed')?.watts).toBe(20);
    expect(heatOf(unit, 'heater-tank')?.needs).toBe('gas');
  });

  it('has off what was switched off for the post’s sake, though it stands on', () => {
    const element = by('water-heater-on', 'element-off');
    expect([heatOf(element, 'heater-tank'), heatOf(element, 'heater-fittings')]).toEqual([
      undefined,
      undefined,
    ]);
    expect(heatOf(by('tank-pads-on', 'pads-off'), 'grey-tank')).toBeUndefined();
  });

  it('has its lines where they were, with tape and without', () => {
    const water = (unit: UnitModel): number[] => unit.parts.map(({ waterKg }) => waterKg);
    expect(water(by())).toEqual(water(buildUnit(FULL)));
    expect(water(by('heat-tape-on'))).toEqual(water(buildUnit(FULL)));
  });

  it('has no pads of its own making', () => {
    const plain = spec();
    const pads = warmedLike(keptWarm(plain)!, plain, ['tank-pads-on', 'heat-tape-on']);
    expect(pads.parts.filter(({ heat }) => heat !== undefined)).toEqual([]);
  });

  it('stays cold where it has no heat at all', () => {
    const cold = spec({ heat: null });
    const unit = warmedLike(buildUnit(cold), cold, ['water-heater-on', 'cupboards-open']);
    expect(unit.heat).toBeNull();
    expect(heatOf(unit, 'heater-tank')).toBeUndefined();
    expect(cabinetShare(unit)).toBeCloseTo(0.88, 9);
  });
});

describe('what readings and readers made of the unit', () => {
  const SPEC = spec({ belly: 'heated' });
  const whole = keptWarm(SPEC)!;
  const like: UnitModel = {
    ...whole,
    heat: { ...whole.heat!, ductedShare: 0.07 },
    network: {
      ...whole.network,
      paths: whole.network.paths.map((path) => ({ ...path, calmWPerK: 1.2 * path.calmWPerK })),
    },
    parts: whole.parts.map((part) => ({ ...part, label: part.label.replace('faucet', 'tap') })),
  };
  const unit = warmedLike(like, SPEC, ['water-heater-on']);

  it('holds with fewer measures, too', () => {
    expect(unit.heat?.ductedShare).toBe(0.07);
    expect(unit.network.paths).toEqual(like.network.paths);
    expect(unit.parts.map(({ label }) => label)).toEqual(like.parts.map(({ label }) => label));
    expect(unit.parts.map(({ label }) => label)).toContain('kitchen tap cartridge');
  });

  it('says nothing of what the measures change', () => {
    const plain = warmedLike(whole, SPEC, ['water-heater-on']);
    expect(unit).toEqual({
      ...plain,
      heat: { ...plain.heat!, ductedShare: 0.07 },
      network: { ...plain.network, paths: like.network.paths },
      parts: plain.parts.map((part, i) => ({ ...part, label: like.parts[i]!.label })),
    });
    expect(cabinetShare(unit)).toBeCloseTo(0.7, 9);
    expect(heatOf(unit, 'heater-tank')?.needs).toBe('shore');
  });
});
