/** The shell as a network: its measures by kind, its paths by what is under it, and what the wind adds. */
import { describe, expect, it } from 'vitest';
import { ModelError } from '../../src/errors.ts';
import { buildUnit } from '../../src/model/catalogue.ts';
import type { Network, NetworkSpec, UnitKind, UnitSpec } from '../../src/model/unit.ts';

const NONE_GIVEN: NetworkSpec = {
  insideCapacity: null,
  underbellyCapacity: null,
  underneathCapacity: null,
  insideOutside: null,
  insideUnderbelly: null,
  underbellyUnderneath: null,
  underneathOutside: null,
  underneathGround: null,
};

function networkOf(over: Partial<UnitSpec> = {}): Network {
  return buildUnit({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 10,
    slides: 0,
    belly: 'enclosed',
    skirting: 'none',
    hoseConnected: false,
    heat: null,
    network: null,
    parts: { catalogue: false, add: [], without: [], own: [] },
    ...over,
  }).network;
}

function pathOf(network: Network, name: string) {
  const path = network.paths.find((one) => one.name === name);
  if (path === undefined) throw new Error(`There is no ${name}.`);
  return path;
}

/** Each path as "name: from to". */
function paths(over: Partial<UnitSpec>): string[] {
  return networkOf(over).paths.map(({ name, between }) => `${name}: ${between.join(' ')}`);
}

function nodes(over: Partial<UnitSpec>): string[] {
  return networkOf(over).nodes.map(({ id }) => id);
}

describe('a unit whose length is not given', () => {
  // Usual measures: common practice. Shell 5 W/K per foot, floor 1.5 W/K per m².
  it.each([
    ['travel-trailer', 7.3, 2.4],
    ['fifth-wheel', 9.8, 2.4],
    ['motorhome', 9.1, 2.5],
    ['truck-camper', 3, 2.2],
    ['van', 5.9, 1.9],
    ['pop-up', 3.7, 2.1],
  ] as readonly (readonly [UnitKind, number, number])[])(
    'as a %s is %d m by %d m',
    (kind, lengthM, widthM) => {
      const network = networkOf({ kind, lengthM: null });
      const canvas = kind === 'pop-up' ? 1.5 : 1;
      expect(pathOf(network, 'insideOutside').calmWPerK).toBeCloseTo((canvas * 5 * lengthM) / 0.3048, 9);
      expect(pathOf(network, 'insideUnderbelly').calmWPerK).toBeCloseTo(1.5 * lengthM * widthM, 9);
    },
  );

  it('is taken at its given length otherwise, and at the usual width', () => {
    expect(pathOf(networkOf(), 'insideUnderbelly').calmWPerK).toBeCloseTo(1.5 * 10 * 2.4, 9);
  });
});

describe('the paths of a unit', () => {
  it('over an open belly go from inside to what is below', () => {
    expect(paths({ belly: 'open' })).toEqual([
      'insideOutside: inside outside',
      'floorOutside: inside outside',
    ]);
    expect(paths({ belly: 'open', skirting: 'vinyl' })).toEqual([
      'insideOutside: inside outside',
      'insideUnderneath: inside underneath',
      'underneathOutside: underneath outside',
      'underneathGround: underneath ground',
    ]);
    expect(paths({ belly: 'open', shelter: 'barn' })).toEqual([
      'insideBarn: inside barn',
      'floorBarn: inside barn',
      'barnOutside: barn outside',
      'barnGround: barn ground',
    ]);
  });

  it('over a closed belly go through it', () => {
    for (const belly of ['enclosed', 'heated'] as const)
      expect(paths({ belly })).toEqual([
        'insideOutside: inside outside',
        'insideUnderbelly: inside underbelly',
        'underbellyOutside: underbelly outside',
      ]);
    expect(paths({ skirting: 'insulated' }).slice(2)).toEqual([
      'underbellyUnderneath: underbelly underneath',
      'underneathOutside: underneath outside',
      'underneathGround: underneath ground',
    ]);
    expect(paths({ shelter: 'barn' })[2]).toBe('underbellyBarn: underbelly barn');
  });

  it('are as many as there are spaces with air of their own', () => {
    expect(nodes({ belly: 'open' })).toEqual(['inside']);
    expect(nodes({ belly: 'heated', skirting: 'vinyl', shelter: 'barn' })).toEqual([
      'inside',
      'underbelly',
      'underneath',
      'barn',
    ]);
    expect(nodes({ belly: 'open', shelter: 'row' })).toEqual(['inside']);
  });

  it('go through a space that only the user’s own capacity makes', () => {
    const network = { ...NONE_GIVEN, underbellyCapacity: 3e5 };
    expect(nodes({ belly: 'open', network })).toEqual(['inside', 'underbelly']);
    const below = { ...NONE_GIVEN, underneathCapacity: 2e5 };
    expect(nodes({ belly: 'open', network: below })).toEqual(['inside', 'underneath']);
    expect(nodes({ belly: 'open', network: NONE_GIVEN })).toEqual(['inside']);
  });
});

describe('what a unit of 10 m stores and loses', () => {
  it('is 2.5 MJ/K per 30 ft inside, 44 and 23 kJ/K per metre below', () => {
    const [inside, underbelly, underneath] = networkOf({ skirting: 'vinyl' }).nodes;
    expect(inside?.capacityJPerK).toBeCloseTo((2.5e6 * 10) / 9.144, 3);
    expect(underbelly?.capacityJPerK).toBeCloseTo(440_000, 6);
    expect(underneath?.capacityJPerK).toBeCloseTo(230_000, 6);
  });

  it('through a belly skin is 7, 4 or 20 W/K per metre, and 5 for draughts', () => {
    const loss = (bellySkin: 'bare' | 'foil' | 'torn') =>
      pathOf(networkOf({ bellySkin }), 'underbellyOutside');
    expect([loss('bare'), loss('foil'), loss('torn')].map(({ calmWPerK }) => calmWPerK)).toEqual([
      120, 90, 250,
    ]);
    expect(pathOf(networkOf(), 'underbellyOutside')).toEqual(loss('bare'));
  });

  it('into the ground is 2 W/K per m²', () => {
    expect(pathOf(networkOf({ skirting: 'vinyl' }), 'underneathGround').calmWPerK).toBeCloseTo(48, 9);
    // A bay of 4.5 m by 12 m: 9 W/K per m² of it to outside, 2 to the ground, 150 kJ/K per m² in its slab.
    const barn = networkOf({ shelter: 'barn' });
    expect(pathOf(barn, 'barnOutside').calmWPerK).toBeCloseTo(9 * 54, 9);
    expect(pathOf(barn, 'barnGround').calmWPerK).toBeCloseTo(2 * 54, 9);
    expect(barn.nodes.at(-1)?.capacityJPerK).toBeCloseTo(150_000 * 45, 6);
  });
});

describe('what the wind adds', () => {
  const perWind = (over: Partial<UnitSpec>, name: string) => pathOf(networkOf(over), name).windWPerKPerMps;

  it('is 3 % of the shell’s loss for each m/s', () => {
    const { calmWPerK, windWPerKPerMps } = pathOf(networkOf({ slides: 2 }), 'insideOutside');
    expect(calmWPerK).toBeCloseTo(50 / 0.3048 + 30, 9);
    expect(windWPerKPerMps / calmWPerK).toBeCloseTo(0.03, 12);
  });

  it('at the belly’s skin is more where it is torn, and nothing behind skirting', () => {
    expect(perWind({}, 'underbellyOutside')).toBe(10);
    expect(perWind({ bellySkin: 'torn' }, 'underbellyOutside')).toBe(40);
    expect(perWind({ skirting: 'vinyl' }, 'underbellyUnderneath')).toBe(0);
  });

  it('at skirting is much for vinyl and little for board', () => {
    expect(perWind({ skirting: 'vinyl' }, 'underneathOutside')).toBeCloseTo(52, 9);
    expect(perWind({ skirting: 'insulated' }, 'underneathOutside')).toBeCloseTo(5, 9);
  });

  it('is nothing at floor, ground and slab', () => {
    const barn = { shelter: 'barn', skirting: 'vinyl' } as const;
    for (const name of ['insideUnderbelly', 'underneathGround', 'barnOutside', 'barnGround'])
      expect(perWind(barn, name), name).toBe(0);
  });

  it('is nothing on a path that the user has measured', () => {
    const network = { ...NONE_GIVEN, insideOutside: 175 };
    expect(pathOf(networkOf({ network }), 'insideOutside')).toMatchObject({
      calmWPerK: 175,
      windWPerKPerMps: 0,
    });
    expect(perWind({ network }, 'underbellyOutside')).toBe(10);
  });
});

describe('a network of the user’s own', () => {
  it('that cuts a space off is refused, with its name and what to do', () => {
    const network = { ...NONE_GIVEN, insideUnderbelly: 0, underbellyUnderneath: 0 };
    expect(() => networkOf({ network })).toThrow(ModelError);
    expect(() => networkOf({ network })).toThrow(/Unit blue: .*underbelly without any path.*above 0 W\/K/);
    const both = { ...network, insideOutside: 0 };
    expect(() => networkOf({ network: both })).toThrow(/inside, underbelly/);
    // The two are joined, to each other and to nothing else.
    const island = { ...both, insideUnderbelly: 17 };
    expect(() => networkOf({ network: island })).toThrow(/inside, underbelly/);
  });

  it('that leaves one way out, through however many spaces, is taken', () => {
    const through = { ...NONE_GIVEN, insideOutside: 0, underneathOutside: 0 };
    expect(() => networkOf({ skirting: 'vinyl', network: through })).not.toThrow();
    const inside = { ...NONE_GIVEN, underbellyUnderneath: 0 };
    expect(() => networkOf({ network: inside })).not.toThrow();
  });
});

describe('the air of each zone', () => {
  const ends = (over: Partial<UnitSpec>, zone: keyof Network['zones']): string =>
    networkOf(over)
      .zones[zone].of.map(({ end }) => end)
      .join(' ');

  it('is that of the space which it is in', () => {
    expect(ends({}, 'underneath')).toBe('outside');
    expect(ends({ skirting: 'vinyl' }, 'underneath')).toBe('underneath');
    expect(ends({ shelter: 'barn' }, 'underneath')).toBe('barn');
    expect(ends({}, 'underbelly')).toBe('underbelly');
    expect(ends({ belly: 'open' }, 'underbelly')).toBe('outside');
    expect(ends({}, 'outlet')).toBe('underbelly outside');
    expect(ends({ belly: 'open', skirting: 'vinyl' }, 'outlet')).toBe('underneath');
    expect(ends({ shelter: 'barn' }, 'barn')).toBe('barn');
    expect(ends({}, 'barn')).toBe('outside');
    expect(ends({}, 'inside')).toBe('inside');
  });

  it('follows at once where there is a space, in 90, 30 and 25 min where it is a blend', () => {
    const { zones } = networkOf();
    const lags = Object.entries(zones).map(([zone, { lagS }]) => [zone, lagS / 60]);
    expect(Object.fromEntries(lags)).toEqual({
      outside: 0,
      barn: 0,
      post: 0,
      underneath: 0,
      outlet: 0,
      underbelly: 0,
      bay: 90,
      cabinet: 30,
      slide: 25,
      inside: 0,
    });
  });
});
