/** What must hold of a unit in any weather, tried on random hours. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { linearCourse } from '../../src/model/course.ts';
import { buildUnit } from '../../src/model/catalogue.ts';
import {
  advancePart,
  budgetKelvinHours,
  iceFraction,
  takenAt,
  usedKelvinHours,
  type PartEvent,
  type PartState,
} from '../../src/model/part.ts';
import { hourlyAir, runPart, traceMember } from '../../src/model/trace.ts';
import type { Part, UnitSpec } from '../../src/model/unit.ts';
import { ALWAYS_HEATED, NEVER_HEATED, ZoneSolver } from '../../src/model/zones.ts';

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

interface Run {
  readonly state: PartState;
  readonly events: readonly PartEvent[];
}

/** Hour by hour, each cut into so many stretches. */
function run(of: Part, values: readonly number[], cuts = 1, startC = 4): Run {
  const state = { temperatureC: startC, taken: 0 };
  const events: PartEvent[] = [];
  values.slice(1).forEach((to, hour) => {
    const from = values[hour]!;
    for (let cut = 0; cut < cuts; cut++) {
      const durationS = HOUR / cuts;
      const course = linearCourse(from + ((to - from) * cut) / cuts, (to - from) / HOUR);
      const passed = advancePart(of, state, {
        air: course,
        durationS,
        conductanceWPerK: of.conductanceWPerK,
      });
      events.push(...passed.map((e) => ({ ...e, atS: hour * HOUR + cut * durationS + e.atS })));
    }
  });
  return { state, events };
}

function firstAt({ events }: Run, line: PartEvent['line']): number {
  return events.find((e) => e.line === line)?.atS ?? Infinity;
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
        expect(cold.state.taken).toBeGreaterThanOrEqual(warm.state.taken - 1e-9);
        expect(cold.state.temperatureC).toBeLessThanOrEqual(warm.state.temperatureC + 1e-7);
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
        const state = { ...frozen.state };
        const stretch = { air: linearCourse(10, 0), durationS: HOUR, conductanceWPerK: of.conductanceWPerK };
        for (let hour = 0; hour < hours; hour++) {
          const before = { ...state };
          advancePart(of, state, stretch);
          expect(state.taken).toBeLessThanOrEqual(before.taken);
        }
        expect(state.taken).toBe(0);
        expect(state.temperatureC).toBeGreaterThan(0);
      }),
      { numRuns: 60, seed: 20_261_125 },
    );
  });

  it('is the same whether an hour is taken whole or in two', () => {
    fc.assert(
      fc.property(part, air, (of, values) => {
        const whole = run(of, values);
        const halves = run(of, values, 2);
        expect(Math.abs(whole.state.temperatureC - halves.state.temperatureC)).toBeLessThan(1e-9);
        expect(Math.abs(whole.state.taken - halves.state.taken)).toBeLessThan(1e-9);
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
      const solver = new ZoneSolver(unit);
      const wind = fc.double({ min: 0, max: 20, noNaN: true });
      fc.assert(
        fc.property(air, wind, (values, windSpeedMps) => {
          const member = {
            weight: 1,
            temperatureC: Float64Array.from(values),
            windSpeedMps: Float64Array.from(values, () => windSpeedMps),
            groundC: Float64Array.from(values, () => 3),
          };
          const trace = traceMember(solver, hourlyAir(0, member), plan);
          for (const of of unit.parts) {
            const { iceFraction: ice, temperatureC } = runPart(trace, {
              part: of,
              wetSince: null,
              leaveAfter: null,
            });
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
