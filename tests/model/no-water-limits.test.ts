/** The way of the water to the taps, apart from what breaks. */
import { describe, expect, it } from 'vitest';
import { harmOf } from '../../src/model/damage.ts';
import { asTapsSee } from '../../src/model/no-water.ts';
import type { Part, UnitModel } from '../../src/model/unit.ts';
import type { UnitWater, WaterState } from '../../src/model/water-state.ts';
import { steadyUnit } from '../support/steady-unit.ts';

const WET: WaterState = { kind: 'wet' };
const RULE = { atC: -4, hours: 6 };
const ON_THE_WAY = ['post', 'inlet', 'cold', 'hot', 'heater'];
const ASIDE = ['flush', 'outside-shower', 'trap-sink', 'tank-fresh', 'washer'];

function part(circuit: string, over: Partial<Part> = {}): Part {
  return {
    id: circuit,
    label: circuit,
    zone: 'outside',
    circuit,
    waterKg: 0.1,
    conductanceWPerK: 0.5,
    windShare: 0,
    wallHeatCapacityJPerK: 0,
    startTemperatureC: null,
    body: 'flexible',
    blocked: 0.9,
    solid: 0.95,
    iceLayerRatio: 0,
    pocket: 'never',
    provenance: 'config',
    ...over,
  };
}

function unit(parts: readonly Part[]): UnitModel {
  return { ...steadyUnit(null), parts };
}

function water(state: WaterState, circuits: Readonly<Record<string, WaterState>> = {}): UnitWater {
  const of = (one: WaterState) => ({ state: one, since: null, by: null });
  return {
    all: of(state),
    circuits: Object.fromEntries(Object.entries(circuits).map(([circuit, one]) => [circuit, of(one)])),
  };
}

/** Parts that can close the way, by their circuit. */
function closing(of: UnitModel | null): string[] {
  return (of?.parts ?? []).filter((one) => harmOf(one, WET, RULE) !== null).map(({ id }) => id);
}

describe('the way of the water', () => {
  const ALL = unit([...ON_THE_WAY, ...ASIDE].map((circuit) => part(circuit)));

  it('leads from the post through inlet, heater and lines, and through nothing aside', () => {
    const seen = asTapsSee(ALL, water(WET));
    expect(closing(seen)).toEqual(ON_THE_WAY);
    expect(seen?.parts.map(({ id }) => id)).toEqual(ALL.parts.map(({ id }) => id));
    expect({ ...seen, parts: [] }).toEqual({ ...ALL, parts: [] });
  });

  it.each(ON_THE_WAY)('is there as long as %s has water in it', (circuit) => {
    expect(closing(asTapsSee(ALL, water({ kind: 'blown' }, { [circuit]: WET })))).toEqual([circuit]);
  });

  it('leads from the tank where the hose is off, past the inlet, and from the post where it is on', () => {
    const drained: WaterState = { kind: 'drained', quality: 'well' };
    const fromTank = ['cold', 'hot', 'heater', 'tank-fresh'];
    expect(closing(asTapsSee(ALL, water(WET, { post: drained })))).toEqual(fromTank);
    // Without a fresh tank in use the inlet is what there is.
    expect(closing(asTapsSee(ALL, water(WET, { post: drained, 'tank-fresh': drained })))).toEqual([
      'inlet',
      'cold',
      'hot',
      'heater',
    ]);
  });

  it('is not closed by stubs that hang on it, nor by ice on the tank', () => {
    const stubs = ['low-points', 'petcock', 'fresh-tank'];
    const circuits = ['cold', 'tank-fresh', 'tank-fresh'];
    const parts = stubs.map((id, i) => part(circuits[i] ?? 'cold', { id }));
    expect(asTapsSee(unit(parts), water(WET))).toBeNull();
    const outlet = part('tank-fresh', { id: 'tank-outlet' });
    expect(closing(asTapsSee(unit([...parts, outlet]), water(WET)))).toEqual(['tank-outlet']);
  });

  it('is none where all of it is empty, whatever stands aside', () => {
    expect(asTapsSee(ALL, water({ kind: 'blown' }))).toBeNull();
    expect(asTapsSee(ALL, water({ kind: 'blown' }, { flush: WET, 'trap-sink': WET }))).toBeNull();
    expect(asTapsSee(unit([]), water(WET))).toBeNull();
  });

  it('is closed by a fifth of ice, or by less where a part is said to close sooner', () => {
    const blocked = (of: number) =>
      asTapsSee(unit([part('cold', { blocked: of })]), water(WET))?.parts.map((one) => one.blocked);
    expect([blocked(0.9), blocked(0.1)]).toEqual([[0.2], [0.1]]);
  });

  it('is closed, too, by ice that has room and breaks nothing', () => {
    const petcock = unit([part('cold', { headroom: true })]);
    expect(closing(petcock)).toEqual([]);
    expect(closing(asTapsSee(petcock, water(WET)))).toEqual(['cold']);
  });
});
