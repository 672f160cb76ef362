/** The unit as somebody keeps it warm for a night, and what the post bears. */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { keptWarm } from '../../src/model/kept-warm.ts';
import { overloadOf, overloadW } from '../../src/model/post-load.ts';
import type { Electrics, HeatSpec, UnitModel, UnitSpec } from '../../src/model/unit.ts';

const HEAT: HeatSpec = { setC: 18, furnaceW: 6000, ductedShare: null, running: false, electricW: 1500 };
const GAS = { kg: 9, cylinderKg: 9, refilled: false };

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
    parts: { catalogue: true, add: [], without: [], own: [] },
    ...over,
  };
}

function needs(unit: UnitModel | null): string | undefined {
  return unit?.parts.find(({ id }) => id === 'heater-tank')?.heat?.needs;
}

describe('a unit that is kept warm', () => {
  it('needs a furnace: electric heaters alone are no such plan', () => {
    expect(keptWarm(spec({ heat: null }))).toBeNull();
    expect(keptWarm(spec({ heat: { ...HEAT, furnaceW: 0 } }))).toBeNull();
    expect(keptWarm(spec({ heat: { ...HEAT, furnaceW: 1 } }))).not.toBeNull();
  });

  it('has its furnace running and its cupboards open', () => {
    const unit = keptWarm(spec());
    expect(unit?.heat).toMatchObject({ running: true, capacityW: 6000, setC: 18 });
    // Behind an open door 0.12 of inside − outside is lost: practice.
    expect(unit?.network.zones.cabinet.of[0]?.weight).toBeCloseTo(0.88, 9);
  });

  it('has its electric heaters down where a duct lives off the furnace, and only there', () => {
    expect(keptWarm(spec(), true)?.heat?.electricW).toBe(1500);
    expect(keptWarm(spec({ belly: 'heated' }), true)?.heat?.electricW).toBe(0);
    expect(keptWarm(spec({ heat: { ...HEAT, ductedShare: 0.1 } }), true)?.heat?.electricW).toBe(0);
    expect(keptWarm(spec({ heat: { ...HEAT, ductedShare: 0 } }), true)?.heat?.electricW).toBe(1500);
  });

  it('has electric heaters and heat pump off where nobody watches them', () => {
    const heat = { ...HEAT, heatPump: { watts: 3000, limitC: 4 } };
    expect(keptWarm(spec({ heat }))?.heat).toMatchObject({ electricW: 0, capacityW: 6000 });
    expect(keptWarm(spec({ heat }))?.heat?.heatPump).toBeUndefined();
    expect(keptWarm(spec({ heat }), true)?.heat?.heatPump?.watts).toBe(3000);
  });

  it('has its water heater on, on what there is', () => {
    expect(needs(keptWarm(spec()))).toBe('shore');
    expect(needs(keptWarm(spec({ heat: { ...HEAT, gas: GAS } })))).toBe('gas');
    expect(needs(keptWarm(spec({ heat: { ...HEAT, shore: false } })))).toBe('gas');
    expect(needs(keptWarm(spec({ heat: { ...HEAT, shore: true } })))).toBe('shore');
    expect(needs(keptWarm(spec({ waterHeater: 'shore', heat: { ...HEAT, gas: GAS } })))).toBe('shore');
  });

  it('has the parts that it had, in their order', () => {
    const names = ({ parts }: UnitModel): string[] => parts.map(({ id }) => id);
    expect(names(keptWarm(spec())!)).toEqual(names(buildUnit(spec())));
  });
});

describe('what is switched on beyond what the post bears', () => {
  const over = (electrics?: Electrics): number =>
    overloadW({ ...buildUnit(spec()), ...(electrics === undefined ? {} : { electrics }) });
  const loads = [
    { label: 'heaters', watts: 1500 },
    { label: 'element', watts: 1400 },
  ];

  it('is the sum of the loads less its limit, and never less than nothing', () => {
    expect(over({ limitW: 2000, loads })).toBe(900);
    expect(over({ limitW: 2900, loads })).toBe(0);
    expect(over({ limitW: 5000, loads })).toBe(0);
  });

  it('leaves out, while the heat is off, what comes on only with it', () => {
    const electrics = { limitW: 1440, loads: [{ ...loads[0]!, withHeat: true as const }, loads[1]!] };
    const unit = { ...buildUnit(spec()), electrics };
    expect(overloadOf(unit, true)).toEqual({ askedW: 2900, borneW: 1440 });
    expect(overloadOf(unit, false)).toBeNull();
    const [heaters] = buildUnit(spec({ electrics: { limitW: 1440, loads: [] } })).electrics?.loads ?? [];
    expect(heaters).toEqual({ label: 'electric heaters', watts: 1500, withHeat: true });
  });

  it('is nothing where nobody knows what it bears', () => {
    expect(over({ limitW: null, loads })).toBe(0);
    const { electrics: _electrics, ...bare } = buildUnit(spec());
    expect(overloadW(bare)).toBe(0);
  });
});
