/** What must hold of a unit in any weather, tried on random hours. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { ALWAYS_HEATED, NEVER_HEATED } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { budgetKelvinHours, iceFraction, takenAt, usedKelvinHours, type Line } from '../../src/model/part.ts';
import { Trace, runPart } from '../../src/model/trace.ts';
import type { Part, UnitSpec } from '../../src/model/unit.ts';
import { hourly, runThrough, type PartRun } from '../support/part-run.ts';

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
