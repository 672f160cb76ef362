/** Belly skin and ducted share found again from readings of a unit of which both are known. */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { ALWAYS_HEATED, NEVER_HEATED, type HeatPlan } from '../../src/model/heat-plan.ts';
import type { UnitSpec, ZoneId } from '../../src/model/unit.ts';
import { leastOver } from '../../src/verify/minimum.ts';
import { tune, type TuneResult, type ZoneReading } from '../../src/verify/tune.ts';
import { tunables, tunedUnit, zonesIn, type Tuning } from '../../src/verify/tuned-unit.ts';
import { nightOf } from '../../src/weather/local-correction.ts';
import { seconds } from '../support/instants.ts';
import { normal } from '../support/kept.ts';
import { Random } from '../support/random.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;
/** Midnight in Denver. */
const START = seconds('2026-12-01T07:00:00Z');
const HOURS = 10 * 24;
const DENVER = { latitude: 39.7, longitude: -105, lie: 'bench', coldSpotK: 0, elevationM: null } as const;
const NIGHT = nightOf(DENVER, START, HOURS + 1);

const SPEC: UnitSpec = {
  id: 'blue',
  kind: 'travel-trailer',
  lengthM: 7.3,
  slides: 0,
  belly: 'heated',
  skirting: 'none',
  hoseConnected: false,
  heat: { setC: 18, furnaceW: 6000, ductedShare: null, running: true },
  network: null,
  parts: { catalogue: false, add: [], without: [], own: [] },
};
const ENCLOSED: UnitSpec = { ...SPEC, belly: 'enclosed' };

/** Cold spells and nights, and wind that comes and goes. */
const FRESH = {
  weight: 1,
  temperatureC: Float64Array.from(
    { length: HOURS + 1 },
    (_, i) => -4 + 5 * Math.sin(i / 31) - 5 * Math.cos((2 * Math.PI * (i - 3)) / 24),
  ),
  windSpeedMps: Float64Array.from({ length: HOURS + 1 }, (_, i) => 3.5 + 3 * Math.sin(i / 17)),
  groundC: new Float64Array(HOURS + 1).fill(2),
};

/** The furnace is out in every third night: then only the skin tells. */
const OUT_AT_TIMES: HeatPlan = {
  switches: Array.from({ length: 10 }, (_, day) => ({
    at: day === 0 ? -Infinity : START + day * DAY - 8 * HOUR,
    heat: day % 3 !== 1,
    shore: true,
    gas: true,
  })),
  suppliedFrom: Infinity,
};

interface Case {
  readonly spec: UnitSpec;
  readonly truth: Tuning;
  readonly biasK?: number;
  readonly seed?: number;
  readonly plan?: HeatPlan;
  readonly member?: typeof FRESH;
  /** What else is in a reading. */
  readonly more?: (hour: number) => number;
  readonly zones?: readonly ZoneId[];
  readonly hours?: (hour: number) => boolean;
}

function found({
  spec,
  truth,
  biasK = 0,
  seed = 1,
  plan = ALWAYS_HEATED,
  member = FRESH,
  ...rest
}: Case): TuneResult {
  const { more = () => 0, zones = ['underbelly'], hours = () => true } = rest;
  const random = new Random(seed);
  const simulate = zonesIn(buildUnit(spec), { firstHour: START, member, plan });
  const courses = simulate(truth);
  const readings: ZoneReading[] = zones.flatMap((zone) =>
    Array.from({ length: HOURS }, (_, hour) => ({
      zone,
      at: START + hour * HOUR,
      temperatureC: courses(zone).temperatureC[hour]! + biasK + 0.5 * normal(random) + more(hour),
    })).filter((_, hour) => hours(hour)),
  );
  return tune({ readings, night: NIGHT, ...tunables(spec), simulate });
}

function tuned(of: Case): Extract<TuneResult, { kind: 'tuned' }> {
  const result = found(of);
  if (result.kind !== 'tuned') throw new Error(result.message);
  return result;
}

function refusal(of: Case): string {
  const result = found(of);
  return result.kind === 'refused' ? result.code : 'tuned';
}

const SNUG: Tuning = { skinFactor: 0.8, ductedShare: null };

describe('a belly skin that is tighter or leakier than usual', () => {
  it.each([
    [0.8, 0],
    [0.8, 0.4],
    [1.2, -0.2],
    [1.2, -0.4],
  ])(
    'of %d times the usual is found to 0.1 with noise of 0.5 K and a sensor off by %d K',
    (skinFactor, biasK) => {
      const { tuning, misfitBeforeK, misfitK } = tuned({
        spec: ENCLOSED,
        truth: { ...SNUG, skinFactor },
        biasK,
      });
      expect(Math.abs(tuning.skinFactor! - skinFactor)).toBeLessThan(0.1);
      expect(tuning.ductedShare).toBeNull();
      expect(misfitK).toBeLessThan(0.8 * misfitBeforeK);
    },
  );
});

describe('belly skin and duct together', () => {
  it.each([
    [0.8, 0.06, 0],
    [0.8, 0.06, 0.4],
    [0.8, 0.06, -0.4],
    [1.2, 0.025, 0],
  ])(
    'of %d and %d, sensor off by %d K: to 0.1 and 0.01 where the furnace is out at times',
    (skin, share, biasK) => {
      const truth = { skinFactor: skin, ductedShare: share };
      const { tuning } = tuned({ spec: SPEC, truth, biasK, plan: OUT_AT_TIMES });
      expect(Math.abs(tuning.skinFactor! - skin)).toBeLessThan(0.1);
      expect(Math.abs(tuning.ductedShare! - share)).toBeLessThan(0.01);
    },
  );

  it('that make up for each other are left as usual: the zone is as warm either way', () => {
    expect(refusal({ spec: SPEC, truth: { skinFactor: 1.18, ductedShare: 0.065 } })).toBe('no-better');
  });
});

describe('readings that say little', () => {
  it('of a usual unit change nothing, whatever the noise', () => {
    for (const seed of [1, 2, 3, 4])
      expect(refusal({ spec: ENCLOSED, truth: { skinFactor: 1, ductedShare: null }, seed })).toBe(
        'no-better',
      );
  });

  it('of an unheated unit under a lid of cloud change nothing: every skin gives the same', () => {
    const cloudy = {
      ...FRESH,
      temperatureC: Float64Array.from({ length: HOURS + 1 }, (_, i) => 1 + 0.5 * Math.sin(i / 40)),
    };
    expect(refusal({ spec: ENCLOSED, truth: SNUG, plan: NEVER_HEATED, member: cloudy, biasK: 0.4 })).toBe(
      'no-better',
    );
  });

  it('of the day count for nothing: with the sun on the skin the same is found', () => {
    const sun = (hour: number): number => (hour % 24 >= 8 && hour % 24 <= 16 ? 9 : 0);
    expect(tuned({ spec: ENCLOSED, truth: SNUG, more: sun })).toEqual(tuned({ spec: ENCLOSED, truth: SNUG }));
  });

  it('move little while they are few: the shift grows with the nights', () => {
    const after = (nights: number): number => {
      const result = found({
        spec: ENCLOSED,
        truth: { ...SNUG, skinFactor: 0.76 },
        biasK: 0.3,
        hours: (h) => h < nights * 24,
      });
      return result.kind === 'tuned' ? result.tuning.skinFactor! : 1;
    };
    expect(after(2)).toBeGreaterThan(after(10));
    expect(after(2)).toBeGreaterThan(0.84);
  });

  it('are refused under 24 hours, or in one night', () => {
    const few = { spec: ENCLOSED, truth: SNUG };
    expect(refusal({ ...few, hours: (hour) => hour % 24 < 2 })).toBe('few');
    // From 18:00 to 06:00 it is dark in Denver's December; two sensors make 24 readings in one night.
    const zones = ['underbelly', 'inside'] as const;
    expect(refusal({ ...few, zones, hours: (hour) => hour >= 18 && hour <= 30 })).toBe('few');
    expect(found({ ...few, hours: () => false })).toEqual({
      kind: 'refused',
      code: 'few',
      message:
        'Too few readings in the unit by night: at least 24 hours over 2 nights are needed. Leave the sensor where it is.',
    });
  });

  it('of hours that the weather at hand does not cover are none', () => {
    const simulate = zonesIn(buildUnit(ENCLOSED), { firstHour: START, member: FRESH, plan: ALWAYS_HEATED });
    const readings = Array.from({ length: 100 }, (_, i) => ({
      zone: 'underbelly' as const,
      at: START - (i + 1) * HOUR,
      temperatureC: 3,
    }));
    const night = nightOf(DENVER, START - 100 * HOUR, 101);
    expect(tune({ readings, night, ...tunables(ENCLOSED), simulate })).toMatchObject({ code: 'few' });
  });
});

describe('readings that fit nothing usual', () => {
  it('are refused and said: half the usual skin, and a sensor on something warm', () => {
    expect(refusal({ spec: ENCLOSED, truth: { ...SNUG, skinFactor: 0.45 } })).toBe('at-bound');
    expect(refusal({ spec: ENCLOSED, truth: SNUG, biasK: 6 })).toBe('at-bound');
  });
});

describe('what may be tuned', () => {
  it('is what the unit has and its owner has not stated', () => {
    expect(tunables(SPEC)).toEqual({
      skinFactor: { least: 0.75, usual: 1, most: 1.25 },
      ductedShare: { least: 0.02, usual: 0.04, most: 0.08 },
    });
    expect(tunables({ ...SPEC, belly: 'open' })).toEqual({ skinFactor: null, ductedShare: null });
    expect(tunables(ENCLOSED).ductedShare).toBeNull();
    expect(tunables({ ...SPEC, heat: { ...SPEC.heat!, ductedShare: 0.05 } }).ductedShare).toBeNull();
    expect(tunables({ ...SPEC, heat: { ...SPEC.heat!, furnaceW: 0 } }).ductedShare).toBeNull();
    const nothing = {
      spec: { ...SPEC, belly: 'open' as const },
      truth: { skinFactor: null, ductedShare: null },
    };
    expect(refusal({ ...nothing, zones: ['inside'] })).toBe('nothing-to-tune');
  });

  it.each(['bare', 'foil', 'torn'] as const)(
    'of a %s skin stays in the range that the catalogue states',
    (bellySkin) => {
      const { stated } = buildUnit({ ...SPEC, bellySkin });
      const skin = stated.find(({ path }) => path === 'network.underbellyUnderneath')!;
      const [, least, most] = /\((\d+) to (\d+)\)/.exec(skin.note)!.map(Number);
      const calm = buildUnit({ ...SPEC, bellySkin }).network.paths.find(
        (p) => p.name === 'underbellyOutside',
      )!.calmWPerK;
      const range = tunables({ ...SPEC, bellySkin }).skinFactor!;
      expect((range.least * calm) / SPEC.lengthM!).toBeCloseTo(least!, 9);
      expect((range.most * calm) / SPEC.lengthM!).toBeCloseTo(most!, 9);
    },
  );

  it('of a duct stays in the range that the catalogue states', () => {
    const { note } = buildUnit(SPEC).stated.find(({ path }) => path === 'heat.ductedShare')!;
    expect(note).toContain('4 % (2 to 8)');
  });
});

describe('a tuned unit', () => {
  it('has another skin to outside or to what is below, and the same floor', () => {
    for (const skirting of ['none', 'vinyl'] as const) {
      const unit = buildUnit({ ...SPEC, skirting });
      const other = tunedUnit(unit, { skinFactor: 0.8, ductedShare: 0.07 });
      const name = skirting === 'none' ? 'underbellyOutside' : 'underbellyUnderneath';
      for (const [i, path] of unit.network.paths.entries()) {
        const factor = path.name === name ? 0.8 : 1;
        expect(other.network.paths[i]!.calmWPerK).toBe(factor * path.calmWPerK);
        expect(other.network.paths[i]!.windWPerKPerMps).toBe(factor * path.windWPerKPerMps);
      }
      expect(unit.network.paths.some((path) => path.name === name)).toBe(true);
      expect(other.heat).toEqual({ ...unit.heat, ductedShare: 0.07 });
    }
  });

  it('is the unit itself where nothing is tuned', () => {
    const unit = buildUnit(SPEC);
    expect(tunedUnit(unit, { skinFactor: null, ductedShare: null })).toEqual(unit);
  });
});

describe('the least value', () => {
  it('of (x − 1)² + 10·(y − x)², a valley across, is at 1, 1', () => {
    const { at, value } = leastOver(
      ([x = NaN, y = NaN]) => (x - 1) ** 2 + 10 * (y - x) ** 2,
      [
        [-2, 3],
        [-2, 3],
      ],
    );
    // 1/60 of a range of 5.
    expect(Math.abs(at[0]! - 1)).toBeLessThan(5 / 60);
    expect(Math.abs(at[1]! - 1)).toBeLessThan(5 / 60);
    expect(value).toBeLessThan(0.01);
  });

  it('may be at an end', () => {
    expect(leastOver(([x = NaN]) => x, [[2, 5]])).toEqual({ at: [2], value: 2 });
  });
});
