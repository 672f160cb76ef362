/** What several members do to several parts under several courses of action; instants by hand. */
import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import { RiskAssessor, type RiskRequest, type Scenario } from '../../src/model/risk.ts';
import { zoneAtHours } from '../../src/model/trace.ts';
import type { Part, UnitModel } from '../../src/model/unit.ts';
import type { CircuitState, UnitWater, WaterState } from '../../src/model/water-state.ts';
import type { Outlook } from '../../src/weather/outlook.ts';
import { steadyUnit } from '../support/steady-unit.ts';

const HOUR = 3600;
const FIRST = 400_000 * HOUR;
const WELL: WaterState = { kind: 'drained', quality: 'well' };
const BLOWN: WaterState = { kind: 'blown' };

/** From 0 °C a fifth is ice after 66 710 J per kg: at 5 K below, 0.5 W/K and 0.1 kg after 2668.4 s. */
function part(id: string, over: Partial<Part> = {}): Part {
  return {
    id,
    label: id,
    zone: 'outside',
    circuit: 'cold',
    waterKg: 0.1,
    conductanceWPerK: 0.5,
    windShare: 0,
    wallHeatCapacityJPerK: 0,
    startTemperatureC: 0,
    body: 'rigid',
    blocked: 0.2,
    solid: 0.95,
    iceLayerRatio: 0,
    pocket: 'never',
    provenance: 'config',
    ...over,
  };
}

/** Seconds until it is blocked at so many degrees below. */
function blockedS(belowK: number, waterKg = 0.1): number {
  return (waterKg * 66_710) / (0.5 * belowK);
}

function outlook(members: readonly (readonly number[])[], windMps = 0): Outlook {
  const hours = members[0]!.length;
  return {
    source: 'series',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    version: 'one',
    firstHour: FIRST,
    endsAtHole: false,
    hours,
    members: members.map((values, i) => ({
      weight: (i + 1) / 10,
      temperatureC: Float64Array.from(values),
      windSpeedMps: new Float64Array(hours).fill(windMps),
      groundC: new Float64Array(hours).fill(3),
    })),
    middle: 0,
    resolution: 1,
    assumptions: [],
  };
}

const steady = (valueC: number, hours = 12): number[] => new Array<number>(hours + 1).fill(valueC);

function state(of: WaterState, since: number | null = null): CircuitState {
  return { state: of, since, by: null };
}

function water(all: WaterState = { kind: 'wet' }, circuits: UnitWater['circuits'] = {}): UnitWater {
  return { all: state(all), circuits };
}

function unit(parts: readonly Part[], heat: Parameters<typeof steadyUnit>[0] = null): UnitModel {
  return { ...steadyUnit(heat), parts };
}

const NOTHING: Scenario = { unit: null, plan: NEVER_HEATED, change: null, until: Infinity };

function assessor(over: Partial<RiskRequest> & Pick<RiskRequest, 'unit' | 'outlook'>): RiskAssessor {
  return new RiskAssessor({ water: water(), now: FIRST, rule: { atC: -4, hours: 3 }, ...over });
}

/** Seconds from the first hour. */
const since = (instants: Iterable<number>): number[] => [...instants].map((at) => at - FIRST);

function expectNear(found: Iterable<number>, expected: readonly number[]): void {
  const all = [...found];
  expect(all).toHaveLength(expected.length);
  for (const [i, at] of all.entries()) {
    if (Number.isFinite(expected[i])) expect(Math.abs(at - expected[i]!), `at ${i}`).toBeLessThan(1e-3);
    else expect(at, `at ${i}`).toBe(expected[i]);
  }
}

describe('what every member does', () => {
  const big = part('big', { waterKg: 0.3 });
  const small = part('small');
  const asked = assessor({
    unit: unit([big, small, part('warm', { zone: 'inside', startTemperatureC: null })]),
    outlook: outlook([steady(-5), steady(4), steady(-10)]),
  });

  it('is told by member, and in it by part', () => {
    const [risk] = asked.assess([NOTHING]);
    expect([...risk!.weights]).toEqual([0.1, 0.2, 0.3]);
    expectNear(since(risk!.firstAt), [blockedS(5), Infinity, blockedS(10)]);
    expect([...risk!.firstPart]).toEqual([1, -1, 1]);
    const [bigAt, smallAt] = [blockedS(5, 0.3), blockedS(5)];
    expectNear(
      since(risk!.partAt).filter((_, i) => i % 3 < 2),
      [bigAt, smallAt, Infinity, Infinity, bigAt / 2, smallAt / 2],
    );
    // Inside goes with the air: the third freezes as the small one does.
    expectNear(since([risk!.partAt[2]!]), [blockedS(5)]);
    expect([...risk!.lastBefore]).toEqual([-Infinity, -Infinity, -Infinity]);
  });

  it('is the same for one member that is asked for alone', () => {
    const all = asked.assess([NOTHING])[0]!;
    const [one] = asked.assessMember([NOTHING], 2);
    expect([...one!.weights]).toEqual([0.3]);
    expect([...one!.firstAt]).toEqual([all.firstAt[2]]);
    expect([...one!.partAt]).toEqual(Array.from(all.partAt.slice(6)));
  });

  it('is not asked of a member that there is not', () => {
    expect(() => asked.assessMember([NOTHING], 3)).toThrow();
    expect(() => asked.trace(NOTHING, 3)).toThrow(/no member 3; this is a bug/);
  });

  it('comes to the first of two parts that are the same', () => {
    const twins = assessor({ unit: unit([part('one'), part('other')]), outlook: outlook([steady(-5)]) });
    expect([...twins.assess([NOTHING])[0]!.firstPart]).toEqual([0]);
  });
});

describe('before and after now', () => {
  // −10 °C for five hours, a thaw of as many at 30, and cold again from the eleventh to the sixteenth.
  const values = [...steady(-10, 5), ...steady(30, 4), ...steady(-10, 8)];
  const at = (now: number) => {
    const risk = assessor({ unit: unit([part('one')]), outlook: outlook([values]), now: FIRST + now }).assess(
      [NOTHING],
    )[0]!;
    return { beforeS: risk.lastBefore[0]! - FIRST, afterS: risk.firstAt[0]! - FIRST };
  };

  it('each freezing is seen once, on its side', () => {
    const { beforeS: firstS, afterS: secondS } = at(9 * HOUR);
    expect(firstS).toBeCloseTo(blockedS(10), 3);
    expect(secondS).toBeGreaterThan(11 * HOUR);
    expect(at(20 * HOUR)).toEqual({ beforeS: secondS, afterS: Infinity });
    expect(at(0)).toEqual({ beforeS: -Infinity, afterS: firstS });
  });

  it('what happens at the very instant is past', () => {
    const { beforeS: firstS, afterS: secondS } = at(9 * HOUR);
    expect(at(firstS)).toEqual({ beforeS: firstS, afterS: secondS });
    expect(at(firstS - 0.01).afterS).toBe(firstS);
  });
});

describe('courses of action side by side', () => {
  const heat = { setC: 15, furnaceW: 6000, ductedShare: 0, running: false };
  const parts = [part('inside', { zone: 'inside', startTemperatureC: null }), part('outside')];
  const cold = outlook([steady(-5), steady(-10)]);
  const asked = assessor({ unit: unit(parts, heat), outlook: cold });
  const heated: Scenario = { ...NOTHING, plan: ALWAYS_HEATED };

  it('each have their own answer, in whatever order they are asked', () => {
    const drained: Scenario = { ...NOTHING, change: { at: FIRST + 600, water: water(BLOWN) } };
    const others = { ...NOTHING, unit: unit([parts[1]!, parts[0]!], heat), plan: ALWAYS_HEATED };
    const [plain, warm, empty, again, swapped] = asked.assess([NOTHING, heated, drained, NOTHING, others]);
    expectNear(since(plain!.firstAt), [blockedS(5), blockedS(10)]);
    expect([...plain!.firstPart]).toEqual([0, 0]);
    expect([...warm!.firstPart]).toEqual([1, 1]);
    expect([...warm!.partAt].filter((_, i) => i % 2 === 0)).toEqual([Infinity, Infinity]);
    expect([...empty!.firstAt]).toEqual([Infinity, Infinity]);
    expect(again).toEqual(plain);
    // Another unit with its parts the other way about.
    expect([...swapped!.firstPart]).toEqual([0, 0]);
    expectNear(since(swapped!.firstAt), [blockedS(5), blockedS(10)]);
  });

  it('differ by when heat is switched, and by when supplies are counted', () => {
    const gas = { kg: 1, cylinderKg: 9, refilled: false };
    const fuelled = assessor({ unit: unit(parts, { ...heat, gas }), outlook: outlook([steady(-5, 36)]) });
    const from = (suppliedFrom: number): HeatPlan => ({ ...ALWAYS_HEATED, suppliedFrom });
    const off: HeatPlan = {
      switches: [...ALWAYS_HEATED.switches, { at: FIRST + 2 * HOUR, heat: false, shore: true, gas: true }],
      suppliedFrom: Infinity,
    };
    const plans = [ALWAYS_HEATED, from(FIRST), from(FIRST + 3 * HOUR), off];
    const insideAt = fuelled
      .assess(plans.map((plan) => ({ ...NOTHING, plan })))
      .map(({ partAt }) => partAt[0]! - FIRST);
    expect(insideAt[0]).toBe(Infinity);
    // A kilogram is 37.65 MJ, and 20 K take 4 kW: gone in about 3 h, and the rest is the cooling of inside.
    expect(insideAt[1]).toBeGreaterThan(3 * HOUR);
    expect(insideAt[2]! - insideAt[1]!).toBeGreaterThan(HOUR);
    expect(insideAt[3]!).toBeGreaterThan(2 * HOUR);
    expect(new Set(insideAt).size).toBe(4);
  });

  it('that share their zones and end at different times do not share their end', () => {
    const until = (s: number): Scenario => ({ ...NOTHING, until: FIRST + s });
    // The bigger one is blocked in the third hour.
    const one = assessor({ unit: unit([part('big', { waterKg: 0.3 })]), outlook: outlook([steady(-5)]) });
    const at = blockedS(5, 0.3);
    const found = one
      .assess([2 * HOUR, 2 * HOUR + 1, 3 * HOUR, 0, 1e9].map(until))
      .map(({ firstAt }) => firstAt[0]! - FIRST);
    expectNear(found, [Infinity, at, at, Infinity, at]);
  });

  it('are under way where the unit is', () => {
    const tows = [{ from: FIRST, until: FIRST + 12 * HOUR, speedMps: 25 }];
    const towed = assessor({ unit: { ...unit(parts, heat), tows }, outlook: cold });
    const [risk] = towed.assess([heated]);
    expectNear(
      since(risk!.partAt).filter((_, i) => i % 2 === 0),
      [blockedS(5), blockedS(10)],
    );
    const seen = towed.trace(heated, 1);
    expect([...zoneAtHours(seen, 'inside')].map((t) => Math.round(t * 1e9) / 1e9)).toEqual(steady(-10));
  });

  it('are shown in zones, of the unit that is meant, through all its hours', () => {
    const warm = zoneAtHours(asked.trace({ ...heated, until: FIRST }, 0), 'inside');
    expect(warm).toHaveLength(13);
    for (const insideC of warm) expect(insideC).toBeGreaterThan(14);
    const other = { ...unit(parts, { ...heat, setC: 5 }) };
    for (const insideC of zoneAtHours(asked.trace({ ...heated, unit: other }, 0), 'inside'))
      expect(insideC).toBeLessThan(6);
  });
});

describe('the wind at a part', () => {
  it('is the member’s, hour by hour', () => {
    const blown = part('blown', { windShare: 1, film: { diameterM: 0.02, fixedShare: 0 } });
    const of = (windMps: number): number =>
      assessor({ unit: unit([blown]), outlook: outlook([steady(-2)], windMps) }).assess([NOTHING])[0]!
        .firstAt[0]! - FIRST;
    expectNear([of(0)], [blockedS(2)]);
    expect(of(10)).toBeLessThan(blockedS(2) / 2);
  });
});

describe('cold that lasts in a drained unit', () => {
  const parts = [part('in', { zone: 'inside' }), part('out'), part('also-out')];
  const drained = { water: water(WELL), unit: unit(parts) };

  it('is counted zone by zone and member by member', () => {
    const late = [...steady(0, 4), ...steady(-6, 7)];
    const asked = assessor({ ...drained, outlook: outlook([steady(-6), late, steady(-3)]) });
    const [risk] = asked.assess([NOTHING]);
    const out = since(risk!.partAt).filter((_, i) => i % 3 > 0);
    // From 0 to −6 °C within the fifth hour: at −4 after two thirds of it.
    const due = (4 + 2 / 3 + 3) * HOUR;
    expectNear(out, [3 * HOUR, 3 * HOUR, due, due, Infinity, Infinity]);
    // Inside follows outside with 10 000 s.
    expect(risk!.partAt[3]! - FIRST).toBeGreaterThan(due + HOUR / 2);
    expect(risk!.partAt[0]! - FIRST).toBe(3 * HOUR);
  });

  it('is counted from when it was drained, and until it is filled', () => {
    const at = (change: Scenario['change'], held: UnitWater) =>
      assessor({ unit: unit([parts[1]!]), outlook: outlook([steady(-6)]), water: held }).assess([
        { ...NOTHING, change },
      ])[0]!.firstAt[0]! - FIRST;
    const fresh = { all: state(WELL, FIRST + HOUR), circuits: {} };
    expect(at(null, fresh)).toBe(4 * HOUR);
    const filled = {
      at: FIRST + 2 * HOUR,
      water: { all: state({ kind: 'wet' }, FIRST + 2 * HOUR), circuits: {} },
    };
    expectNear([at(filled, water(WELL))], [2 * HOUR + blockedS(6)]);
    // Before the weather begins nothing is known of.
    expect(at(null, { all: state(WELL, FIRST - 100 * HOUR), circuits: {} })).toBe(3 * HOUR);
    // Filled after the three hours are over, the harm is done.
    expect(at({ ...filled, at: FIRST + 3 * HOUR + 1 }, water(WELL))).toBe(3 * HOUR);
  });

  it('starts anew for what was filled in between', () => {
    const wet = { until: FIRST + 2 * HOUR, water: water({ kind: 'wet' }) };
    const before = { until: FIRST + HOUR, water: water(WELL) };
    const held: UnitWater = { all: state(WELL, FIRST + 2 * HOUR), circuits: {}, before: [before, wet] };
    // Too warm to freeze what is in it for an hour.
    const asked = assessor({
      unit: unit([part('slow', { waterKg: 5 })]),
      outlook: outlook([steady(-6)]),
      water: held,
      now: FIRST + 2 * HOUR,
    });
    expect(asked.assess([NOTHING])[0]!.firstAt[0]! - FIRST).toBe(5 * HOUR);
  });

  it('goes by what is in its own circuit', () => {
    const mixed = water(BLOWN, { hot: state({ kind: 'wet' }) });
    const asked = assessor({
      unit: unit([part('cold'), part('hot', { circuit: 'hot' })]),
      outlook: outlook([steady(-5)]),
      water: mixed,
    });
    const [risk] = asked.assess([NOTHING]);
    expectNear(since(risk!.partAt), [Infinity, blockedS(5)]);
    expect([...risk!.firstPart]).toEqual([1]);
  });
});

describe('water that comes in with the weather under way', () => {
  it('starts as warm as its air is then', () => {
    // 4 °C until it is filled, −5 °C from an hour later.
    const values = [...steady(4, 3), ...steady(-5, 9)];
    const fill = (at: number) => ({ all: state({ kind: 'wet' }, FIRST + at), circuits: {} });
    const of = part('one', { startTemperatureC: null });
    const firstAt = (held: UnitWater): number =>
      assessor({ unit: unit([of]), outlook: outlook([values]), water: held }).assess([NOTHING])[0]!
        .firstAt[0]! - FIRST;
    // Filled in the cold it is at 0 °C at once.
    expectNear([firstAt(fill(6 * HOUR))], [6 * HOUR + blockedS(5)]);
    // Filled before, it has 0.1·4200·4 J more to lose by then, and is later than that.
    const early = firstAt(fill(2 * HOUR));
    expect(early).toBe(firstAt(water()));
    expect(early).toBeGreaterThan(4 * HOUR + blockedS(5) - 0.5 * HOUR);
    // Filled after the last hour it is not seen.
    expect(firstAt(fill(13 * HOUR))).toBe(Infinity);
  });
});

it('weather that cannot be is refused, whoever asks', () => {
  const hole = steady(-5);
  hole[3] = Number.NaN;
  const asked = assessor({ unit: unit([part('one')]), outlook: outlook([hole]) });
  expect(() => asked.assess([NOTHING])).toThrow(ModelError);
  expect(() => asked.trace(NOTHING, 0)).toThrow(ModelError);
});
