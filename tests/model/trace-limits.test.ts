/** One member after another through one unit, and a part that is filled on the way. Worked by hand. */
import { describe, expect, it } from 'vitest';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, furnaceByHour, runPart, zoneAtHours } from '../../src/model/trace.ts';
import type { Part, PartHeat, UnitModel } from '../../src/model/unit.ts';
import { steadyUnit } from '../support/steady-unit.ts';
import { plainPart } from '../support/plain-part.ts';

const HOUR = 3600;
/** Not 0, so that an instant is not taken for a time since then. */
const FIRST = 1_700_000 * HOUR;

function unit(parts: readonly Part[], heat: Parameters<typeof steadyUnit>[0] = null): UnitModel {
  return { ...steadyUnit(heat), parts };
}

function weather(values: readonly number[], windMps = 0) {
  return {
    weight: 1,
    temperatureC: Float64Array.from(values),
    groundC: new Float64Array(values.length).fill(3),
    windSpeedMps: new Float64Array(values.length).fill(windMps),
  };
}

function solve(trace: Trace, values: readonly number[], plan: HeatPlan = NEVER_HEATED): Trace {
  return trace.solve(hourlyAir(trace.unit, FIRST, weather(values)), plan);
}

describe('a unit that has been through no weather', () => {
  it('has no air, and says so instead of making one up', () => {
    expect(() => new Trace(unit([])).air).toThrow(/no weather yet; this is a bug/);
  });
});

describe('one member after another', () => {
  it('is not taken for the one before', () => {
    const pad: PartHeat = { watts: 1, onBelowC: 5, needs: 'shore' };
    const parts = [plainPart(), plainPart({ id: 'padded', heat: pad })];
    const trace = new Trace(unit(parts));
    const run = (values: readonly number[]) => {
      solve(trace, values);
      return [
        [...zoneAtHours(trace, 'outside')],
        ...parts.map((of) => [...runPart(trace, { part: of, wetSince: null }).temperatureC]),
      ];
    };
    const [mild, cold] = [
      [6, 4, 2],
      [1, -9, -9],
    ];
    const first = run(mild);
    expect(first[0]).toEqual(mild);
    const second = run(cold);
    expect(second[0]).toEqual(cold);
    expect(second).not.toEqual(first);
    expect(run(mild)).toEqual(first);
  });

  it('goes through the same arrays and bodies', () => {
    const of = plainPart();
    const trace = new Trace(unit([of]));
    solve(trace, [1, 2]);
    const [zone, body] = [trace.zone('outside'), trace.body(of)];
    expect(trace.zone('outside')).toBe(zone);
    solve(trace, [3, 4]);
    expect([trace.zone('outside'), trace.body(of)]).toEqual([zone, body]);
    expect(trace.airOf(of)).toBe(zone);
    expect(zone.count).toBe(1);
  });
});

describe('a zone at the hours', () => {
  it('is known at the last instant, too, and in between where it crosses freezing', () => {
    const trace = solve(new Trace(unit([])), [2, -2, -2, 4]);
    expect([...zoneAtHours(trace, 'outside')]).toEqual([2, -2, -2, 4]);
    expect(trace.zone('outside').count).toBe(5);
    const into = new Float64Array(4);
    expect(zoneAtHours(trace, 'outside', into)).toBe(into);
  });
});

it('a furnace that is on for a quarter of an hour gives a quarter of its power in it', () => {
  const plan: HeatPlan = {
    switches: [
      { at: FIRST + HOUR, heat: true, shore: true, gas: true },
      { at: FIRST + 1.25 * HOUR, heat: false, shore: true, gas: true },
      { at: FIRST + 2.5 * HOUR, heat: true, shore: true, gas: true },
    ],
    suppliedFrom: Infinity,
  };
  const heat = { setC: 18, furnaceW: 4000, ductedShare: 0, running: true };
  const trace = solve(new Trace(unit([], heat)), [-20, -20, -20, -20], plan);
  const watts = [...furnaceByHour(trace)].map((w) => Math.round(w * 1e6) / 1e6);
  expect(watts).toEqual([0, 1000, 2000]);
});

describe('a part run through its hours', () => {
  /** From 0 °C in −10 °C a fifth is ice after 66 710 J at 5 W. */
  const BLOCKED_S = 66_710 / 5;

  it('passes its lines at instants, and stands at 0 °C while it freezes', () => {
    const of = plainPart({ startTemperatureC: 0 });
    const trace = solve(new Trace(unit([of])), new Array<number>(25).fill(-10));
    const { events, temperatureC, iceFraction, usedKelvinHours } = runPart(trace, {
      part: of,
      wetSince: null,
    });
    expect(events.map(({ line }) => line)).toEqual(['zero', 'blocked', 'solid']);
    expect(events[0]?.at).toBeCloseTo(FIRST, 6);
    expect(events[1]?.at).toBeCloseTo(FIRST + BLOCKED_S, 3);
    expect(events[2]?.at).toBeCloseTo(FIRST + (0.95 / 0.2) * BLOCKED_S, 3);
    // 10 K·h in each hour, until all of it is ice after 18.5.
    for (const hour of [0, 1, 7, 18]) {
      expect(usedKelvinHours[hour]).toBeCloseTo(10 * hour, 6);
      expect(iceFraction[hour]).toBeCloseTo((hour * HOUR * 5) / 333_550, 9);
      expect(temperatureC[hour]).toBe(0);
    }
    // 2110 J/(kg·K): 4220 s as ice.
    const frozenS = 333_550 / 5;
    expect(iceFraction[24]).toBe(1);
    expect(temperatureC[24]).toBeCloseTo(-10 * (1 - Math.exp(-(24 * HOUR - frozenS) / 4220)), 6);
  });

  it('is unknown until it is filled, and is then what it would have been had the weather begun there', () => {
    const of = plainPart();
    const values = [8, 5, 1, -4, -9, -11, -12, -12, -12, -12];
    const late = runPart(solve(new Trace(unit([of])), values), { part: of, wetSince: FIRST + 2 * HOUR });
    const anew = new Trace(unit([of]));
    anew.solve(hourlyAir(anew.unit, FIRST + 2 * HOUR, weather(values.slice(2))), NEVER_HEATED);
    const short = runPart(anew, { part: of, wetSince: null });
    for (const name of ['temperatureC', 'iceFraction', 'usedKelvinHours'] as const) {
      expect(late[name]).toHaveLength(values.length);
      expect(Array.from(late[name].slice(0, 2))).toEqual([Number.NaN, Number.NaN]);
      expect(Array.from(late[name].slice(2))).toEqual([...short[name]]);
    }
    expect(late.events).toEqual(short.events);
    expect(late.events.map(({ line }) => line)).toContain('blocked');
  });

  it('filled within an hour is taken as filled at its beginning, and after the last one never', () => {
    const of = plainPart();
    const trace = solve(new Trace(unit([of])), [8, 5, 3, 2]);
    const { temperatureC } = runPart(trace, { part: of, wetSince: FIRST + HOUR + 1 });
    expect(Array.from(temperatureC.slice(0, 2))).toEqual([Number.NaN, 5]);
    const never = runPart(trace, { part: of, wetSince: FIRST + 3 * HOUR });
    expect([...never.temperatureC]).toEqual(new Array<number>(4).fill(Number.NaN));
    expect(never.events).toEqual([]);
  });

  it('loses heat faster in wind, by the factor of its film', () => {
    const of = plainPart({ windShare: 1, film: { diameterM: 0.02, fixedShare: 1 }, startTemperatureC: 10 });
    const at = (windMps: number, film: NonNullable<Part['film']>): number => {
      const blown = { ...of, film };
      const trace = new Trace(unit([blown]));
      trace.solve(hourlyAir(trace.unit, FIRST, weather([2, 2], windMps)), NEVER_HEATED);
      return runPart(trace, { part: blown, wetSince: null }).temperatureC[1]!;
    };
    const calm = 2 + 8 * Math.exp(-HOUR / 8400);
    // All of its resistance in its wall: wind changes nothing.
    expect(at(10, { diameterM: 0.02, fixedShare: 1 })).toBeCloseTo(calm, 9);
    expect(at(0, { diameterM: 0.02, fixedShare: 0 })).toBeCloseTo(calm, 9);
    expect(at(10, { diameterM: 0.02, fixedShare: 0 })).toBeLessThan(2 + 8 * Math.exp((-2 * HOUR) / 8400));
  });
});

it('a part with its own heater comes through air that is cut at its thermostat, and so at the instant it is due', () => {
  // 5 W are worth 10 K. Air falls from 12 to 2 °C in an hour; the part is far slower.
  const of = plainPart({ heat: { watts: 5, onBelowC: 4, needs: 'shore' } });
  const trace = solve(new Trace(unit([of])), [12, 2, 2], ALWAYS_HEATED);
  const air = trace.airOf(of);
  expect(air).not.toBe(trace.zone('outside'));
  const starts = Array.from({ length: air.count }, (_, i) => Math.round(air.startS(i)));
  expect(starts).toEqual([0, 2880, 3600]);
  expect(trace.airOf(of)).toBe(air);
});
