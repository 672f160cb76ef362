/** What hurts a part in each state, when cold has lasted long enough, and what happened before a mark. */
import { describe, expect, it } from 'vitest';
import { findCold, harmOf, type ColdAsked, type Found, type Harm } from '../../src/model/damage.ts';
import { NEVER_HEATED } from '../../src/model/heat-plan.ts';
import { RiskAssessor, type Scenario } from '../../src/model/risk.ts';
import type { OwnPart, Part, Pocket } from '../../src/model/unit.ts';
import type { CircuitState, UnitWater, WaterState } from '../../src/model/water-state.ts';
import type { Outlook } from '../../src/weather/outlook.ts';
import { Random } from '../support/random.ts';
import { steadyUnit } from '../support/steady-unit.ts';

const HOUR = 3600;
const RULE = { atC: -4, hours: 6 } as const;
const WET: WaterState = { kind: 'wet' };
const WELL: WaterState = { kind: 'drained', quality: 'well' };
const QUICK: WaterState = { kind: 'drained', quality: 'quick' };
const BLOWN: WaterState = { kind: 'blown' };
const PINK: WaterState = { kind: 'antifreeze', concentrationPercent: 28 };

/** Minute by minute: how long it has been so cold, a minute cut where it begins or ends. */
function byMinutes(values: readonly number[], { atC, hours, firstHour, from, until, now }: ColdAsked): Found {
  const found: Found = { before: -Infinity, after: Infinity };
  const above = (minute: number): number => {
    const hour = Math.min(values.length - 2, Math.floor(minute / 60));
    const share = minute / 60 - hour;
    return values[hour]! * (1 - share) + values[hour + 1]! * share - atC;
  };
  let coldS = -1;
  for (let minute = 0; minute < (values.length - 1) * 60; minute++) {
    const [y0, y1] = [above(minute), above(minute + 1)];
    const at = firstHour + minute * 60;
    const zero = at + (60 * y0) / (y0 - y1);
    const begins = Math.max(from, y0 > 0 ? zero : at);
    const ends = y1 > 0 ? zero : at + 60;
    if ((y0 > 0 && y1 > 0) || ends < begins) {
      coldS = -1;
      continue;
    }
    const before = y0 > 0 || coldS < 0 ? 0 : coldS;
    const isNew = y0 > 0 || coldS < 0;
    coldS = before + ends - begins;
    const missing = hours * HOUR - before;
    // Once for every stretch: in the minute in which the hours are full.
    if (missing <= coldS - before && (isNew || missing > 0)) {
      const due = begins + Math.max(0, missing);
      if (due <= until && due <= now) found.before = due;
      else if (due <= until && found.after === Infinity) found.after = due;
    }
    if (y1 > 0) coldS = -1;
  }
  return found;
}

describe('cold that lasts', () => {
  it('is found where a walk through every minute finds it', () => {
    const random = new Random(20_261_125);
    let seen = 0;
    for (let run = 0; run < 300; run++) {
      const length = random.whole(2, 90);
      let air = random.between(-8, 0);
      const values = Array.from({ length }, () => {
        air = Math.min(2, Math.max(-10, air + random.between(-2.5, 2.5)));
        return Math.round(air * 10) / 10;
      });
      const firstHour = 1_700_000_000 - (1_700_000_000 % HOUR);
      const within = (): number => firstHour + Math.round(random.between(-5, length + 5) * HOUR);
      const asked: ColdAsked = {
        atC: random.pick([-4, -5.5, -2.2]),
        hours: random.pick([0, 0.5, 2, 6, 11]),
        firstHour,
        from: random.chance(0.5) ? firstHour : Math.max(firstHour, within()),
        until: random.chance(0.5) ? Infinity : within(),
        now: within(),
      };
      const found: Found = { before: Number.NaN, after: Number.NaN };
      findCold(Float64Array.from(values), asked, found);
      const theirs = byMinutes(values, asked);
      for (const side of ['before', 'after'] as const) {
        if (Number.isFinite(theirs[side])) seen++;
        const away = Number.isFinite(theirs[side])
          ? Math.abs(found[side] - theirs[side])
          : Number(found[side] !== theirs[side]);
        expect(away, `run ${run}, ${side}: ${found[side]} for ${theirs[side]}`).toBeLessThan(0.01);
      }
    }
    expect(seen).toBeGreaterThan(100);
  });

  const asked = { firstHour: 0, from: 0, until: Infinity, now: 0, ...RULE };
  it.each([
    ['six hours at the very temperature', [-4, -4, -4, -4, -4, -4, -4], 6],
    ['five of them', [-4, -4, -4, -4, -4, -4], Infinity],
    ['a breath above it in between', [-5, -5, -5, -3.9, -5, -5, -5, -5], Infinity],
    ['a touch of it in between', [-5, -5, -5, -4, -5, -5, -5, -5], 6],
    // From −3 to −5 it is at −4 half an hour in, and so on the way back.
    ['a stretch from half hour to half hour', [-3, -5, -5, -5, -5, -5, -5, -3], 6.5],
  ])('%s', (_, values, hours) => {
    const found: Found = { before: 0, after: 0 };
    findCold(Float64Array.from(values), asked, found);
    expect(found.after).toBe(hours * HOUR);
  });
});

const PART: Part = {
  id: 'probe',
  label: 'probe',
  zone: 'outside',
  circuit: 'cold',
  waterKg: 0.1143,
  conductanceWPerK: 0.5,
  windShare: 0,
  wallHeatCapacityJPerK: 0,
  startTemperatureC: 10,
  body: 'rigid',
  blocked: 0.2,
  solid: 0.95,
  iceLayerRatio: 0,
  pocket: 'never',
  provenance: 'config',
};
const ICE: Harm = { kind: 'ice' };
const SUSTAINED: Harm = { kind: 'cold', ...RULE };

describe('what hurts a part', () => {
  // Antifreeze of 28 %: burst point −23 °C (−10 °F), common practice.
  const rows: readonly (readonly [string, WaterState, Readonly<Record<Pocket, Harm>>])[] = [
    ['wet', WET, { never: ICE, quick: ICE, always: ICE }],
    ['unknown', { kind: 'unknown' }, { never: ICE, quick: ICE, always: ICE }],
    ['drained well', WELL, { never: SUSTAINED, quick: SUSTAINED, always: ICE }],
    ['drained quickly', QUICK, { never: SUSTAINED, quick: ICE, always: ICE }],
    ['blown out', BLOWN, { never: null, quick: null, always: null }],
  ];
  const pockets: readonly Pocket[] = ['never', 'quick', 'always'];
  for (const [name, state, harms] of rows) {
    it(`that is ${name}: by pocket, by the simple rule instead of budgets, with room for ice`, () => {
      for (const pocket of pockets) {
        const part = { ...PART, pocket };
        const harm = harms[pocket];
        expect(harmOf(part, state, RULE), pocket).toEqual(harm);
        const simple = harmOf(part, state, { ...RULE, replacesBudgets: true });
        expect(simple, `${pocket}, simple`).toEqual(harm?.kind === 'ice' ? SUSTAINED : harm);
        const roomy = harmOf({ ...part, headroom: true }, state, RULE);
        expect(roomy, `${pocket}, roomy`).toEqual(harm?.kind === 'ice' ? null : harm);
      }
    });
  }

  it('that holds antifreeze is its burst point, at once, whatever its pocket', () => {
    for (const pocket of pockets) {
      const harm = harmOf({ ...PART, pocket }, PINK, { ...RULE, replacesBudgets: true });
      expect(harm).toMatchObject({ kind: 'cold', hours: 0 });
      expect(harm?.kind === 'cold' ? harm.atC : 0).toBeCloseTo(-23.3, 1);
    }
  });

  it.each(['inlet', 'flush', 'outside-shower'])(
    'of the %s is nothing once it stands open and empty',
    (circuit) => {
      const part = { ...PART, circuit };
      expect(harmOf(part, WELL, RULE)).toBeNull();
      expect(harmOf(part, QUICK, RULE)).toEqual(SUSTAINED);
      expect(harmOf({ ...part, pocket: 'quick' }, QUICK, RULE)).toEqual(ICE);
      expect(harmOf(part, WET, RULE)).toEqual(ICE);
    },
  );

  it('at the post is ice as long as it is there, and nothing once it is stowed', () => {
    for (const pocket of pockets) {
      const part = { ...PART, circuit: 'post', pocket };
      expect(harmOf(part, WET, RULE)).toEqual(ICE);
      for (const state of [WELL, QUICK, BLOWN, PINK]) expect(harmOf(part, state, RULE)).toBeNull();
    }
  });
});

/** Of the probe in air of −5 °C, from 10 °C: m·c/G·ln 3 and m·L·0.2/(G·5 K). */
const BLOCKED_S = 1054.8 + 3050;

function outlookAt(valueC: number): Outlook {
  const hours = 49;
  const member = {
    weight: 1,
    temperatureC: new Float64Array(hours).fill(valueC),
    windSpeedMps: new Float64Array(hours),
    groundC: new Float64Array(hours).fill(3),
  };
  return {
    source: 'series',
    attribution: null,
    issuedAt: null,
    fetchedAt: 0,
    version: 'one',
    firstHour: 0,
    endsAtHole: false,
    hours,
    members: [member],
    middle: 0,
    resolution: 1,
    assumptions: [],
  };
}

function water(state: WaterState, sinceH: number | null, before: UnitWater['before'] = []): UnitWater {
  const all: CircuitState = { state, since: sinceH === null ? null : sinceH * HOUR, by: null };
  return { all, circuits: {}, before };
}

interface Asked {
  readonly water: UnitWater;
  readonly nowH: number;
  readonly change?: { readonly atH: number; readonly state: WaterState };
  readonly pocket?: Pocket;
  readonly simple?: boolean;
}

/** The probe's damage in steady air of −5 °C [h]. */
function damageOf({ water: held, nowH, change, pocket = 'never', simple = false }: Asked) {
  const own: OwnPart = { ...PART, label: null, blocked: 0.2, solid: 0.95, pocket };
  const assessor = new RiskAssessor({
    unit: steadyUnit(null, { parts: { catalogue: false, add: [], without: [], own: [own] } }),
    outlook: outlookAt(-5),
    water: held,
    now: nowH * HOUR,
    rule: { ...RULE, replacesBudgets: simple },
  });
  const changed =
    change === undefined ? null : { at: change.atH * HOUR, water: water(change.state, change.atH) };
  const scenario: Scenario = { unit: null, plan: NEVER_HEATED, change: changed, until: Infinity };
  const [risk] = assessor.assess([scenario]);
  return { beforeH: risk!.lastBefore[0]! / HOUR, afterH: risk!.firstAt[0]! / HOUR };
}

const BLOCKED_H = BLOCKED_S / HOUR;

describe('the water of a unit, one state after another', () => {
  it('freezes before a mark, and is still seen after it', () => {
    const drained = water(WELL, 5, [{ until: 5 * HOUR, water: water(WET, null) }]);
    const { beforeH, afterH } = damageOf({ water: drained, nowH: 5 });
    expect(beforeH).toBeCloseTo(BLOCKED_H, 3);
    // Empty from then on, and as cold for six hours more.
    expect(afterH).toBe(11);
  });

  it('is not seen to freeze when it went before it could', () => {
    const blown = water(BLOWN, 1, [{ until: HOUR, water: water(WET, null) }]);
    expect(damageOf({ water: blown, nowH: 5 })).toEqual({ beforeH: -Infinity, afterH: Infinity });
  });

  it('keeps the cold that it has taken where it stays in a pocket', () => {
    const drained = water(WELL, 0.5, [{ until: HOUR / 2, water: water(WET, null) }]);
    expect(damageOf({ water: drained, nowH: 0.5, pocket: 'always' }).afterH).toBeCloseTo(BLOCKED_H, 3);
    const soon = damageOf({
      water: water(WET, null),
      nowH: 0,
      change: { atH: 1, state: WELL },
      pocket: 'always',
    });
    expect(soon.afterH).toBeCloseTo(BLOCKED_H, 3);
  });

  it('has taken no cold yet when it comes in', () => {
    const filled = water(WET, 2, [{ until: 2 * HOUR, water: water(BLOWN, null) }]);
    const { beforeH, afterH } = damageOf({ water: filled, nowH: 2 });
    expect(beforeH).toBe(-Infinity);
    expect(afterH).toBeCloseTo(2 + BLOCKED_H, 3);
    const later = damageOf({ water: water(BLOWN, null), nowH: 0, change: { atH: 7, state: WET } });
    expect(later.afterH).toBeCloseTo(7 + BLOCKED_H, 3);
  });

  it('is out of danger by work that ends before it is blocked, not by work that ends after', () => {
    const held = water(WET, null);
    expect(damageOf({ water: held, nowH: 0, change: { atH: 1, state: BLOWN } }).afterH).toBe(Infinity);
    expect(damageOf({ water: held, nowH: 0, change: { atH: 2, state: BLOWN } }).afterH).toBeCloseTo(
      BLOCKED_H,
      3,
    );
  });

  it('is filled anew after it was drained in between: the old cold is gone with the old water', () => {
    const past = [
      { until: HOUR, water: water(WET, null) },
      { until: 2 * HOUR, water: water(BLOWN, 1) },
    ];
    expect(damageOf({ water: water(WET, 2, past), nowH: 2 }).afterH).toBeCloseTo(2 + BLOCKED_H, 3);
  });
});

describe('the simple rule in place of budgets', () => {
  it('lets a part full of water go unharmed for its hours', () => {
    expect(damageOf({ water: water(WET, null), nowH: 0, simple: true }).afterH).toBe(6);
    expect(damageOf({ water: water(WET, 3), nowH: 3, simple: true }).afterH).toBe(9);
  });

  it('goes on counting for water that stays when the rest is drained', () => {
    const change = { atH: 3, state: WELL };
    const { afterH } = damageOf({ water: water(WET, null), nowH: 0, change, pocket: 'always', simple: true });
    expect(afterH).toBe(6);
  });

  it('goes on counting for what stays drained, and is only said to be drained better', () => {
    const change = { atH: 3, state: WELL };
    expect(damageOf({ water: water(QUICK, null), nowH: 0, change }).afterH).toBe(6);
  });
});
