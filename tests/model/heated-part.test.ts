/** Pads, tape and water heaters: what they hold, what they cannot, and what a power cut does. Against odex. */
import { describe, expect, it } from 'vitest';
import { PIECE } from '../../src/model/air-pieces.ts';
import type { HeatPlan, Switch } from '../../src/model/heat-plan.ts';
import type { HeatSpec, Part, UnitModel, UnitSpec } from '../../src/model/unit.ts';
import { steadyUnit } from '../support/steady-unit.ts';
import { compareUnit } from '../support/unit-comparison.ts';

const HOUR = 3600;
const HOURS = 96;
const ON = { heat: false, shore: true, gas: true } as const;
const TAPED = {
  id: 'taped',
  label: null,
  zone: 'outside',
  circuit: 'cold',
  tube: 'pex-1/2',
  lengthM: 3,
} as const;

function unitWith(over: Partial<UnitSpec>, heat: HeatSpec | null = null): UnitModel {
  return steadyUnit(heat, {
    hoseConnected: true,
    hoseHeated: true,
    tankPadW: 60,
    parts: {
      catalogue: true,
      add: [],
      without: [],
      own: [],
      lines: [{ ...TAPED, sleeveM: 0, tapeWPerM: 15 }],
    },
    ...over,
  });
}

function partOf({ parts }: UnitModel, id: string): Part {
  const part = parts.find((one) => one.id === id);
  if (part === undefined) throw new Error(`There is no ${id}.`);
  return part;
}

/** Kelvins that its heater holds it above the air in calm. */
function riseK({ heat, conductanceWPerK }: Part): number {
  return (heat?.watts ?? 0) / conductanceWPerK;
}

function planOf(...switches: readonly Partial<Switch>[]): HeatPlan {
  return { switches: switches.map((s) => ({ at: -Infinity, ...ON, ...s })), suppliedFrom: 0 };
}

/** The part through calm air that the test makes up, compared with the reference on the way. */
function through(
  unit: UnitModel,
  id: string,
  of: { airC: (hour: number) => number; plan?: HeatPlan; hours?: number },
) {
  const { hours = HOURS, plan = planOf({}) } = of;
  const temperatureC = Float64Array.from({ length: hours + 1 }, (_, hour) => of.airC(hour));
  const weather = {
    temperatureC,
    groundC: new Float64Array(hours + 1).fill(3),
    windMps: new Float64Array(hours + 1),
  };
  const { runs, trace } = compareUnit({ unit, weather, plan, parts: [partOf(unit, id)] });
  return { ...runs[0]!, trace };
}

const HEATED = ['fresh-tank', 'taped', 'hose'] as const;

describe.each(HEATED)('%s with its own heater', (id) => {
  const unit = unitWith({});
  const part = partOf(unit, id);
  const onBelowC = part.heat?.onBelowC ?? Number.NaN;
  const full = riseK(part);

  it('is held at its thermostat while the heater is strong enough', () => {
    const { temperatureC, events } = through(unit, id, { airC: () => onBelowC - 0.8 * full });
    for (const warm of temperatureC) expect(Math.abs(warm - onBelowC)).toBeLessThan(1e-9);
    expect(events).toEqual([]);
  });

  it('goes with the air in warm weather and back to the thermostat after it', () => {
    const airC = (hour: number): number => onBelowC - 0.3 * full + (hour > 20 && hour < 40 ? full : 0);
    const { temperatureC } = through(unit, id, { airC, hours: 400 });
    expect(Math.max(...temperatureC)).toBeGreaterThan(onBelowC + 0.05);
    expect(temperatureC.at(-1)).toBeCloseTo(onBelowC, 6);
    expect(Math.min(...temperatureC)).toBeGreaterThan(onBelowC - 1e-9);
  });

  it('falls below its thermostat where the heater is too weak, by as much as is missing', () => {
    const airC = Math.max(onBelowC - 1.3 * full, 0.1 - full);
    const { temperatureC } = through(unit, id, { airC: (hour) => (hour === 0 ? 10 : airC), hours: 600 });
    expect(temperatureC.at(-1)).toBeCloseTo(airC + full, 4);
    expect(temperatureC.at(-1)).toBeLessThan(onBelowC);
  });

  it('freezes where even the heater leaves it below zero', () => {
    const { iceFraction, events } = through(unit, id, {
      airC: (hour) => (hour === 0 ? 10 : -5 - full),
      hours: 300,
    });
    expect(events[0]?.line).toBe('zero');
    expect(iceFraction.at(-1)).toBe(1);
  });

  it('freezes when power is cut, and thaws when it is back', () => {
    const cutAt = 20 * HOUR + 1234.5;
    const plan = planOf({}, { at: cutAt, shore: false }, { at: 260 * HOUR + 7, shore: true });
    const { events, iceFraction, temperatureC } = through(unit, id, {
      airC: () => -0.6 * full,
      plan,
      hours: 900,
    });
    expect(temperatureC[20]).toBeGreaterThan(0);
    expect(events[0]?.line).toBe('zero');
    expect(events[0]?.at).toBeGreaterThan(cutAt);
    // A tank of 120 L is not all ice by then.
    expect(iceFraction[259]).toBeGreaterThan(0.1);
    expect(iceFraction.at(-1)).toBe(0);
    expect(temperatureC.at(-1)).toBeGreaterThan(0);
  });

  it('is as cold as without a heater where there is no shore power', () => {
    const off = { setC: 18, furnaceW: 0, ductedShare: 0, running: false, shore: false };
    const airC = (hour: number): number => -4 + 8 * Math.cos(hour / 4);
    const dark = through(unitWith({}, off), id, { airC });
    const bare = through(unitWith({ hoseHeated: false, tankPadW: 0 }), id === 'fresh-tank' ? id : 'hose', {
      airC,
    });
    expect(Math.min(...dark.temperatureC)).toBeLessThanOrEqual(0);
    if (id === 'taped') return;
    // Its air comes in other pieces, so the last digits differ.
    dark.iceFraction.forEach((ice, hour) =>
      expect(Math.abs(ice - bare.iceFraction[hour]!)).toBeLessThan(1e-12),
    );
  });
});

describe('a pad', () => {
  it('never heats an empty tank, nor draws on the post for it', () => {
    const unit = unitWith({ tanks: { fresh: 0, grey: 0, black: 0 }, tankPadW: 100 });
    expect(unit.parts.filter(({ id }) => id.endsWith('-tank') && id !== 'heater-tank')).toEqual([]);
    expect(unit.electrics?.loads.some(({ label }) => label === 'tank pads')).toBe(false);
  });

  it('warms its tank and never its zone', () => {
    const airC = (hour: number): number => -4 + 8 * Math.cos(hour / 4);
    const padded = through(unitWith({}), 'fresh-tank', { airC }).trace;
    const bare = through(unitWith({ tankPadW: 0 }), 'fresh-tank', { airC }).trace;
    for (const zone of ['underneath', 'inside', 'bay'] as const) {
      const [one, other] = [padded.zone(zone), bare.zone(zone)];
      const numbers = one.numbers.subarray(0, one.count * PIECE);
      expect(numbers).toEqual(other.numbers.subarray(0, other.count * PIECE));
    }
  });
});

describe('a water heater', () => {
  it.each(['gas', 'shore'] as const)('on %s holds its tank at 45 °C in any cold', (waterHeater) => {
    const { temperatureC } = through(unitWith({ waterHeater }), 'heater-tank', {
      airC: (hour) => -30 + (hour % 24),
    });
    for (const warm of temperatureC) expect(Math.abs(warm - 45)).toBeLessThan(1e-9);
  });

  it.each([
    ['gas', 'gas'],
    ['shore', 'shore'],
  ] as const)(
    'on %s is cold in the end once that is gone, its fittings before its tank',
    (waterHeater, gone) => {
      const plan = planOf({}, { at: 10 * HOUR + 0.25, [gone]: false });
      const unit = unitWith({ waterHeater });
      const of = { airC: () => -20, plan, hours: 240 };
      const tank = through(unit, 'heater-tank', of).events;
      const fittings = through(unit, 'heater-fittings', of).events;
      expect(tank[0]?.at).toBeGreaterThan(24 * HOUR);
      // Six hours on what the hot tank brings, not half a day.
      expect(fittings[0]!.at).toBeGreaterThan(16 * HOUR);
      expect(fittings[0]!.at).toBeLessThan(17 * HOUR);
      const kept = waterHeater === 'gas' ? 'shore' : 'gas';
      const other = { ...of, plan: planOf({}, { at: 10 * HOUR, [kept]: false }) };
      expect(through(unit, 'heater-tank', other).events).toEqual([]);
    },
  );

  it('on gas goes out with the battery that its board lives on', () => {
    const battery = { usableAh: 20, shareAtMinus15: 0.6, blowerA: 7, standbyA: 1 };
    const heat = { setC: 18, furnaceW: 5000, ductedShare: 0, running: true, shore: false, battery };
    const unit = unitWith({ waterHeater: 'gas' }, heat);
    const { temperatureC, trace } = through(unit, 'heater-tank', { airC: () => -15 });
    // 20 Ah, 0.6 of them at −15 °C, 1 A: twelve hours.
    expect(trace.track.batteryOutS).toBeCloseTo(12 * HOUR, 2);
    expect(temperatureC[11]).toBeCloseTo(45, 6);
    expect(temperatureC[20]).toBeLessThan(42);
  });
});
