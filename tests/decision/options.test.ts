/** Which actions a unit has, and what each does to its water and its heat. */
import { describe, expect, it } from 'vitest';
import type { Action } from '../../src/decision/advice.ts';
import {
  asItStands,
  heatStops,
  optionsOf,
  powerFails,
  type Option,
  type OptionRequest,
} from '../../src/decision/options.ts';
import type { Fluid } from '../../src/model/antifreeze.ts';
import type { Warming } from '../../src/model/kept-warm.ts';
import type { Heat, Part, Pocket, UnitModel } from '../../src/model/unit.ts';
import type { CircuitState, UnitWater, WaterState } from '../../src/model/water-state.ts';

const NOW = 1_000_000;
const LAST = NOW + 72 * 3600;
const SINCE = NOW - 86_400;
const ENDS: Readonly<Record<Action, number>> = {
  nothing: NOW,
  'keep-warm': NOW + 1200,
  'drain-part': NOW + 900,
  drain: NOW + 2700,
  winterize: NOW + 5400,
};

function part(circuit: string, pocket: Pocket = 'never'): Part {
  return {
    id: `${circuit}-part`,
    label: circuit,
    zone: 'outside',
    circuit,
    waterKg: 0.1,
    conductanceWPerK: 0.5,
    windShare: 0,
    wallHeatCapacityJPerK: 0,
    startTemperatureC: null,
    body: 'rigid',
    blocked: 0.2,
    solid: 0.95,
    iceLayerRatio: 0,
    pocket,
    provenance: 'config',
  };
}

const FURNACE: Heat = { setC: 18, capacityW: 6000, ductedShare: 0, running: true, shore: true };

function unit(
  heat: Heat | null = null,
  parts = ['cold', 'flush', 'post', 'trap-sink'].map((c) => part(c)),
): UnitModel {
  return { id: 'blue', heat, parts, stated: [], assumptions: [] } as Partial<UnitModel> as UnitModel;
}

function said(state: WaterState): CircuitState {
  return { state, since: SINCE, by: 'ann' };
}

const WET = said({ kind: 'wet' });
const DRAINED = said({ kind: 'drained', quality: 'well' });
const BLOWN = said({ kind: 'blown' });
const STRONG = said({ kind: 'antifreeze', concentrationPercent: 28 });
const WEAK = said({ kind: 'antifreeze', concentrationPercent: 25 });

function water(all: CircuitState = WET, circuits: UnitWater['circuits'] = {}): UnitWater {
  return { all, circuits };
}

function request(over: Partial<OptionRequest> = {}): OptionRequest {
  return {
    unit: unit(),
    warmings: [],
    attended: true,
    water: water(),
    now: NOW,
    until: LAST,
    coldestC: -10,
    frozen: new Set(),
    stowedAt: Infinity,
    endOf: (action) => ENDS[action],
    ...over,
  };
}

function option(
  over: Partial<OptionRequest>,
  action: Action,
  method: Option['method'] = null,
): Option | undefined {
  return optionsOf(request(over)).find((o) => o.action === action && o.method === method);
}

/** What is in each circuit once the work is done. */
function after(of: Option | undefined): Record<string, string> {
  const { circuits = {} } = of?.scenario.change?.water ?? {};
  return Object.fromEntries(Object.entries(circuits).map(([circuit, { state }]) => [circuit, state.kind]));
}

function names(over: Partial<OptionRequest>): string[] {
  return optionsOf(request(over)).map(({ action, method }) =>
    method === null ? action : `${action} ${method}`,
  );
}

/** By the whole list for dusk. */
function warmed(of: UnitModel): readonly Warming[] {
  return [{ unit: of, measures: ['hose-off', 'inlet-open', 'flush-open', 'shower-open'] }];
}

describe('the options of a unit', () => {
  it('begin with the unit as it stands and rise by work, antifreeze before air', () => {
    expect(names({ warmings: warmed(unit(FURNACE)) })).toEqual([
      'nothing',
      'keep-warm',
      'drain-part',
      'drain',
      'winterize antifreeze',
      'winterize air',
    ]);
  });

  it('change the water at the end of their work and are asked nothing after the end of the window', () => {
    const [nothing, ...rest] = optionsOf(request({ warmings: warmed(unit(FURNACE)) }));
    expect(nothing?.scenario).toMatchObject({ change: null, until: Infinity });
    for (const { action, scenario } of rest) {
      expect(scenario).toMatchObject({ change: { at: ENDS[action] }, until: LAST });
    }
  });
});

describe('keeping warm', () => {
  const keptWarm = unit(FURNACE);

  it('is offered once for each way there is', () => {
    expect(names({})).not.toContain('keep-warm');
    const ways = [...warmed(keptWarm), ...warmed(unit(FURNACE))];
    expect(names({ warmings: ways }).filter((name) => name === 'keep-warm')).toHaveLength(2);
  });

  it('empties what its measures say, and nothing else', () => {
    const kept = option({ warmings: [{ unit: keptWarm, measures: ['hose-off'] }] }, 'keep-warm');
    expect(after(kept)).toEqual({ post: 'drained' });
    expect(kept?.measures).toEqual(['hose-off']);
  });

  it('runs the heat from the end of its work on, and empties what the heat does not reach', () => {
    const kept = option({ warmings: warmed(keptWarm) }, 'keep-warm');
    expect(kept?.scenario.unit).toBe(keptWarm);
    expect(kept?.scenario.plan.switches).toEqual([
      { at: -Infinity, heat: false, shore: true, gas: true },
      { at: ENDS['keep-warm'], heat: true, shore: true, gas: true },
    ]);
    expect(after(kept)).toMatchObject({ flush: 'drained', post: 'drained' });
    expect(after(kept)).not.toHaveProperty('cold');
    const { all, circuits } = kept!.scenario.change!.water;
    expect(all).toEqual(WET);
    expect(circuits['flush']).toMatchObject({ since: ENDS['keep-warm'], by: null });
  });

  it('cannot empty at dusk what is frozen', () => {
    const kept = option({ warmings: warmed(keptWarm), frozen: new Set(['flush']) }, 'keep-warm');
    expect(after(kept)).not.toHaveProperty('flush');
    expect(after(kept)).toHaveProperty('post');
  });

  it('leaves an outside shower full that has no valves of its own, and empties any other', () => {
    const parts = [part('cold'), part('outside-shower')];
    const kept = (more: Partial<UnitModel>) =>
      option({ warmings: warmed({ ...unit(FURNACE, parts), ...more }) }, 'keep-warm');
    expect(after(kept({}))).toHaveProperty('outside-shower', 'drained');
    expect(after(kept({ showerOnLines: true }))).not.toHaveProperty('outside-shower');
    expect(after(kept({ showerOnLines: true }))).toHaveProperty('flush', 'drained');
  });

  it('forgets what was to be switched on after it', () => {
    for (const later of [0, 60]) {
      const late = { ...water(), keptWarm: true, keptWarmSince: ENDS['keep-warm'] + later };
      const plan = option({ warmings: warmed(keptWarm), water: late }, 'keep-warm')?.scenario.plan;
      expect(plan?.switches.map(({ at }) => at)).toEqual([-Infinity, ENDS['keep-warm']]);
    }
  });
});

describe('draining', () => {
  it('empties what is full, and leaves each trap as it is', () => {
    const drained = option({}, 'drain');
    expect(after(drained)).toEqual({
      cold: 'drained',
      flush: 'drained',
      post: 'drained',
      'trap-sink': 'wet',
    });
    expect(drained?.circuits).toBeNull();
    expect(drained?.scenario.change?.water.circuits['cold']).toEqual({
      state: { kind: 'drained', quality: 'well' },
      since: ENDS.drain,
      by: null,
    });
  });

  it('leaves alone what was blown out, holds antifreeze or is frozen, and then names the rest', () => {
    const mixed = option({ water: water(WET, { flush: BLOWN }) }, 'drain');
    expect(after(mixed)).toMatchObject({ cold: 'drained', flush: 'blown', post: 'drained' });
    expect(mixed?.circuits).toEqual(['cold', 'post']);
    expect(option({ water: water(WET, { cold: WEAK }) }, 'drain')?.circuits).toEqual(['flush', 'post']);
    const iced = option({ frozen: new Set(['cold']) }, 'drain');
    expect(iced?.circuits).toEqual(['flush', 'post']);
    expect(after(iced)).toMatchObject({ cold: 'wet', flush: 'drained' });
  });

  it('is no option where there is nothing to drain', () => {
    expect(names({ water: water(DRAINED) })).not.toContain('drain');
    expect(names({ water: water(BLOWN) })).not.toContain('drain');
    expect(names({ unit: unit(null, [part('trap-sink')]) })).not.toContain('drain');
  });

  it('is one where a drain done in a hurry left a pocket full', () => {
    const hurried = said({ kind: 'drained', quality: 'quick' });
    const pocket = unit(null, [part('cold', 'quick')]);
    expect(names({ unit: pocket, water: water(hurried) })).toContain('drain');
    expect(names({ unit: pocket, water: water(DRAINED) })).not.toContain('drain');
    expect(names({ unit: unit(null, [part('cold')]), water: water(hurried) })).not.toContain('drain');
  });

  it('does not drain for the sake of a pocket in a circuit that ice closes', () => {
    const two = unit(null, [part('cold'), part('hot')]);
    const state = water(DRAINED, { cold: WET });
    expect(names({ unit: two, water: state, frozen: new Set(['cold']) })).not.toContain('drain');
  });

  it('turns the heat off where nobody stays, and leaves it where somebody does', () => {
    const warm = { unit: unit(FURNACE) };
    expect(option({ ...warm, attended: true }, 'drain')?.scenario.plan.switches).toEqual([
      { at: -Infinity, heat: true, shore: true, gas: true },
    ]);
    expect(option({ ...warm, attended: false }, 'drain')?.scenario.plan.switches).toEqual([
      { at: -Infinity, heat: true, shore: true, gas: true },
      { at: ENDS.drain, heat: false, shore: false, gas: false },
    ]);
  });
});

describe('winterizing', () => {
  it('fills every circuit, traps too, with fluid that nobody has measured yet, and stows what hangs at the post', () => {
    const filled = option({}, 'winterize', 'antifreeze');
    expect(after(filled)).toEqual({
      cold: 'antifreeze',
      flush: 'antifreeze',
      'trap-sink': 'antifreeze',
      post: 'drained',
    });
    expect(filled?.circuits).toBeNull();
    const { circuits } = filled!.scenario.change!.water;
    expect(circuits['cold']?.state).toEqual({ kind: 'antifreeze' });
    expect(circuits['post']).toEqual({
      state: { kind: 'drained', quality: 'well' },
      since: ENDS.winterize,
      by: null,
    });
  });

  it('by air leaves the lines blown, and antifreeze in the traps, which air does not empty', () => {
    const blown = option({}, 'winterize', 'air');
    expect(after(blown)).toEqual({
      cold: 'blown',
      flush: 'blown',
      'trap-sink': 'antifreeze',
      post: 'drained',
    });
    expect(blown?.scenario.change?.water.circuits['cold']?.state).toEqual({ kind: 'blown' });
  });

  it('either way empties the tanks, and does not name one that is empty', () => {
    const tanks = unit(null, [part('cold'), part('tank-grey'), part('trap-sink')]);
    for (const method of ['antifreeze', 'air'] as const) {
      const done = option({ unit: tanks }, 'winterize', method);
      expect(done?.scenario.change?.water.circuits['tank-grey']?.state).toEqual({
        kind: 'drained',
        quality: 'well',
      });
      const rest = option({ unit: tanks, water: water(BLOWN) }, 'winterize', method);
      expect(rest?.circuits).toEqual(['trap-sink']);
      const all = option({ unit: tanks, water: water(DRAINED) }, 'winterize', method);
      expect(all?.circuits).toBeNull();
    }
    expect(names({ unit: tanks, water: water(BLOWN) })).not.toContain('drain');
  });

  it('does not do again what is blown out or holds enough antifreeze', () => {
    const some = water(WET, { flush: BLOWN, cold: STRONG });
    const rest = option({ water: some }, 'winterize', 'antifreeze');
    expect(rest?.circuits).toEqual(['trap-sink']);
    expect(after(rest)).toMatchObject({ flush: 'blown', cold: 'antifreeze', 'trap-sink': 'antifreeze' });
    expect(rest?.scenario.change?.water.circuits['cold']).toEqual(STRONG);
  });

  it('does again what holds too little antifreeze, or was only drained', () => {
    const some = water(BLOWN, { cold: WEAK, flush: DRAINED, 'trap-sink': STRONG });
    expect(option({ water: some }, 'winterize', 'air')?.circuits).toEqual(['cold', 'flush']);
  });

  // Makers' guides: 28 % glycol bursts nothing down to −23.3 °C, 30 % down to −28.9; poured in and mixed it comes to
  // 25.33 % and −19.6 °C. Lange's: 36.1 % ethanol freezes at −18.9 °C and 40.5 % at −23.6, and alcohol-based fluid is taken to burst what holds it where it freezes.
  it('goes by what the fluid bears, not by its per cent: alcohol as strong as ready-to-use glycol is too weak', () => {
    const refilled = (concentrationPercent: number, fluid: Fluid) => {
      const cold = said({ kind: 'antifreeze', concentrationPercent, fluid });
      const done = water(BLOWN, { cold, 'trap-sink': STRONG });
      return option({ water: done }, 'winterize', 'antifreeze')?.circuits ?? null;
    };
    expect(refilled(28, 'ethanol')).toEqual(['cold']);
    expect(refilled(36, 'ethanol')).toEqual(['cold']);
    expect(refilled(25.3, 'glycol')).toEqual(['cold']);
    // Nothing left to do: all of it is done anew, so no circuits are named.
    expect(refilled(40.5, 'ethanol')).toBeNull();
    expect(refilled(25.4, 'glycol')).toBeNull();
  });

  it('blows out what does not bear the cold ahead, but does not pour the same fluid in again', () => {
    const circuits = (coldestC: number, method: 'air' | 'antifreeze') => {
      const thirty = said({ kind: 'antifreeze', concentrationPercent: 30 });
      const state = water(WET, { cold: STRONG, flush: thirty });
      return option({ coldestC, water: state }, 'winterize', method)?.circuits;
    };
    expect(circuits(-23, 'air')).toEqual(['trap-sink']);
    expect(circuits(-24, 'air')).toEqual(['cold', 'trap-sink']);
    expect(circuits(-29, 'air')).toBeNull();
    expect(circuits(-29, 'antifreeze')).toEqual(['trap-sink']);
  });

  it('starts over where all is done already', () => {
    const done = water(BLOWN, { 'trap-sink': STRONG });
    const again = option({ water: done }, 'winterize', 'antifreeze');
    expect(again?.circuits).toBeNull();
    expect(after(again)).toMatchObject({ cold: 'antifreeze', flush: 'antifreeze' });
  });

  it('leaves out what ice closes, and is no option where that is everything', () => {
    const iced = option({ frozen: new Set(['cold']) }, 'winterize', 'antifreeze');
    expect(iced?.circuits).toEqual(['flush', 'trap-sink']);
    expect(after(iced)).toMatchObject({ cold: 'wet' });
    const shut = new Set(['cold', 'flush', 'trap-sink']);
    expect(names({ frozen: shut })).not.toContain('winterize antifreeze');
    expect(names({ frozen: shut })).not.toContain('winterize air');
    // The hose at the post is taken in, not filled.
    expect(names({ unit: unit(null, [part('post')]) })).toEqual(['nothing', 'drain']);
  });

  it('turns the heat off where nobody stays', () => {
    const left = option({ unit: unit(FURNACE), attended: false }, 'winterize', 'air');
    expect(left?.scenario.plan.switches.at(-1)).toEqual({
      at: ENDS.winterize,
      heat: false,
      shore: false,
      gas: false,
    });
  });
});

describe('the heat of a unit as it stands', () => {
  const switches = (heat: Heat | null, state: UnitWater) => asItStands(unit(heat), state, NOW).plan.switches;
  const always = [{ at: -Infinity, heat: true, shore: true, gas: true }];
  const never = [{ at: -Infinity, heat: false, shore: true, gas: true }];
  const stopped: Heat = { ...FURNACE, running: false };

  it('is on all along where it runs, off all along where it does not or there is none', () => {
    expect(switches(FURNACE, water())).toEqual(always);
    expect(switches(stopped, water())).toEqual(never);
    expect(switches(null, water())).toEqual(never);
  });

  it('is on from when somebody said so', () => {
    const since = [...never, { at: SINCE, heat: true, shore: true, gas: true }];
    const marked = { ...water(), keptWarm: true, keptWarmSince: SINCE };
    expect(switches(stopped, marked)).toEqual(since);
    expect(switches(FURNACE, marked)).toEqual(since);
    expect(switches(stopped, { ...water(), keptWarm: true })).toEqual([...never, { ...always[0] }]);
    expect(switches(FURNACE, { ...water(), keptWarm: true })).toEqual(always);
    expect(switches(FURNACE, { ...water(), keptWarmSince: SINCE })).toEqual(always);
    expect(switches(stopped, { ...water(), keptWarm: false, keptWarmSince: SINCE })).toEqual(never);
  });

  it('lives on gas and charge counted from when they were read, from now at the latest', () => {
    const from = (gaugedAt?: number) =>
      asItStands(unit(gaugedAt === undefined ? FURNACE : { ...FURNACE, gaugedAt }), water(), NOW).plan
        .suppliedFrom;
    expect(from()).toBe(NOW);
    expect(from(NOW - 3600)).toBe(NOW - 3600);
    expect(from(NOW + 3600)).toBe(NOW);
    expect(asItStands(unit(), water(), NOW).plan.suppliedFrom).toBe(NOW);
  });
});

describe('a post that cannot carry what is on', () => {
  const electrics = { limitW: 1440, loads: [{ label: 'heaters', watts: 6000, withHeat: true as const }] };
  const loaded = (heat: Heat | null): UnitModel => ({ ...unit(heat), electrics });
  const switches = (of: UnitModel, state = water()) => asItStands(of, state, NOW).plan.switches;
  const BATTERY = { usableAh: 40, shareAtMinus15: 0.6, blowerA: 7, standbyA: 0.7 };

  it('counts as tripped from now on, and all heat with it', () => {
    expect(switches(loaded(FURNACE))).toEqual([
      { at: -Infinity, heat: true, shore: true, gas: true },
      { at: NOW, heat: false, shore: false, gas: false },
    ]);
  });

  it('leaves the furnace to a battery that is known', () => {
    expect(switches(loaded({ ...FURNACE, battery: BATTERY })).at(-1)).toEqual({
      at: NOW,
      heat: true,
      shore: false,
      gas: true,
    });
  });

  it('trips when the heat comes on, not while it is off', () => {
    const stopped = loaded({ ...FURNACE, running: false });
    expect(switches(stopped)).toEqual([{ at: -Infinity, heat: false, shore: true, gas: true }]);
    const later = { ...water(), keptWarm: true, keptWarmSince: NOW + 60 };
    expect(switches(stopped, later)).toEqual([
      { at: -Infinity, heat: false, shore: true, gas: true },
      { at: NOW, heat: false, shore: true, gas: true },
      { at: NOW + 60, heat: false, shore: false, gas: false },
    ]);
  });

  it('trips without the heat where pads alone ask too much', () => {
    const pads = { ...unit(), electrics: { limitW: 100, loads: [{ label: 'pads', watts: 101 }] } };
    expect(switches(pads).at(-1)).toEqual({ at: NOW, heat: false, shore: false, gas: false });
    const borne = { ...unit(), electrics: { limitW: 101, loads: [{ label: 'pads', watts: 101 }] } };
    expect(switches(borne)).toHaveLength(1);
  });

  it('is reset by whoever keeps it warm on less', () => {
    const kept = option({ unit: loaded(FURNACE), warmings: warmed(unit(FURNACE)) }, 'keep-warm');
    expect(kept?.scenario.plan.switches.map(({ at, heat }) => [at, heat])).toEqual([
      [-Infinity, true],
      [NOW, false],
      [ENDS['keep-warm'], true],
    ]);
  });
});

describe('what if', () => {
  const marked = { ...water(), keptWarm: true, keptWarmSince: NOW - 100 };
  const kept = asItStands(unit(FURNACE), marked, NOW);
  const ever = (model: UnitModel) => asItStands(model, water(), NOW);

  it('all heat stops: nothing is on from then', () => {
    const { plan, change, until } = heatStops(kept, NOW);
    expect(plan.switches).toEqual([
      { at: -Infinity, heat: false, shore: true, gas: true },
      { at: NOW - 100, heat: true, shore: true, gas: true },
      { at: NOW, heat: false, shore: false, gas: false },
    ]);
    expect([change, until, plan.suppliedFrom]).toEqual([null, Infinity, NOW]);
    const sooner = heatStops(kept, NOW - 100).plan.switches;
    expect(sooner.map(({ at, heat }) => [at, heat])).toEqual([
      [-Infinity, false],
      [NOW - 100, false],
    ]);
  });

  it('the post goes dead: a furnace that has run all along goes on, on gas', () => {
    const { switches } = powerFails(ever(unit(FURNACE)), NOW).plan;
    expect(switches).toEqual([
      { at: -Infinity, heat: true, shore: true, gas: true },
      { at: NOW, heat: true, shore: false, gas: true },
    ]);
  });

  it('the post goes dead: the furnace stays on gas, shore power is gone', () => {
    const { plan, unit: varied } = powerFails(kept, NOW);
    expect(varied).toBeNull();
    expect(plan.switches.at(-1)).toEqual({ at: NOW, heat: true, shore: false, gas: true });
    expect(plan.switches).toHaveLength(3);
    expect(plan.suppliedFrom).toBe(NOW);
    const off = powerFails(ever(unit(null)), NOW).plan.switches;
    expect(off.at(-1)).toEqual({ at: NOW, heat: false, shore: false, gas: true });
    const before = powerFails(kept, NOW - 100).plan.switches;
    expect(before.at(-1)).toEqual({ at: NOW - 100, heat: false, shore: false, gas: true });
    expect(before).toHaveLength(2);
    const always = powerFails(ever(unit(FURNACE)), -Infinity).plan.switches;
    expect(always).toEqual([{ at: -Infinity, heat: false, shore: false, gas: true }]);
  });
});

describe('draining only what lies outside', () => {
  it('empties what is emptied alone, in its own time, and leaves the rest and the heat as they are', () => {
    const outside = option({ unit: unit(FURNACE), attended: false }, 'drain-part');
    expect(outside?.circuits).toEqual(['flush', 'post']);
    expect(after(outside)).toEqual({ cold: 'wet', flush: 'drained', post: 'drained', 'trap-sink': 'wet' });
    expect(outside?.scenario.change).toMatchObject({ at: ENDS['drain-part'], water: { all: WET } });
    expect(outside?.scenario.plan.switches).toEqual([{ at: -Infinity, heat: true, shore: true, gas: true }]);
  });

  it('is no option where nothing lies outside, nor where nothing inside is in use', () => {
    const parts = (...circuits: string[]) =>
      unit(
        null,
        circuits.map((c) => part(c)),
      );
    expect(names({ unit: parts('cold', 'hot', 'tank-grey') })).not.toContain('drain-part');
    expect(names({ unit: parts('flush', 'tank-grey', 'trap-sink') })).not.toContain('drain-part');
    expect(names({ water: water(WET, { cold: BLOWN }) })).not.toContain('drain-part');
    expect(names({ water: water(WET, { cold: DRAINED }) })).not.toContain('drain-part');
    expect(names({ water: water(WET, { flush: DRAINED, post: DRAINED }) })).not.toContain('drain-part');
  });

  it('leaves what ice closes, and what is done already', () => {
    expect(option({ frozen: new Set(['post']) }, 'drain-part')?.circuits).toEqual(['flush']);
    expect(option({ water: water(WET, { flush: STRONG }) }, 'drain-part')?.circuits).toEqual(['post']);
  });

  it('takes circuits of one’s own that lie outside altogether, and no others', () => {
    const own = (...zones: Part['zone'][]) => zones.map((zone) => ({ ...part('sauna'), zone }));
    const circuits = (parts: Part[]) =>
      option({ unit: unit(null, [part('cold'), ...parts]) }, 'drain-part')?.circuits;
    expect(circuits(own('outside', 'bay'))).toEqual(['sauna']);
    expect(circuits(own('outside', 'inside'))).toBeUndefined();
    expect(circuits([{ ...part('heater'), zone: 'bay' }])).toBeUndefined();
  });

  it('leaves full an outside shower that hangs on the lines', () => {
    const parts = [part('cold'), part('outside-shower')];
    const circuits = (more: object) =>
      option({ unit: { ...unit(null, parts), ...more } }, 'drain-part')?.circuits;
    expect(circuits({})).toEqual(['outside-shower']);
    expect(circuits({ showerOnLines: true })).toBeUndefined();
  });
});
