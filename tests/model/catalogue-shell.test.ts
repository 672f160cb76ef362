/**
 * What the catalogue's shells do at rest, held against what the trade says of them. The balance is solved by the
 * test's own elimination (`balance.ts`). Marks: practice, no published source, unless it says otherwise.
 */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import type { Network, NodeId, UnitSpec, ZoneId } from '../../src/model/unit.ts';
import { atRest, lastDay, type Around } from './balance.ts';

const FOOT_M = 0.3048;

function networkOf(over: Partial<UnitSpec>): Network {
  return buildUnit({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 30 * FOOT_M,
    slides: 0,
    belly: 'enclosed',
    skirting: 'none',
    hoseConnected: false,
    heat: null,
    network: null,
    parts: { catalogue: true, add: [], without: [], own: [] },
    ...over,
  }).network;
}

/** How far a node stands above outside. */
function above(network: Network, node: NodeId, around: Around): number {
  return atRest(network, around)[node]! - around.outsideC;
}

/** The air of a zone by its weights, at rest. */
function zoneAt(network: Network, zone: ZoneId, nodes: Partial<Record<string, number>>): number {
  return network.zones[zone].of.reduce((sum, { end, weight }) => sum + weight * nodes[end]!, 0);
}

describe('the shell of a 30-ft trailer', () => {
  it('loses 150 to 175 W/K, and 15 more for each slide-out', () => {
    const loss = (slides: number): number =>
      networkOf({ slides }).paths.find(({ name }) => name === 'insideOutside')!.calmWPerK;
    expect(loss(0)).toBeGreaterThanOrEqual(150 - 1e-9);
    expect(loss(1)).toBeLessThanOrEqual(175);
    expect(loss(2) - loss(1)).toBeCloseTo(15, 9);
  });

  it('has an underbelly 4 to 7 K above outside under a warm cabin', () => {
    const network = networkOf({});
    for (const outsideC of [0, -5, -10]) {
      const rise = above(network, 'underbelly', { outsideC, held: { inside: 18 } });
      expect(rise, `at ${outsideC} °C`).toBeGreaterThan(4);
      expect(rise, `at ${outsideC} °C`).toBeLessThan(7);
    }
    const windy = above(network, 'underbelly', { outsideC: -18, windMps: 4, held: { inside: 18 } });
    expect(windy).toBeGreaterThan(4);
    expect(windy).toBeLessThan(7);
  });

  it('has an underbelly 0 to 2 K above outside at the coldest hour under a cold cabin', () => {
    const day = lastDay(networkOf({}), { meanC: -4, swingK: 6, groundC: 4, days: 5 });
    const coldest = day.reduce((least, one) => (one.outsideC < least.outsideC ? one : least));
    const rise = coldest.nodes.underbelly! - coldest.outsideC;
    expect(rise).toBeGreaterThan(0);
    expect(rise).toBeLessThan(2);
  });

  it('is warmer below behind foil, and colder behind a torn skin, than behind a bare one', () => {
    const rise = (bellySkin: 'bare' | 'foil' | 'torn'): number =>
      above(networkOf({ bellySkin }), 'underbelly', { outsideC: -10, held: { inside: 18 } });
    expect(rise('foil')).toBeGreaterThan(rise('bare') + 1);
    expect(rise('torn')).toBeLessThan(rise('bare') - 2);
    expect(rise('torn')).toBeGreaterThan(2);
  });
});

describe('heat into the underbelly at −10 °C', () => {
  const network = networkOf({ belly: 'heated' });
  const outsideC = -10;

  /** The furnace's output that holds the inside, of which a share goes below: bisected on the test's balance. */
  function underbellyAt(setC: number, share: number, electricW: number): number {
    let [low, high] = [0, 20_000];
    for (let i = 0; i < 60; i++) {
      const furnaceW = (low + high) / 2;
      const heatW = { inside: electricW + (1 - share) * furnaceW, underbelly: share * furnaceW };
      if (atRest(network, { outsideC, heatW }).inside! > setC) high = furnaceW;
      else low = furnaceW;
    }
    const heatW = { inside: electricW + (1 - share) * low, underbelly: share * low };
    return atRest(network, { outsideC, heatW }).underbelly!;
  }

  it('of 12 % of the furnace holds it about +1 °C', () => {
    expect(Math.abs(underbellyAt(18, 0.12, 0) - 1)).toBeLessThan(1);
  });

  it('leaves it about −4 °C when two electric heaters of 1.5 kW hold the cabin in place of the furnace', () => {
    // They hold 7 °C alone. With the furnace turned down to 12 °C behind them, and with heaters that hold 18 °C:
    expect(Math.abs(underbellyAt(12, 0.12, 3000) + 4)).toBeLessThan(1);
    expect(Math.abs(atRest(network, { outsideC, held: { inside: 18 } }).underbelly! + 4)).toBeLessThan(1);
    expect(atRest(network, { outsideC, heatW: { inside: 3000 } }).underbelly!).toBeLessThan(-4);
  });

  it('of one tap, 4 %, does not keep it above freezing', () => {
    const tapped = underbellyAt(18, 0.04, 0);
    expect(tapped).toBeLessThan(0);
    expect(tapped).toBeGreaterThan(underbellyAt(18, 0, 0) + 0.5);
  });
});

describe('skirting over ground at 4 °C, at −10 °C outside', () => {
  /** Half way between a cold and a warm cabin, in which the trade's word does not tell them apart. */
  function rise(skirting: 'vinyl' | 'insulated', windMps: number): number {
    const network = networkOf({ skirting });
    const around = { outsideC: -10, groundC: 4, windMps };
    return (
      (above(network, 'underneath', around) +
        above(network, 'underneath', { ...around, held: { inside: 18 } })) /
      2
    );
  }

  it('of vinyl gives 4 K in calm air and 2 K in wind', () => {
    expect(rise('vinyl', 0)).toBeCloseTo(4, 0);
    expect(rise('vinyl', 5)).toBeCloseTo(2, 0);
  });

  it('of board gives 8 K, 5 to 12', () => {
    expect(rise('insulated', 0)).toBeCloseTo(8, 0);
    const network = networkOf({ skirting: 'insulated' });
    for (const windMps of [0, 5]) {
      const warm = above(network, 'underneath', {
        outsideC: -10,
        groundC: 4,
        windMps,
        held: { inside: 18 },
      });
      expect(warm).toBeGreaterThan(5);
      expect(warm).toBeLessThan(12);
    }
  });
});

describe('an enclosed, unheated barn', () => {
  const network = networkOf({ shelter: 'barn', skirting: 'vinyl' });

  it('takes the place of outside for everything in it', () => {
    const ends = network.paths.filter(({ between }) => between.includes('outside'));
    expect(ends.map(({ name }) => name)).toEqual(['barnOutside']);
    expect(network.paths.map(({ name }) => name)).toEqual([
      'insideBarn',
      'insideUnderbelly',
      'underbellyUnderneath',
      'underneathBarn',
      'underneathGround',
      'barnOutside',
      'barnGround',
    ]);
    const outer = (['post', 'bay', 'cabinet', 'slide'] as const).map((zone) =>
      network.zones[zone].of.map(({ end }) => end),
    );
    expect(outer).toEqual([['barn'], ['inside', 'barn'], ['inside', 'barn'], ['inside', 'barn']]);
    expect(network.zones.outside.of).toEqual([{ end: 'outside', weight: 1 }]);
  });

  it('damps the daily swing to about half and stands a few kelvins above outside in a cold spell', () => {
    const day = lastDay(network, { meanC: -10, swingK: 8, groundC: 4, days: 8 });
    const barn = day.map(({ nodes }) => nodes.barn!);
    const swing = (Math.max(...barn) - Math.min(...barn)) / 2;
    expect(swing / 8).toBeGreaterThan(0.4);
    expect(swing / 8).toBeLessThan(0.7);
    const mean = barn.reduce((sum, t) => sum + t, 0) / barn.length;
    expect(mean + 10).toBeGreaterThan(1);
    expect(mean + 10).toBeLessThan(5);
  });

  it('takes the user’s own numbers', () => {
    const none = { insideCapacity: null, underbellyCapacity: null, underneathCapacity: null };
    const paths = { insideOutside: null, insideUnderbelly: null, underbellyUnderneath: null };
    const rest = { underneathOutside: null, underneathGround: null };
    const own = { barnCapacity: 9e6, barnOutside: 300, barnGround: 60 };
    const { nodes, paths: built } = networkOf({
      shelter: 'barn',
      network: { ...none, ...paths, ...rest, ...own },
    });
    expect(nodes.find(({ id }) => id === 'barn')?.capacityJPerK).toBe(9e6);
    expect(built.slice(-2).map(({ calmWPerK }) => calmWPerK)).toEqual([300, 60]);
  });
});

describe('zones that are blends', () => {
  it('stand where the trade says between a cabin at 20 °C and 0 °C outside', () => {
    const nodes = { inside: 20, outside: 0 };
    const shut = networkOf({});
    const open = networkOf({ cupboardsOpen: true });
    expect(zoneAt(shut, 'bay', nodes)).toBeCloseTo(3, 9);
    expect(zoneAt(shut, 'cabinet', nodes)).toBeCloseTo(20 * (1 - 0.3), 9);
    expect(zoneAt(open, 'cabinet', nodes)).toBeCloseTo(20 * (1 - 0.12), 9);
    expect(zoneAt(shut, 'slide', nodes)).toBeCloseTo(20 * (1 - 0.7), 9);
  });

  it('have weights that sum to 1 and lags of their own', () => {
    for (const belly of ['open', 'enclosed', 'heated'] as const)
      for (const skirting of ['none', 'vinyl'] as const)
        for (const shelter of ['open', 'row', 'barn'] as const) {
          const { zones, nodes } = networkOf({ belly, skirting, shelter });
          for (const { of } of Object.values(zones)) {
            expect(of.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
            const known = ['outside', ...nodes.map(({ id }) => id)];
            expect(of.filter(({ end }) => !known.includes(end))).toEqual([]);
          }
          const lags = Object.values(zones).map(({ lagS }) => lagS);
          const slow = lags.filter((lagS) => lagS > 0);
          expect(new Set(slow).size).toBe(slow.length);
        }
  });

  it('half of an outlet is in the underbelly, if there is one', () => {
    const nodes = { underbelly: 6, underneath: -2, outside: -10 };
    expect(zoneAt(networkOf({ belly: 'heated' }), 'outlet', nodes)).toBe(-2);
    expect(zoneAt(networkOf({ belly: 'heated', skirting: 'vinyl' }), 'outlet', nodes)).toBe(2);
    expect(zoneAt(networkOf({ belly: 'open' }), 'outlet', nodes)).toBe(-10);
    expect(zoneAt(networkOf({ belly: 'open', skirting: 'vinyl' }), 'underbelly', nodes)).toBe(-2);
  });
});
