/** What must hold of a unit in any weather, tried on random hours. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { ALWAYS_HEATED, NEVER_HEATED } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { budgetKelvinHours, iceFraction, takenAt, usedKelvinHours, type Line } from '../../src/model/part.ts';
import { Trace, runPart } from '../../src/model/trace.ts';
import type { Part, UnitSpec } from '../../src/model/unit.ts';
import { flowThrough } from '../support/part-flow.ts';
import { hourly, runThrough, type From, type PartRun } from '../support/part-run.ts';

const HOUR = 3600;

/** Tenths of a degree, as forecasts give them: zero itself among them. */
const tenths = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: min * 10, max: max * 10 }).map((n) => n / 10);

const air = fc.array(tenths(-25, 20), { minLength: 3, maxLength: 40 });

const part: fc.Arbitrary<Part> = fc
  .record({
    waterKg: fc.double({ min: 0.005, max: 5, noNaN: true }),
    conductanceWPerK: fc.double({ min: 0.05, max: 4, noNaN: true }),
    wallHeatCapacityJPerK: fc.double({ min: 0, max: 500, noNaN: true }),
    iceLayerRatio: fc.constantFrom(0, 0.5, 3),
    blocked: fc.constantFrom(0.2, 0.9),
  })
  .map((of) => ({
    id: 'part',
    label: 'part',
    zone: 'outside',
    circuit: 'cold',
    windShare: 0,
    startTemperatureC: null,
    body: 'rigid',
    solid: 0.95,
    pocket: 'never',
    provenance: 'config',
    ...of,
  }));

/** Within one hour its ice thaws below the line and passes it again. */
const SMALL: Part = {
  id: 'small',
  label: 'small',
  zone: 'outside',
  circuit: 'cold',
  waterKg: 0.005,
  conductanceWPerK: 0.05,
  windShare: 0,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: null,
  body: 'rigid',
  blocked: 0.2,
  solid: 0.95,
  iceLayerRatio: 0,
  pocket: 'never',
  provenance: 'config',
};

/** Hour by hour, each cut into so many pieces. */
function run(of: Part, values: readonly number[], cuts = 1, startC = 4): PartRun {
  return runThrough(of, hourly(values, cuts), { temperatureC: startC });
}

function firstAt({ events }: PartRun, wanted: Line): number {
  return events.find(({ line }) => line === wanted)?.at ?? Infinity;
}

describe('a part', () => {
  it('freezes no later in colder air', () => {
    fc.assert(
      fc.property(part, air, tenths(0.1, 8), (of, values, colder) => {
        const warm = run(of, values);
        const cold = run(
          of,
          values.map((t) => t - colder),
        );
        for (const line of ['zero', 'blocked', 'solid'] as const) {
          expect(firstAt(cold, line)).toBeLessThanOrEqual(firstAt(warm, line) + 1e-3);
        }
        expect(cold.end.taken).toBeGreaterThanOrEqual(warm.end.taken - 1e-9);
        expect(cold.end.temperatureC).toBeLessThanOrEqual(warm.end.temperatureC + 1e-7);
      }),
      { numRuns: 150, seed: 20_261_125 },
    );
  });

  it('thaws in hours that are warm enough, and is then as if it had never frozen', () => {
    fc.assert(
      fc.property(part, air, (of, values) => {
        const frozen = run(of, values);
        // From the coldest ice, the time to thaw and to warm, twice over.
        const capacity = of.waterKg * 4200 + of.wallHeatCapacityJPerK;
        const need = takenAt(of, 1) * of.waterKg * 333_550 + 25 * capacity;
        const hours = 2 + Math.ceil((3 * need) / (of.conductanceWPerK * 10 * HOUR));
        const { end } = frozen;
        const warm = Array.from({ length: hours }, () => ({ a: 10, b: 0, durationS: HOUR }));
        const thaw = runThrough(of, warm, { ...end, solid: end.phase === 'solid' });
        [end, ...thaw.points].reduce((before, after) => {
          expect(after.taken).toBeLessThanOrEqual(before.taken);
          return after;
        });
        expect(thaw.end.taken).toBe(0);
        expect(thaw.end.temperatureC).toBeGreaterThan(0);
      }),
      { numRuns: 60, seed: 20_261_125 },
    );
  });

  it('is the same whether an hour is taken whole or in two', () => {
    fc.assert(
      fc.property(part, air, (of, values) => {
        const whole = run(of, values);
        const halves = run(of, values, 2);
        expect(Math.abs(whole.end.temperatureC - halves.end.temperatureC)).toBeLessThan(1e-9);
        expect(Math.abs(whole.end.taken - halves.end.taken)).toBeLessThan(1e-9);
        expect(halves.events.map((e) => e.line)).toEqual(whole.events.map((e) => e.line));
      }),
      { numRuns: 150, seed: 20_261_125, examples: [[SMALL, [0, -2.2, 0.4, -0.3, 0]]] },
    );
  });

  it('has used of its budget what it has of its ice, by the cold that takes', () => {
    fc.assert(
      fc.property(part, fc.double({ min: 0, max: 1, noNaN: true }), (of, fraction) => {
        const taken = takenAt(of, fraction);
        expect(iceFraction(of, taken)).toBeCloseTo(fraction, 12);
        expect(usedKelvinHours(of, taken)).toBeCloseTo(budgetKelvinHours(of, fraction), 9);
        if (of.iceLayerRatio > 0) return;
        const share = usedKelvinHours(of, taken) / budgetKelvinHours(of, of.blocked);
        expect(share).toBeCloseTo(fraction / of.blocked, 9);
      }),
      { numRuns: 100, seed: 20_261_125 },
    );
  });
});

describe('a part that is better covered', () => {
  // T_covered = r·T_bare + (1 − r)·(T_bare smoothed), r the share of its conductance: above zero for as long as the
  // bare one is.
  it('freezes no sooner, whatever the air does', () => {
    const share = fc.double({ min: 0.02, max: 1, noNaN: true });
    fc.assert(
      fc.property(part, air, share, tenths(0, 15), (of, values, less, startC) => {
        const bare = run(of, values, 1, startC);
        const covered = run({ ...of, conductanceWPerK: of.conductanceWPerK * less }, values, 1, startC);
        for (const line of ['zero', 'blocked', 'solid'] as const) {
          expect(firstAt(covered, line)).toBeGreaterThanOrEqual(firstAt(bare, line) - 1e-3);
        }
      }),
      { numRuns: 300, seed: 20_261_125 },
    );
  });
});

describe('the balance of a part', () => {
  /** From water at 0 °C [J]. */
  function enthalpyJ(of: Part, { temperatureC, taken = 0, solid }: From): number {
    const water = of.waterKg * (temperatureC > 0 ? 4200 : 2110) + of.wallHeatCapacityJPerK;
    const ice = (solid === true ? takenAt(of, 1) : taken) * of.waterKg * 333_550;
    return water * temperatureC - ice;
  }

  it('holds: what it has gained is what has flowed into it, to 1e-9', () => {
    // Slower than ten minutes, so that quadrature need not look close for long.
    const slow = part.map((of) => ({
      ...of,
      conductanceWPerK: Math.min(of.conductanceWPerK, of.waterKg * 7),
    }));
    const short = fc.array(tenths(-25, 20), { minLength: 3, maxLength: 9 });
    fc.assert(
      fc.property(slow, short, (of, values) => {
        let state: From = { temperatureC: 4 };
        let [heatJ, sizeJ] = [0, 0];
        for (const piece of hourly(values)) {
          const flow = flowThrough(of, piece, state);
          heatJ += flow.heatJ;
          sizeJ += flow.sizeJ;
          state = flow.end;
        }
        const gained = enthalpyJ(of, state) - enthalpyJ(of, { temperatureC: 4 });
        expect(Math.abs(gained - heatJ) / sizeJ).toBeLessThan(1e-9);
      }),
      { numRuns: 15, seed: 20_261_125 },
    );
  });

  it('gives the same budget in any air: degree-hours below 0 °C from the first ice on', () => {
    const cold = fc.array(tenths(-25, -0.1), { minLength: 120, maxLength: 120 });
    // Small enough to be all ice in time.
    const small = part.map((of) => ({ ...of, waterKg: Math.min(of.waterKg, of.conductanceWPerK) }));
    let passed = 0;
    fc.assert(
      fc.property(small, cold, (of, values) => {
        const { events } = run(of, values, 1, 0);
        for (const line of ['blocked', 'solid'] as const) {
          const at = events.find((e) => e.line === line)?.at;
          if (at === undefined) continue;
          passed++;
          const budget = budgetKelvinHours(of, of[line]);
          expect(Math.abs(degreeHours(values, at) / budget - 1)).toBeLessThan(1e-9);
        }
      }),
      { numRuns: 100, seed: 20_261_125 },
    );
    expect(passed).toBeGreaterThan(150);
  });

  /** ∫ of what a line between hours lies below zero, by trapezia [K·h]. */
  function degreeHours(values: readonly number[], untilS: number): number {
    let sum = 0;
    for (let hour = 0; hour * HOUR < untilS; hour++) {
      const share = Math.min(1, untilS / HOUR - hour);
      const [y0, y1] = [values[hour]!, values[hour + 1]!];
      sum -= share * (y0 + ((y1 - y0) * share) / 2);
    }
    return sum;
  }
});

describe('the parts of a whole unit', () => {
  const spec = (over: Partial<UnitSpec>): UnitSpec => ({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: null,
    slides: 0,
    belly: 'enclosed',
    skirting: 'vinyl',
    hoseConnected: true,
    heat: null,
    network: null,
    parts: { catalogue: true, add: [], without: [], own: [] },
    ...over,
  });
  const heat = { setC: 12, furnaceW: 5000, ductedShare: 0.15, running: true };
  const cases = [
    ['without heat', buildUnit(spec({})), NEVER_HEATED],
    ['heated', buildUnit(spec({ belly: 'heated', heat })), ALWAYS_HEATED],
  ] as const;

  for (const [name, unit, plan] of cases) {
    it(`${name}: come through any weather with ice between none and all, and never freeze warm`, () => {
      const trace = new Trace(unit);
      const wind = fc.double({ min: 0, max: 20, noNaN: true });
      fc.assert(
        fc.property(air, wind, (values, windSpeedMps) => {
          const member = {
            weight: 1,
            temperatureC: Float64Array.from(values),
            windSpeedMps: Float64Array.from(values, () => windSpeedMps),
            groundC: Float64Array.from(values, () => 3),
          };
          trace.solve(hourlyAir(unit, 0, member), plan);
          for (const of of unit.parts) {
            const { iceFraction: ice, temperatureC } = runPart(trace, { part: of, wetSince: null });
            ice.forEach((fraction, hour) => {
              expect(fraction).toBeGreaterThanOrEqual(0);
              expect(fraction).toBeLessThanOrEqual(1);
              // Above zero it is all water, below all ice.
              if (temperatureC[hour]! > 0) expect(fraction).toBe(0);
              if (temperatureC[hour]! < -1e-9) expect(fraction).toBe(1);
            });
          }
        }),
        { numRuns: 25, seed: 20_261_125 },
      );
    });
  }
});
