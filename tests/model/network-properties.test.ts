/** What must hold of the zones of a unit, and of its parts in them, in any weather. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { COLDEST_C, HOTTEST_C, hourlyAir } from '../../src/model/hourly-air.ts';
import { windOfClass } from '../../src/model/film.ts';
import { RiskAssessor } from '../../src/model/risk.ts';
import { Trace, furnaceByHour, runPart, zoneAtHours } from '../../src/model/trace.ts';
import { ZONES, type NodeId, type UnitModel } from '../../src/model/unit.ts';
import type { Outlook, OutlookMember } from '../../src/weather/outlook.ts';
import { Random } from '../support/random.ts';
import { randomUnit } from '../support/random-unit.ts';

const HOUR = 3600;
const SEED = { seed: 20_261_125 } as const;
const seeds = fc.integer({ min: 1, max: 1_000_000 });
const tenths = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: min * 10, max: max * 10 }).map((n) => n / 10);
const air = fc.array(tenths(-25, 20), { minLength: 4, maxLength: 48 });

function memberOf(temperatureC: readonly number[], windMps = 0, groundC = 4): OutlookMember {
  return {
    weight: 1,
    temperatureC: Float64Array.from(temperatureC),
    windSpeedMps: Float64Array.from(temperatureC, () => windMps),
    groundC: Float64Array.from(temperatureC, () => groundC),
  };
}

function solve(unit: UnitModel, member: OutlookMember, plan: HeatPlan): Trace {
  return new Trace(unit).solve(hourlyAir(unit, 0, member), plan);
}

/** With a furnace whose heat all stays inside, which gas and battery never fail. */
function simplyHeated(seed: number): UnitModel {
  const unit = randomUnit(new Random(seed));
  const heat = { setC: 15, capacityW: 4000, ductedShare: 0, running: true, shore: true };
  return { ...unit, heat, parts: unit.parts.filter((part) => part.heat === undefined) };
}

/** No zone of the one is colder at any hour, and no part of it is blocked sooner. */
function expectWarmer(one: Trace, other: Trace): void {
  for (const zone of ZONES) {
    const theirs = zoneAtHours(other, zone);
    zoneAtHours(one, zone).forEach((warm, hour) => {
      expect(warm, `${zone}, hour ${hour}`).toBeGreaterThanOrEqual(theirs[hour]! - 1e-9);
    });
  }
  one.unit.parts.forEach((part, i) => {
    const blocked = (trace: Trace, of = part): number =>
      runPart(trace, { part: of, wetSince: null }).events.find((e) => e.line === 'blocked')?.at ?? Infinity;
    expect(blocked(one), part.id).toBeGreaterThanOrEqual(blocked(other, other.unit.parts[i]) - 1e-3);
  });
}

describe.each([
  ['unheated', NEVER_HEATED],
  ['with a furnace and nothing ducted below', ALWAYS_HEATED],
] as const)('a unit %s', (_, plan) => {
  it('is nowhere warmer, and no part of it freezes later, in colder weather', () => {
    fc.assert(
      fc.property(seeds, air, tenths(0.1, 8), tenths(0, 12), (seed, values, colder, windMps) => {
        const unit = simplyHeated(seed);
        const cold = values.map((t) => t - colder);
        expectWarmer(
          solve(unit, memberOf(values, windMps), plan),
          solve(unit, memberOf(cold, windMps, 4 - colder), plan),
        );
      }),
      { ...SEED, numRuns: 60 },
    );
  });

  // Only towards outside, and only while that is the coldest of all: a better floor keeps heat from an underbelly,
  // and a better skirt keeps last night's cold in.
  it('is nowhere colder for more cover against air that only falls', () => {
    const falling = fc.array(tenths(0, 3), { minLength: 4, maxLength: 40 }).map((drops) => {
      let now = 4;
      return [now, ...drops.map((drop) => (now = Math.max(-60, now - drop)))];
    });
    fc.assert(
      fc.property(
        seeds,
        falling,
        fc.nat(),
        fc.double({ min: 0.1, max: 1, noNaN: true }),
        (seed, values, which, share) => {
          const unit = simplyHeated(seed);
          const out = unit.network.paths.filter(({ between }) => between.includes('outside'));
          const chosen = out[which % out.length]!;
          const paths = unit.network.paths.map((path) =>
            path === chosen ? { ...path, calmWPerK: share * path.calmWPerK } : path,
          );
          const covered = { ...unit, network: { ...unit.network, paths } };
          expectWarmer(
            solve(covered, memberOf(values, 0, 5), plan),
            solve(unit, memberOf(values, 0, 5), plan),
          );
        },
      ),
      { ...SEED, numRuns: 60 },
    );
  });
});

describe('any unit', () => {
  it('is the same whether its hours are taken whole or cut where nothing is switched', () => {
    const milliseconds = fc.integer({ min: 0, max: 48 * HOUR * 1000 }).map((ms) => ms / 1000);
    fc.assert(
      fc.property(seeds, air, fc.array(milliseconds, { maxLength: 60 }), (seed, values, cuts) => {
        const unit = gasless(randomUnit(new Random(seed)));
        const on = { heat: true, shore: false, gas: true };
        const whole: HeatPlan = { switches: [{ at: -Infinity, ...on }], suppliedFrom: 0 };
        const more = cuts.toSorted((x, y) => x - y).map((at) => ({ at, ...on }));
        const cut: HeatPlan = { ...whole, switches: [...whole.switches, ...more] };
        expectSame(solve(unit, memberOf(values, 3), whole), solve(unit, memberOf(values, 3), cut));
      }),
      { ...SEED, numRuns: 40 },
    );
  });

  it('stores what its furnace gives less what it loses, to 1e-9', () => {
    fc.assert(
      fc.property(seeds, air, tenths(0, 12), (seed, values, windMps) => {
        const unit = simplyHeated(seed);
        // The ducted share of an enclosed belly; under an open one it would be lost.
        const share = unit.network.nodes.some((n) => n.id === 'underbelly') ? 0.3 : 0;
        const ducted = { ...unit, heat: { ...unit.heat!, capacityW: 7000, ductedShare: share } };
        const trace = solve(ducted, memberOf(values, windMps), ALWAYS_HEATED);
        const { gainedJ, lostJ, sizeJ } = balanceOf(trace, 4);
        const givenJ = furnaceByHour(trace).reduce((sum, watts) => sum + watts * HOUR, 0);
        expect(Math.abs(gainedJ - (givenJ - lostJ)) / (sizeJ + givenJ)).toBeLessThan(1e-9);
      }),
      { ...SEED, numRuns: 40 },
    );
  });

  it('is computed to finite numbers in any weather of this earth, and beyond', () => {
    const wild = fc.array(fc.double({ min: COLDEST_C, max: HOTTEST_C, noNaN: true }), {
      minLength: 2,
      maxLength: 30,
    });
    const wind = fc.double({ min: 0, max: 150, noNaN: true });
    fc.assert(
      fc.property(seeds, wild, wind, tenths(-60, 60), (seed, values, windMps, groundC) => {
        const unit = randomUnit(new Random(seed));
        const plan = { ...ALWAYS_HEATED, suppliedFrom: 0 };
        const trace = solve(unit, memberOf(values, windMps, groundC), plan);
        for (const zone of ZONES) expect(zoneAtHours(trace, zone).every(Number.isFinite), zone).toBe(true);
        for (const part of unit.parts) {
          const run = runPart(trace, { part, wetSince: null });
          expect(run.temperatureC.every(Number.isFinite), part.id).toBe(true);
          expect(run.usedKelvinHours.every(Number.isFinite), part.id).toBe(true);
          expect(
            run.iceFraction.every((ice) => ice >= 0 && ice <= 1),
            part.id,
          ).toBe(true);
        }
      }),
      { ...SEED, numRuns: 100 },
    );
  });
});

/** What boils off a cylinder that sinks is read anew at every cut: that alone may differ, and is left out. */
function gasless({ heat, ...unit }: UnitModel): UnitModel {
  if (heat === null) return { ...unit, heat };
  const { gas: _, ...rest } = heat;
  return { ...unit, heat: rest };
}

function expectSame(one: Trace, other: Trace): void {
  for (const zone of ZONES) {
    const theirs = zoneAtHours(other, zone);
    zoneAtHours(one, zone).forEach((warm, hour) => {
      expect(Math.abs(warm - theirs[hour]!), `${zone}, hour ${hour}`).toBeLessThan(1e-9);
    });
  }
  for (const part of one.unit.parts) {
    const [ours, theirs] = [one, other].map((trace) => runPart(trace, { part, wetSince: null }));
    ours!.iceFraction.forEach((ice, hour) => {
      const where = `${part.id}, hour ${hour}`;
      expect(Math.abs(ice - theirs!.iceFraction[hour]!), where).toBeLessThan(1e-9);
      expect(Math.abs(ours!.temperatureC[hour]! - theirs!.temperatureC[hour]!), where).toBeLessThan(1e-9);
    });
  }
}

/** Of all nodes together, by Gauss's five points over every piece of their courses. */
function balanceOf(trace: Trace, groundC: number) {
  const { nodes, paths } = trace.unit.network;
  const means = new Map<string, Float64Array>(
    [...nodes.map((n) => n.id), 'outside' as const].map((id) => [id, meansOf(trace, id)]),
  );
  const stored = (id: NodeId): number => zoneAtHours(trace, id).at(-1)! - zoneAtHours(trace, id)[0]!;
  const gainedJ = nodes.reduce((sum, { id, capacityJPerK }) => sum + capacityJPerK * stored(id), 0);
  let [lostJ, sizeJ] = [0, 0];
  for (const {
    between: [node, end],
    calmWPerK,
    windWPerKPerMps,
  } of paths) {
    if (end !== 'outside' && end !== 'ground') continue;
    trace.air.windClass.forEach((wind, hour) => {
      const edge = end === 'ground' ? groundC : means.get('outside')![hour]!;
      const joules =
        HOUR * (calmWPerK + windWPerKPerMps * windOfClass(wind)) * (means.get(node)![hour]! - edge);
      lostJ += joules;
      sizeJ += Math.abs(joules);
    });
  }
  return { gainedJ, lostJ, sizeJ };
}

/** Mean over each hour [°C]. */
function meansOf(trace: Trace, id: NodeId | 'outside'): Float64Array {
  const course = trace.zone(id);
  const means = new Float64Array(trace.air.hours);
  for (let i = 0; i < course.count; i++) {
    const durationS = course.durationS(i);
    // In quarters: a draught makes nodes that settle within minutes.
    for (let quarter = 0; quarter < 4; quarter++) {
      GAUSS.forEach(([at, weight]) => {
        const t = (durationS * (quarter + at)) / 4;
        means[course.hour(i)]! += (weight * durationS * course.valueAt(i, t)) / (4 * HOUR);
      });
    }
  }
  return means;
}

/** On [0, 1]; from memory, exact for polynomials up to degree 9. */
const GAUSS = [
  [0.5 - 0.906_179_845_938_664 / 2, 0.236_926_885_056_189_1 / 2],
  [0.5 - 0.538_469_310_105_683_1 / 2, 0.478_628_670_499_366_5 / 2],
  [0.5, 0.568_888_888_888_888_9 / 2],
  [0.5 + 0.538_469_310_105_683_1 / 2, 0.478_628_670_499_366_5 / 2],
  [0.5 + 0.906_179_845_938_664 / 2, 0.236_926_885_056_189_1 / 2],
] as const;

function outlookOf(member: OutlookMember): Outlook {
  return {
    source: 'series',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    version: 'one',
    firstHour: 0,
    endsAtHole: false,
    hours: member.temperatureC.length,
    members: [member],
    middle: 0,
    resolution: 1,
    assumptions: [],
  };
}

describe('weather that cannot be', () => {
  const unit = randomUnit(new Random(1));
  const fine = [-5, -6, -7];
  it.each([
    ['air too cold', memberOf([-5, COLDEST_C - 0.1, -5])],
    ['air too hot', memberOf([-5, HOTTEST_C + 0.1, -5])],
    ['a hole in the air', memberOf([-5, Number.NaN, -5])],
    ['endless cold', memberOf([-5, -Infinity, -5])],
    ['ground too hot', memberOf(fine, 0, HOTTEST_C + 1)],
    ['a hole in the ground', memberOf(fine, 0, Number.NaN)],
    ['wind below nothing', memberOf(fine, -1)],
    ['a hole in the wind', memberOf(fine, Number.NaN)],
  ])('%s is refused by name, whoever asks', (_, member) => {
    expect(() => hourlyAir(unit, 0, member)).toThrow(ModelError);
    expect(() => hourlyAir(unit, 0, member)).toThrow(
      /The model takes air and ground from .* found .* in hour \d/,
    );
    const outlook = outlookOf(member);
    const water = { all: { state: { kind: 'wet' }, since: null, by: null }, circuits: {} } as const;
    const assessor = new RiskAssessor({ unit, outlook, water, now: 0, rule: { atC: -4, hours: 6 } });
    const scenario = { unit: null, plan: NEVER_HEATED, change: null, until: Infinity };
    expect(() => assessor.assess([scenario])).toThrow(ModelError);
  });
});
