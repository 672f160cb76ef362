/** What damage costs. Prices: common practice, no source; sums by hand. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_COSTS, repairPrice, type Costs } from '../../src/decision/costs.ts';
import { lossOf } from '../../src/decision/loss.ts';
import { REPAIRS } from '../../src/decision/repairs.ts';
import type { ScenarioRisk } from '../../src/model/risk.ts';
import type { Part } from '../../src/model/unit.ts';
import type { UnitWater, WaterState } from '../../src/model/water-state.ts';
import { plainPart } from '../support/plain-part.ts';

const UNTIL = 1000;
const NEVER = Infinity;

/** By member, its weight and when each part fails. */
function risk(members: readonly (readonly [weight: number, ...at: number[]])[]): ScenarioRisk {
  const at = members.map(([, ...own]) => own);
  return {
    weights: Float64Array.from(members, ([weight]) => weight),
    firstAt: Float64Array.from(at, (own) => Math.min(...own)),
    firstPart: new Int32Array(members.length),
    partAt: Float64Array.from(at.flat()),
    lastBefore: new Float64Array(members.length).fill(-Infinity),
  };
}

function water(state: WaterState): UnitWater {
  return { all: { state, since: null, by: null }, circuits: {} };
}

const WET = water({ kind: 'wet' });
const PUMP = plainPart({ id: 'pump-head', label: 'pump head', zone: 'inside' });
const STRAINER = plainPart({ id: 'strainer', label: 'pump strainer', zone: 'inside' });
const INLET = plainPart({ id: 'city-inlet', label: 'city inlet', zone: 'bay', circuit: 'inlet' });
const HOSE = plainPart({ id: 'hose', label: 'hose', zone: 'post', circuit: 'post', body: 'flexible' });

interface Asked {
  readonly held?: UnitWater;
  readonly change?: { readonly at: number; readonly water: UnitWater } | null;
  readonly costs?: Costs;
}

function loss(parts: readonly Part[], members: Parameters<typeof risk>[0], asked: Asked = {}) {
  const { held = WET, change = null, costs = DEFAULT_COSTS } = asked;
  return lossOf(risk(members), { parts, scenario: { change }, water: held, until: UNTIL, costs });
}

describe('what damage costs', () => {
  it('is by weight, price and how often it breaks: pump 180 and an hour at 150', () => {
    const found = loss(
      [PUMP],
      [
        [0.25, 500],
        [0.75, NEVER],
      ],
    );
    expect(found.expected).toBeCloseTo(0.25 * REPAIRS.pump.breaks * 330, 6);
    expect(found.chance).toBe(0.25);
    expect(found.parts).toEqual([
      { id: 'pump-head', label: 'pump head', chance: 0.25, repair: 330, expected: found.expected },
    ]);
  });

  it('does not count what comes after the window, and what comes at its end', () => {
    expect(loss([PUMP], [[1, UNTIL + 1]])).toEqual({ expected: 0, chance: 0, flood: 0, parts: [] });
    expect(loss([PUMP], [[1, UNTIL]])).toMatchObject({ chance: 1, parts: [{ id: 'pump-head', chance: 1 }] });
  });

  it('of a course that harms only one of two that are mended together is that one’s', () => {
    const [first] = loss([PUMP, STRAINER], [[1, 500, NEVER]]).parts;
    expect(first).toMatchObject({ id: 'pump-head', chance: 1 });
    expect(first?.expected).toBeCloseTo(REPAIRS.pump.breaks * 330, 6);
    const [second] = loss([PUMP, STRAINER], [[1, NEVER, 500]]).parts;
    expect(second).toMatchObject({ id: 'strainer', chance: 1, expected: first?.expected });
  });

  it('of two heaters that are mended as one is the dearer price at the likelier break', () => {
    // The tank: 1100 and three hours at 150, breaks in 0.3. The tankless one: 1200, breaks in 0.33.
    const tank = plainPart({ id: 'heater-tank', circuit: 'heater', waterKg: 22.7 });
    const tankless = plainPart({ id: 'tankless-heater', circuit: 'heater' });
    expect(loss([tank, tankless], [[1, 100, 100]]).expected).toBeCloseTo(0.33 * 1550, 6);
    expect(loss([tankless, tank], [[1, 100, 100]]).expected).toBeCloseTo(0.33 * 1550, 6);
    expect(loss([tank, tankless], [[1, 100, NEVER]]).expected).toBeCloseTo(0.3 * 1550, 6);
  });

  it('sums over members, each by its own course', () => {
    const found = loss(
      [PUMP, INLET],
      [
        [0.2, 500, NEVER],
        [0.3, NEVER, 500],
        [0.1, 500, 500],
        [0.4, NEVER, NEVER],
      ],
    );
    expect(found.chance).toBeCloseTo(0.6, 9);
    expect(found.parts.map(({ id, chance }) => [id, chance])).toEqual([
      ['pump-head', 0.3],
      ['city-inlet', 0.4],
    ]);
    // 330 for the pump, 35 and half an hour at 150 for the inlet; both break in 0.33.
    expect(found.expected).toBeCloseTo(0.33 * (0.3 * 330 + 0.4 * 110), 6);
  });

  it('names of equal losses the earlier by name, however the parts are ordered', () => {
    const kitchen = plainPart({ id: 'kitchen-faucet', zone: 'inside' });
    const bath = plainPart({ id: 'bath-faucet', zone: 'inside' });
    const names = (...parts: readonly Part[]): string[] =>
      loss(parts, [[1, 100, 100]]).parts.map(({ id }) => id);
    expect(names(kitchen, bath)).toEqual(['bath-faucet', 'kitchen-faucet']);
    expect(names(bath, kitchen)).toEqual(['bath-faucet', 'kitchen-faucet']);
  });

  it('pays once for what is mended together, and names the likelier of the two', () => {
    const both = loss(
      [PUMP, STRAINER],
      [
        [0.5, 500, 400],
        [0.5, NEVER, 400],
      ],
    );
    expect(both.expected).toBeCloseTo(REPAIRS.pump.breaks * 330, 6);
    expect(both.parts.map((part) => [part.id, part.chance])).toEqual([['strainer', 1]]);
  });

  it('names what comes to most first', () => {
    const found = loss([INLET, PUMP], [[1, 100, 200]]);
    expect(found.parts.map((part) => part.id)).toEqual(['pump-head', 'city-inlet']);
  });

  it('takes the price of the config in place of part and hours', () => {
    const costs = { ...DEFAULT_COSTS, repairs: { pump: 1000 } };
    expect(loss([PUMP], [[1, 100]], { costs }).expected).toBeCloseTo(1000 * REPAIRS.pump.breaks, 6);
    expect(repairPrice('inlet', { ...DEFAULT_COSTS, shopHour: 100 })).toBe(85);
  });

  it('is small for what a drain leaves, and nothing for the heater that was emptied', () => {
    const drained = water({ kind: 'drained', quality: 'well' });
    const heater = plainPart({ id: 'heater-tank', circuit: 'heater', waterKg: 22.7 });
    const change = { at: 50, water: drained };
    expect(loss([PUMP], [[1, 100]], { change }).expected).toBeCloseTo(0.04 * 330, 6);
    expect(loss([heater], [[1, 100]], { change }).expected).toBe(0);
    // At the end of the work it is as it leaves it; before, as full as it was.
    expect(loss([PUMP], [[1, 50]], { change }).expected).toBeCloseTo(0.04 * 330, 6);
    expect(loss([PUMP], [[1, 49]], { change }).expected).toBeCloseTo(REPAIRS.pump.breaks * 330, 6);
  });
});

describe('a flooded floor', () => {
  const members = [[1, 100, NEVER]] as const;
  const dry = REPAIRS.pump.breaks * 330;

  it('comes where the hose is on and full', () => {
    const found = loss([PUMP, HOSE], members);
    expect(found.flood).toBeCloseTo(4000 * REPAIRS.pump.breaks, 6);
    expect(found.expected).toBeCloseTo(dry + found.flood, 6);
  });

  it('does not come without a hose, or when the hose is off at the thaw', () => {
    expect(loss([PUMP], [[1, 100]]).flood).toBe(0);
    const stowed = {
      ...WET,
      circuits: {
        post: { state: { kind: 'drained', quality: 'well' }, since: null, by: null },
      },
    } as const;
    expect(loss([PUMP, HOSE], members, { held: stowed }).flood).toBe(0);
    expect(loss([PUMP, HOSE], members, { change: { at: 500, water: stowed } }).flood).toBe(0);
  });

  it('does not come from what runs out beside the unit', () => {
    expect(loss([INLET, HOSE], members).flood).toBe(0);
  });
});
