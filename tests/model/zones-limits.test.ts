/** Heat, power and wind that change within hours, against an independent solver; and sums that can be done by hand. */
import { describe, expect, it } from 'vitest';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { furnaceByHour, zoneAtHours, type Trace } from '../../src/model/trace.ts';
import type { HeatSpec, UnitSpec } from '../../src/model/unit.ts';
import { LOSS_W_PER_K, STORED_J_PER_K, constant, solved, steadyUnit } from '../support/steady-unit.ts';
import { compareUnit } from '../support/unit-comparison.ts';

const HOUR = 3600;
const ON = { heat: true, shore: true, gas: true } as const;

/** A trailer of three nodes, its numbers round. */
const NODES: Partial<UnitSpec> = {
  belly: 'heated',
  network: {
    insideCapacity: 2e6,
    underbellyCapacity: 0.3e6,
    underneathCapacity: 0.15e6,
    insideOutside: 170,
    insideUnderbelly: 20,
    underbellyUnderneath: 40,
    underneathOutside: 30,
    underneathGround: 5,
  },
};
/** The catalogue's own, in which wind has a part. */
const CATALOGUE: Partial<UnitSpec> = { belly: 'heated', network: null, slides: 1 };
const FURNACE: HeatSpec = { setC: 16, furnaceW: 6000, ductedShare: 0.1, running: true };

interface Case {
  readonly heat: HeatSpec | null;
  readonly over?: Partial<UnitSpec>;
  readonly plan?: HeatPlan;
  readonly airC: (hour: number) => number;
  readonly windMps?: number;
}

const HOURS = 14;

/** Fails where a zone or the furnace's heat differs from the solver's by a microkelvin. */
function expectSolved({ heat, over = NODES, plan = ALWAYS_HEATED, airC, windMps = 0 }: Case): Trace {
  const of = (value: (i: number) => number): Float64Array =>
    Float64Array.from({ length: HOURS + 1 }, (_, i) => value(i));
  const weather = {
    temperatureC: of(airC),
    groundC: of((i) => 4 + i / 20),
    windMps: of((i) => windMps * (1 + (i % 3))),
  };
  return compareUnit({ unit: steadyUnit(heat, over), weather, plan, parts: [] }).trace;
}

/** From mild to bitter cold and back within half a day. */
const PLUNGE = (hour: number): number => 10 - 35 * Math.sin((Math.PI * hour) / HOURS);
const SAW = (hour: number): number => (hour % 2 === 0 ? 12 : -14);

function expectTouched(values: Iterable<number>, line: number): void {
  const all = [...values];
  expect(Math.min(...all)).toBeLessThan(line);
  expect(Math.max(...all)).toBeGreaterThan(line);
}

describe('a unit of several nodes agrees with the solver', () => {
  it('with a duct that shuts at the underbelly’s cap and opens again', () => {
    const trace = expectSolved({
      heat: { ...FURNACE, setC: 20, furnaceW: 8000, ductedShare: 0.15 },
      airC: PLUNGE,
    });
    const below = zoneAtHours(trace, 'underbelly');
    expect(Math.max(...below)).toBeCloseTo(25, 9);
    expect(Math.min(...below)).toBeLessThan(24);
  });

  it('with a duct whose furnace is full on while the underbelly stands at its cap', () => {
    const over: Partial<UnitSpec> = {
      ...NODES,
      network: { ...NODES.network!, insideOutside: 500, insideUnderbelly: 1 },
    };
    const trace = expectSolved({
      heat: { ...FURNACE, setC: 22, furnaceW: 7000, ductedShare: 0.6 },
      over,
      airC: SAW,
    });
    expect(Math.max(...zoneAtHours(trace, 'underbelly'))).toBeCloseTo(25, 9);
    expect(Math.max(...furnaceByHour(trace))).toBeCloseTo(7000, 6);
  });

  it('with a furnace that turns full on, back into its band and off', () => {
    const trace = expectSolved({
      heat: { ...FURNACE, furnaceW: 3500 },
      airC: (h) => 26 - 45 * Math.sin((Math.PI * h) / HOURS),
    });
    expectTouched(zoneAtHours(trace, 'inside'), 16.5);
    expect(Math.max(...furnaceByHour(trace))).toBeCloseTo(3500, 6);
    expect(Math.min(...furnaceByHour(trace))).toBe(0);
  });

  it('with electric heaters and a heat pump that come before the furnace, and a post that fails', () => {
    const heat = { ...FURNACE, furnaceW: 3000, electricW: 1500, heatPump: { watts: 2500, limitC: 4 } };
    const plan: HeatPlan = {
      switches: [
        { at: -Infinity, ...ON },
        { at: 5 * HOUR + 1000.25, ...ON, shore: false },
        { at: 9 * HOUR + 7, ...ON },
        { at: 11.5 * HOUR, ...ON, heat: false },
      ],
      suppliedFrom: Infinity,
    };
    expectSolved({ heat, over: CATALOGUE, plan, airC: (h) => 14 - h * 1.5, windMps: 2 });
    expectSolved({ heat, over: CATALOGUE, plan, airC: SAW, windMps: 1 });
  });

  it('with heaters alone', () => {
    const heat = { ...FURNACE, furnaceW: 0, electricW: 2500 };
    expectSolved({ heat, airC: (h) => 15 - 20 * Math.sin((Math.PI * h) / HOURS) });
  });

  it('with a battery that goes flat in the night, and gas that boils off slowly', () => {
    const battery = { usableAh: 30, shareAtMinus15: 0.6, blowerA: 7, standbyA: 0.7 };
    const gas = { kg: 2, cylinderKg: 9, refilled: true };
    const heat = { ...FURNACE, setC: 20, battery, gas, shore: false };
    const trace = expectSolved({
      heat,
      plan: { ...ALWAYS_HEATED, suppliedFrom: 2 * HOUR },
      airC: (h) => -2 - h,
    });
    expect(trace.track.batteryOutS).toBeLessThan(HOURS * HOUR);
    expect(trace.track.batteryOutS).toBeGreaterThan(3 * HOUR);
  });

  it('without heat in a barn, and behind a skirt in a storm', () => {
    for (const shelter of ['barn', 'open'] as const) {
      const over = { ...CATALOGUE, shelter, skirting: 'vinyl', belly: 'enclosed' } as const;
      expectSolved({ heat: null, over, plan: NEVER_HEATED, airC: SAW, windMps: 6 });
    }
  });
});

describe('one node by hand', () => {
  const TAU_S = STORED_J_PER_K / LOSS_W_PER_K;
  const inside = (trace: Trace): number[] => [...zoneAtHours(trace, 'inside')];

  it('starts in balance: as warm as outside without heat, at the furnace’s own balance with it', () => {
    expect(inside(solved(steadyUnit(null), constant(-7, 2), NEVER_HEATED))[0]).toBeCloseTo(-7, 9);
    // 6000·(16.5 − T) = 200·(T + 7).
    const heat = { ...FURNACE, ductedShare: 0 };
    const warm = solved(steadyUnit(heat), constant(-7, 2), ALWAYS_HEATED);
    for (const insideC of inside(warm)) expect(insideC).toBeCloseTo((6000 * 16.5 - 200 * 7) / 6200, 9);
    // Full on, 200·(T + 20) = 6000 leaves 10 °C of the 16 that are wanted.
    for (const insideC of inside(solved(steadyUnit(heat), constant(-20, 2), ALWAYS_HEATED)))
      expect(insideC).toBeCloseTo(10, 9);
    // Outside as warm as that it is off.
    for (const insideC of inside(solved(steadyUnit(heat), constant(18, 2), ALWAYS_HEATED)))
      expect(insideC).toBeCloseTo(18, 9);
  });

  it('starts in balance on heaters: in their own band, or full on with the furnace in its band', () => {
    const heat = { ...FURNACE, ductedShare: 0, electricW: 2000 };
    // 2000·(17.5 − T) = 200·(T − 10).
    const mild = solved(steadyUnit(heat), constant(10, 2), ALWAYS_HEATED);
    expect(inside(mild)[0]).toBeCloseTo((2000 * 17.5 + 2000) / 2200, 9);
    expect(furnaceByHour(mild)[0]).toBe(0);
    // 2000 + 6000·(16.5 − T) = 200·(T + 10).
    const cold = solved(steadyUnit(heat), constant(-10, 2), ALWAYS_HEATED);
    expect(inside(cold)[0]).toBeCloseTo((2000 + 6000 * 16.5 - 2000) / 6200, 9);
    expect(furnaceByHour(cold)[0]).toBeCloseTo(200 * (inside(cold)[0]! + 10) - 2000, 6);
  });

  it('heats up at full power from the second that its furnace is switched on', () => {
    const at = 2 * HOUR + 900;
    const plan: HeatPlan = { switches: [{ at, ...ON }], suppliedFrom: Infinity };
    const trace = solved(steadyUnit({ ...FURNACE, ductedShare: 0 }), constant(-20, 6), plan);
    // Towards −20 + 6000/200.
    inside(trace).forEach((insideC, hour) => {
      const t = Math.max(0, hour * HOUR - at);
      expect(insideC, `hour ${hour}`).toBeCloseTo(-20 + 30 * (1 - Math.exp(-t / TAU_S)), 9);
    });
    const [, , third, fourth] = furnaceByHour(trace);
    expect(third).toBeCloseTo(6000 * 0.75, 6);
    expect(fourth).toBeCloseTo(6000, 6);
  });

  it('loses into the open what a duct blows under an open belly', () => {
    const trace = solved(steadyUnit({ ...FURNACE, ductedShare: 0.25 }), constant(-20, 3), ALWAYS_HEATED);
    expect(inside(trace)[0]).toBeCloseTo(-20 + (0.75 * 6000) / 200, 9);
  });

  it('goes on as if nothing were switched where what is switched is the same', () => {
    const heat = { ...FURNACE, ductedShare: 0 };
    const air = [5, -5, -15, 0, 12, 20, 3];
    const whole = inside(solved(steadyUnit(heat), air, ALWAYS_HEATED));
    const often: HeatPlan = {
      switches: [-Infinity, 0, 1, HOUR, 2 * HOUR - 1e-8, 2.3 * HOUR, 1e9].map((at) => ({ at, ...ON })),
      suppliedFrom: Infinity,
    };
    inside(solved(steadyUnit(heat), air, often)).forEach((insideC, hour) =>
      expect(Math.abs(insideC - whole[hour]!), `hour ${hour}`).toBeLessThan(1e-9),
    );
  });

  it('takes electric heaters off with the post, and heat pumps below their limit', () => {
    const heat = {
      ...FURNACE,
      furnaceW: 0,
      ductedShare: 0,
      electricW: 1000,
      heatPump: { watts: 2000, limitC: 0 },
    };
    // Full on at 3 kW would be 15 K, at 1 kW 5 K.
    const at = (airC: number, plan = ALWAYS_HEATED, over = {}): number =>
      inside(solved(steadyUnit({ ...heat, ...over }), constant(airC, 2), plan))[0]!;
    expect(at(0)).toBeCloseTo(15, 9);
    expect(at(-0.1)).toBeCloseTo(4.9, 9);
    expect(at(0, { ...ALWAYS_HEATED, switches: [{ at: -Infinity, ...ON, shore: false }] })).toBeCloseTo(0, 9);
    expect(at(0, ALWAYS_HEATED, { shore: false })).toBeCloseTo(0, 9);
  });

  it('says when the gas first boils off too slowly, and that it never does', () => {
    const gas = { kg: 1, cylinderKg: 9.07, refilled: true };
    const heat = { ...FURNACE, setC: 30, ductedShare: 0, gas };
    // A ninth of 9 kg: 12·12·47 BTU/h at 0 °F, three quarters of it heat: 1.5 kW, and 2.6 times that at 0 °C.
    const counted = { ...ALWAYS_HEATED, suppliedFrom: 3 * HOUR };
    const trace = solved(steadyUnit(heat), constant(-10, 8), counted);
    expect(trace.track.gasShortS).toBe(3 * HOUR);
    expect(trace.track.gasOutS).toBe(Infinity);
    const plenty = solved(steadyUnit({ ...heat, gas: { ...gas, kg: 9 } }), constant(10, 8), counted);
    expect(plenty.track.gasShortS).toBe(Infinity);
    expect(solved(steadyUnit(heat), constant(-10, 8), ALWAYS_HEATED).track.gasShortS).toBe(Infinity);
    // Asked for less than it gives, it is not short of anything.
    const idle = solved(steadyUnit({ ...heat, setC: -2 }), constant(-10, 8), counted);
    expect(idle.track.gasShortS).toBe(Infinity);
  });
});
