/** When heat, power and gas are on, days on the road among them. */
import { describe, expect, it } from 'vitest';
import { ALWAYS_HEATED, NEVER_HEATED, switchAt, underWay, type HeatPlan } from '../../src/model/heat-plan.ts';
import { windClass } from '../../src/model/film.ts';
import { hourlyAir } from '../../src/model/hourly-air.ts';
import { Trace, furnaceByHour, runPart } from '../../src/model/trace.ts';
import type { Tow, UnitModel } from '../../src/model/unit.ts';
import { steadyUnit } from '../support/steady-unit.ts';

const HOUR = 3600;
const ON = { heat: true, shore: true, gas: true } as const;
const OFF = { heat: false, shore: false, gas: false } as const;
/** Before the first switch: no heat, but what is plugged in is plugged in. */
const UNSWITCHED = { heat: false, shore: true, gas: true } as const;

describe('what is on at an instant', () => {
  const plan: HeatPlan = {
    switches: [
      { at: 100, ...ON },
      { at: 200, ...ON, shore: false },
      { at: 300, ...OFF },
    ],
    suppliedFrom: 0,
  };
  it.each([
    [99.999, UNSWITCHED],
    [100, ON],
    [199.999, ON],
    [200, { ...ON, shore: false }],
    [300, OFF],
    [1e9, OFF],
  ])('at %f s is what was switched last', (at, expected) =>
    expect(switchAt(plan, at)).toMatchObject(expected),
  );

  it('is heat for ever in the plan that always heats, and none in the one that never does', () => {
    for (const at of [-1e12, 0, 1e12]) {
      expect(switchAt(ALWAYS_HEATED, at)).toMatchObject(ON);
      expect(switchAt(NEVER_HEATED, at)).toMatchObject(UNSWITCHED);
    }
  });

  it('is what was written last where two switches fall together', () => {
    const twice = {
      switches: [
        { at: 5, ...ON },
        { at: 5, ...OFF },
      ],
      suppliedFrom: 0,
    };
    expect(switchAt(twice, 5)).toMatchObject(OFF);
  });
});

const tow = (from: number, until: number, speedMps = 25): Tow => ({ from, until, speedMps });

function towed(tows: readonly Tow[]): UnitModel {
  return { ...steadyUnit({ setC: 18, furnaceW: 6000, ductedShare: 0, running: true }), tows };
}

describe('a plan with days on the road', () => {
  it('is the plan itself where there are none', () => {
    expect(underWay(ALWAYS_HEATED, towed([]))).toBe(ALWAYS_HEATED);
  });

  it('has neither furnace nor power nor gas under way, and what was planned before and after', () => {
    const plan: HeatPlan = {
      switches: [
        { at: -Infinity, ...ON },
        { at: 150, ...ON, shore: false },
      ],
      suppliedFrom: 7,
    };
    const road = underWay(plan, towed([tow(100, 200), tow(300, 400)]));
    const expected = [
      [-1e9, ON],
      [99, ON],
      [100, OFF],
      [150, OFF],
      [199, OFF],
      [200, { ...ON, shore: false }],
      [300, OFF],
      [400, { ...ON, shore: false }],
    ] as const;
    for (const [at, on] of expected) expect(switchAt(road, at), `${at} s`).toMatchObject(on);
    expect(road.suppliedFrom).toBe(7);
    const instants = road.switches.map((s) => s.at);
    expect(instants).toEqual(instants.toSorted((a, b) => a - b));
  });

  it('stays off between two legs that overlap', () => {
    const road = underWay(ALWAYS_HEATED, towed([tow(100, 300), tow(200, 400)]));
    for (const at of [100, 250, 300, 399]) expect(switchAt(road, at), `${at} s`).toMatchObject(OFF);
    expect(switchAt(road, 400)).toMatchObject(ON);
  });

  it('knows no heat after the road that was not planned before it', () => {
    expect(switchAt(underWay(NEVER_HEATED, towed([tow(100, 200)])), 200)).toMatchObject(UNSWITCHED);
  });
});

describe('a unit under way', () => {
  const from = 10 * HOUR + 600;
  const until = 14 * HOUR + 60;
  const member = {
    weight: 1,
    temperatureC: new Float64Array(31).fill(-12),
    windSpeedMps: new Float64Array(31).fill(2),
    groundC: new Float64Array(31).fill(3),
  };

  it('has its speed for wind in every hour that it is on the road in, unless it blows harder', () => {
    const { windClass: classes } = hourlyAir(towed([tow(from, until)]), 0, member);
    classes.forEach((of, hour) =>
      expect(of, `hour ${hour}`).toBe(windClass(hour >= 10 && hour <= 14 ? 25 : 2)),
    );
    const storm = { ...member, windSpeedMps: new Float64Array(31).fill(30) };
    expect(hourlyAir(towed([tow(from, until)]), 0, storm).windClass[12]).toBe(windClass(30));
  });

  it('has it whatever shelter the unit stands in', () => {
    const sheltered = { ...towed([tow(from, until)]), windReaching: 0 };
    expect(hourlyAir(sheltered, 0, member).windClass[12]).toBe(windClass(25));
    expect(hourlyAir(sheltered, 0, member).windClass[20]).toBe(0);
  });

  it('is not heated from the second that it leaves to the second that it arrives', () => {
    const unit = towed([tow(from, until)]);
    const trace = new Trace(unit).solve(hourlyAir(unit, 0, member), underWay(ALWAYS_HEATED, unit));
    const watts = furnaceByHour(trace);
    expect(watts[9]).toBeGreaterThan(4000);
    expect(watts[10]! / watts[9]!).toBeCloseTo(600 / HOUR, 1);
    expect(Array.from(watts.slice(11, 14))).toEqual([0, 0, 0]);
    expect(watts[14]! / 6000).toBeCloseTo(59 / 60, 6);
  });

  it('freezes what hangs in the wind sooner than one that stands', () => {
    const parts = { catalogue: true, add: [], without: [], own: [] };
    const standing = steadyUnit(null, { parts });
    const moving = { ...standing, tows: [tow(0, 20 * HOUR)] };
    const [still, fast] = [standing, moving].map((unit) => {
      const part = unit.parts.find(({ id }) => id === 'cold-line')!;
      const mild = { ...member, temperatureC: member.temperatureC.map((_, i) => (i === 0 ? 8 : -6)) };
      const trace = new Trace(unit).solve(hourlyAir(unit, 0, mild), underWay(NEVER_HEATED, unit));
      return runPart(trace, { part, wetSince: null }).events.find(({ line }) => line === 'blocked')!.at;
    });
    expect(fast).toBeLessThan(0.7 * still!);
  });
});
