/**
 * The catalogue's parts, held against what the trade knows of them: what each holds and gives off, where it hangs,
 * with what it is drained, what is left in it. Marks: practice, no published source, unless it says otherwise.
 */
import { describe, expect, it } from 'vitest';
import { buildUnit } from '../../src/model/catalogue.ts';
import { catalogueIds } from '../../src/model/catalogue-parts.ts';
import { lineOf } from '../../src/model/tube.ts';
import type { LineSpec, OwnPart, Part, UnitKind, UnitModel, UnitSpec } from '../../src/model/unit.ts';

const FEW = { catalogue: true, add: [], without: [], own: [] };
const EVERY = { ...FEW, add: catalogueIds() };

function unitOf(over: Partial<UnitSpec> = {}): UnitModel {
  return buildUnit({
    id: 'blue',
    kind: 'travel-trailer',
    lengthM: 9.144,
    slides: 0,
    belly: 'enclosed',
    skirting: 'none',
    hoseConnected: false,
    heat: null,
    network: null,
    parts: FEW,
    ...over,
  });
}

const ALL = unitOf({ parts: EVERY }).parts;

function partOf(id: string, parts = ALL): Part {
  const part = parts.find((one) => one.id === id);
  if (part === undefined) throw new Error(`There is no ${id}.`);
  return part;
}

/** Ids of the parts of which something holds, in the order of the alphabet. */
function ids(holds: (part: Part) => boolean, parts: readonly Part[] = ALL): string[] {
  return parts
    .filter(holds)
    .map(({ id }) => id)
    .toSorted();
}

describe('what a part holds and gives off', () => {
  it.each([
    // kg of water, W/K in calm air
    ['outside-shower', 0.03, 0.24],
    ['outside-shower-hot', 0.03, 0.24],
    ['city-inlet', 0.015, 0.14],
    ['spray-port', 0.015, 0.14],
    ['petcock', 0.01, 0.1],
    ['pump-head', 0.12, 0.2],
    ['strainer', 0.05, 0.1],
    ['toilet-valve', 0.05, 0.1],
    ['second-toilet', 0.05, 0.1],
    ['kitchen-trap', 0.35, 0.5],
    ['bath-trap', 0.35, 0.5],
    ['shower-trap', 0.35, 0.5],
    ['canister-filter', 0.8, 1.8],
    ['post-filter', 0.8, 1.8],
    ['dump-grey', 1.5, 2],
    ['dump-black', 1.5, 2],
    ['tankless-heater', 0.4, 1.2],
    // 6 gal.
    ['heater-tank', 22.7, 1.5],
    // 25 ft of 5/8 in, 0.2 kg to the metre; in calm air half of the 1.0 W/K that wind makes it.
    ['hose', 1.5, 3.8],
  ])('of the %s is %d kg and %d W/K', (id, waterKg, conductanceWPerK) => {
    expect(partOf(id)).toMatchObject({ waterKg, conductanceWPerK });
  });

  it('of the lines is that of so many metres of half-inch PEX', () => {
    const metre = lineOf({ tube: 'pex-1/2', lengthM: 1 });
    for (const id of ['cold-line', 'hot-line', 'slide-line']) {
      const { waterKg, conductanceWPerK } = partOf(id);
      const ratio = conductanceWPerK / waterKg / (metre.conductanceWPerK / metre.waterKg);
      expect(Math.abs(ratio - 1), id).toBeLessThan(0.05);
    }
  });

  it.each([
    // Engineering estimates: about 120, 60, 60 and 40 L.
    ['fresh-tank', 120],
    ['grey-tank', 60],
    ['black-tank', 60],
    ['portable-tank', 40],
  ])('a %s holds about %d L', (id, litres) => {
    expect(Math.abs(partOf(id).waterKg / litres - 1)).toBeLessThan(0.05);
  });
});

describe('what is drained, blown or filled together', () => {
  it.each([
    ['outside-shower', ['outside-shower', 'outside-shower-hot', 'spray-port']],
    ['inlet', ['city-inlet']],
    ['flush', ['black-flush', 'flush-breaker']],
    ['hot', ['bath-faucet', 'hot-line']],
    ['heater', ['heater-fittings', 'heater-tank', 'hydronic-coil', 'tankless-heater']],
    ['washer', ['dishwasher', 'washing-machine']],
    ['ice-maker', ['dispenser-coil', 'ice-maker']],
    ['outside-kitchen', ['outside-kitchen']],
    ['trap-kitchen', ['kitchen-trap']],
    ['trap-bath', ['bath-trap']],
    ['trap-shower', ['shower-trap']],
    ['tank-fresh', ['fresh-tank', 'petcock', 'portable-tank', 'tank-outlet']],
    ['tank-grey', ['dump-grey', 'grey-tank']],
    ['tank-black', ['black-tank', 'dump-black', 'macerator']],
    [
      'post',
      [
        'hose',
        'hose-end-post',
        'hose-end-unit',
        'hydrant',
        'post-filter',
        'regulator',
        'splitter',
        'water-softener',
      ],
    ],
    [
      'cold',
      [
        'accumulator',
        'cabinet-elbow',
        'canister-filter',
        'check-valve',
        'cold-line',
        'hand-spray',
        'kitchen-faucet',
        'low-points',
        'pump-head',
        'second-toilet',
        'slide-line',
        'strainer',
        'toilet-valve',
      ],
    ],
  ])('%s: %j', (circuit, together) => {
    expect(ids((part) => part.circuit === circuit)).toEqual(together);
  });

  it('is every part of the catalogue, each with a name for people', () => {
    expect(ids(() => true)).toEqual(catalogueIds().toSorted());
    expect(ids(({ label }) => label.trim() === '')).toEqual([]);
    expect(new Set(catalogueIds()).size).toBe(catalogueIds().length);
  });
});

describe('where a part hangs', () => {
  const BAY = [
    'city-inlet',
    'heater-fittings',
    'heater-tank',
    'hydronic-coil',
    'outside-kitchen',
    'outside-shower',
    'outside-shower-hot',
    'spray-port',
    'tankless-heater',
  ];
  const BELOW = [
    'black-flush',
    'black-tank',
    'cold-line',
    'fresh-tank',
    'grey-tank',
    'hot-line',
    'macerator',
    'shower-trap',
    'tank-outlet',
  ];
  const INSIDE = [
    'accumulator',
    'bath-faucet',
    'bath-trap',
    'canister-filter',
    'dishwasher',
    'dispenser-coil',
    'hand-spray',
    'ice-maker',
    'kitchen-faucet',
    'kitchen-trap',
    'portable-tank',
    'pump-head',
    'second-toilet',
    'strainer',
    'toilet-valve',
    'washing-machine',
  ];
  const VALVES = ['dump-black', 'dump-grey'];
  const CAPS = ['low-points', 'petcock'];
  const hanging = (belly: UnitSpec['belly'], zone: Part['zone']): string[] =>
    ids((part) => part.zone === zone, unitOf({ belly, parts: EVERY }).parts);

  it('is behind a lid, behind the cupboards, in the slide or at the post whatever the belly', () => {
    for (const belly of ['open', 'enclosed', 'heated'] as const) {
      expect(hanging(belly, 'bay')).toEqual(BAY);
      expect(hanging(belly, 'cabinet')).toEqual(['cabinet-elbow', 'check-valve', 'flush-breaker']);
      expect(hanging(belly, 'slide')).toEqual(['slide-line']);
      expect(hanging(belly, 'post')).toEqual(ids(({ circuit }) => circuit === 'post'));
      expect(hanging(belly, 'inside')).toEqual(INSIDE);
    }
  });

  it('is under the floor: outside where the belly is open, in the underbelly where it is not', () => {
    expect(hanging('open', 'underneath')).toEqual([...BELOW, ...VALVES, ...CAPS].toSorted());
    expect(hanging('enclosed', 'underbelly')).toEqual(BELOW);
    expect(hanging('enclosed', 'underneath')).toEqual([...VALVES, ...CAPS]);
    expect(hanging('heated', 'underbelly')).toEqual(BELOW);
    expect(hanging('heated', 'outlet')).toEqual([...VALVES, ...CAPS]);
    expect(hanging('heated', 'underneath')).toEqual([]);
  });
});

describe('what breaks and what is left', () => {
  it('tubing, traps, tanks and their open valves give way, all else is rigid', () => {
    expect(ids(({ body }) => body === 'flexible')).toEqual([
      'bath-trap',
      'black-flush',
      'black-tank',
      'cold-line',
      'dispenser-coil',
      'dump-black',
      'dump-grey',
      'fresh-tank',
      'grey-tank',
      'hand-spray',
      'hose',
      'hot-line',
      'kitchen-trap',
      'low-points',
      'petcock',
      'portable-tank',
      'shower-trap',
      'slide-line',
    ]);
    expect(ids(({ body }) => body === 'rigid')).toHaveLength(ALL.length - 18);
  });

  it('drained in a hurry, pump, strainer, filter, toilet and check valves stay brim-full', () => {
    const kept = ids(({ pocket }) => pocket === 'quick');
    expect(kept).toEqual(
      expect.arrayContaining(['canister-filter', 'check-valve', 'pump-head', 'strainer', 'toilet-valve']),
    );
    expect(kept).toEqual([
      'accumulator',
      'black-flush',
      'canister-filter',
      'check-valve',
      'dishwasher',
      'flush-breaker',
      'hand-spray',
      'hydronic-coil',
      'ice-maker',
      'macerator',
      'pump-head',
      'second-toilet',
      'strainer',
      'tankless-heater',
      'toilet-valve',
      'washing-machine',
      'water-softener',
    ]);
    // A coil that cannot drain by itself.
    expect(ids(({ pocket }) => pocket === 'always')).toEqual(['dispenser-coil']);
    expect(ids(({ pocket }) => pocket === 'never')).toHaveLength(ALL.length - 18);
  });

  it('numbers of the trade are called practice, the others estimates', () => {
    expect(ids(({ provenance }) => provenance === 'practice')).toEqual([
      'bath-trap',
      'canister-filter',
      'city-inlet',
      'dump-black',
      'dump-grey',
      'heater-tank',
      'hose',
      'kitchen-trap',
      'outside-shower',
      'outside-shower-hot',
      'petcock',
      'post-filter',
      'pump-head',
      'second-toilet',
      'shower-trap',
      'strainer',
      'tankless-heater',
      'toilet-valve',
    ]);
    expect(ids(({ provenance }) => provenance === 'estimate')).toHaveLength(ALL.length - 18);
  });
});

describe('which kind has what', () => {
  const EVERY_KIND = [
    'cabinet-elbow',
    'city-inlet',
    'kitchen-faucet',
    'kitchen-trap',
    'petcock',
    'pump-head',
    'strainer',
  ];
  const WITH_A_BATH = [
    ...EVERY_KIND,
    'bath-faucet',
    'bath-trap',
    'black-tank',
    'check-valve',
    'cold-line',
    'dump-black',
    'dump-grey',
    'fresh-tank',
    'grey-tank',
    'heater-fittings',
    'heater-tank',
    'hot-line',
    'shower-trap',
    'tank-outlet',
    'toilet-valve',
  ];
  const FULL = [
    ...WITH_A_BATH,
    'black-flush',
    'flush-breaker',
    'low-points',
    'outside-shower',
    'outside-shower-hot',
  ];
  const of = (kind: UnitKind): string[] => ids(() => true, unitOf({ kind }).parts);

  it.each(['travel-trailer', 'fifth-wheel', 'motorhome'] as const)(
    'a %s has a bath, low points, an outside shower and a flush line',
    (kind) => expect(of(kind)).toEqual(FULL.toSorted()),
  );

  it('a truck camper has a bath, and neither low points nor outside shower nor flush line', () => {
    expect(of('truck-camper')).toEqual(WITH_A_BATH.toSorted());
  });

  it.each(['van', 'pop-up'] as const)('a %s has a sink, a pump and a small tank inside', (kind) => {
    expect(of(kind)).toEqual([...EVERY_KIND, 'portable-tank'].toSorted());
  });

  it('any kind can have what is added and go without what is not there', () => {
    const parts = {
      ...FEW,
      add: ['washing-machine'],
      without: ['outside-shower', 'washing-machine', 'petcock'],
    };
    const left = ids(() => true, unitOf({ parts }).parts);
    expect(left).toEqual(FULL.filter((id) => id !== 'outside-shower' && id !== 'petcock').toSorted());
    expect(
      ids(() => true, unitOf({ kind: 'van', parts: { ...FEW, add: ['washing-machine'] } }).parts),
    ).toContain('washing-machine');
    expect(unitOf({ parts: { ...FEW, catalogue: false } }).parts).toEqual([]);
  });

  it('a connected hose brings its regulator and splitter, a heated one its ends', () => {
    const at = (over: Partial<UnitSpec>): string[] =>
      ids(({ circuit }) => circuit === 'post', unitOf({ hoseConnected: true, ...over }).parts);
    expect(at({})).toEqual(['hose', 'regulator', 'splitter']);
    expect(at({ hoseHeated: true })).toEqual([
      'hose',
      'hose-end-post',
      'hose-end-unit',
      'regulator',
      'splitter',
    ]);
    expect(at({ hoseConnected: false, hoseHeated: true })).toEqual([]);
  });
});

describe('the wind at a part', () => {
  const share = (id: string, over: Partial<UnitSpec>): number =>
    partOf(id, unitOf({ parts: EVERY, ...over }).parts).windShare;

  it('is half of that at 10 m in the open, 0.3 of it under the unit, none behind walls', () => {
    const open = { belly: 'open' } as const;
    expect(share('hose', open)).toBe(0.5);
    expect(share('petcock', open)).toBe(0.3);
    expect(share('cold-line', open)).toBe(0.3);
    expect(share('cold-line', { belly: 'enclosed' })).toBe(0);
    expect(share('petcock', { belly: 'enclosed' })).toBe(0.3);
    for (const id of ['pump-head', 'city-inlet', 'cabinet-elbow']) expect(share(id, open)).toBe(0);
  });

  it('is half of that below where a part hangs half inside', () => {
    expect(share('petcock', { belly: 'heated' })).toBe(0.15);
  });

  it('is kept off by skirting, except at the post', () => {
    for (const belly of ['open', 'heated'] as const)
      expect(share('petcock', { belly, skirting: 'vinyl' })).toBe(0);
    expect(share('hose', { skirting: 'insulated' })).toBe(0.5);
  });

  it('does not reach what lies against floor or tank', () => {
    const open = unitOf({ belly: 'open' }).parts;
    const still = ids(({ zone, windShare }) => zone === 'underneath' && windShare === 0, open);
    expect(still).toEqual(['shower-trap', 'tank-outlet']);
  });

  it('meets lines and tanks as round or flat as they are, and all else as a valve', () => {
    expect(ids(({ film }) => film !== undefined)).toEqual([
      'black-flush',
      'black-tank',
      'cold-line',
      'fresh-tank',
      'grey-tank',
      'hose',
      'hot-line',
      'portable-tank',
      'slide-line',
    ]);
    // Outside diameters of 3/8 and 1/2 in PEX (ASTM F876: 0.500 and 0.625 in).
    expect(partOf('black-flush').film?.diameterM).toBeCloseTo(0.0127, 6);
    for (const id of ['cold-line', 'hot-line', 'slide-line'])
      expect(partOf(id).film?.diameterM, id).toBeCloseTo(0.015_875, 6);
    // A garden hose of 5/8 in inside is 0.8 to 0.95 in outside: estimate.
    expect(partOf('hose').film?.diameterM).toBeGreaterThan(0.8 * 0.0254);
    expect(partOf('hose').film?.diameterM).toBeLessThan(0.95 * 0.0254);
  });
});

describe('a line of the user’s own', () => {
  const line: LineSpec = {
    id: 'run',
    label: null,
    zone: 'outside',
    circuit: 'cold',
    tube: 'pex-1/2',
    lengthM: 3,
    sleeveM: 0,
    tapeWPerM: 0,
  };
  const built = (own: Partial<LineSpec>, over: Partial<UnitSpec> = {}): Part =>
    partOf('run', unitOf({ parts: { ...FEW, lines: [{ ...line, ...own }] }, ...over }).parts);

  it('has the name that it is given, else its id', () => {
    expect([built({}).label, built({ label: 'the long run' }).label]).toEqual(['run', 'the long run']);
  });

  it('meets the wind of its zone', () => {
    expect(built({}).windShare).toBe(0.5);
    expect(built({}, { skirting: 'vinyl' }).windShare).toBe(0.5);
    expect(built({ zone: 'outlet' }, { belly: 'open' }).windShare).toBe(0.3);
    expect(built({ zone: 'outlet' }, { belly: 'heated' }).windShare).toBe(0.15);
    expect(built({ zone: 'inside' }).windShare).toBe(0);
  });

  it('that takes the hose’s place states its own tape, once', () => {
    const lines = [{ ...line, id: 'hose', tapeWPerM: 15 }];
    const { stated } = unitOf({ hoseConnected: true, hoseHeated: true, parts: { ...FEW, lines } });
    const values = stated.filter(({ path }) => path === 'parts.hose.heat').map(({ value }) => value);
    expect(values).toEqual(['45 W below 3 °C, needs shore power']);
  });
});

describe('tanks', () => {
  it('hold as much as is said of each', () => {
    const whole = unitOf({ parts: EVERY }).parts;
    const { parts } = unitOf({ parts: EVERY, tanks: { fresh: 0.5, grey: 0.25, black: 0.75 } });
    const share = (id: string): number => partOf(id, parts).waterKg / partOf(id, whole).waterKg;
    expect(['fresh-tank', 'portable-tank', 'grey-tank', 'black-tank'].map(share)).toEqual([
      0.5, 0.5, 0.25, 0.75,
    ]);
    // Half a tank stands as high as a whole one, as far as the wind is concerned.
    expect(partOf('fresh-tank', parts).film?.diameterM).toBe(partOf('fresh-tank', whole).film?.diameterM);
  });

  it('nine tenths full have room for their ice, any fuller have not', () => {
    const room = (fresh: number) => partOf('fresh-tank', unitOf({ tanks: { fresh } }).parts).headroom;
    expect([room(0.9), room(0.91), room(1)]).toEqual([true, undefined, undefined]);
  });
});

it('days on the road are the unit’s own', () => {
  const tows = [{ from: 1000, until: 8000, speedMps: 25 }];
  expect(unitOf({ tows }).tows).toEqual(tows);
  expect(unitOf()).not.toHaveProperty('tows');
});

describe('a part of the user’s own', () => {
  const OWN: OwnPart = {
    id: 'probe',
    label: null,
    zone: 'outside',
    circuit: 'cold',
    waterKg: 0.2,
    conductanceWPerK: 0.4,
    wallHeatCapacityJPerK: 30,
    startTemperatureC: 10,
    body: 'flexible',
    blocked: null,
    solid: null,
    pocket: 'always',
  };
  const built = (own: Partial<OwnPart>, over: Partial<UnitSpec> = {}): Part =>
    partOf('probe', unitOf({ parts: { ...FEW, own: [{ ...OWN, ...own }] }, ...over }).parts);

  it('is taken as it is given, at any wind', () => {
    const { blocked: _b, solid: _s, label: _l, ...given } = OWN;
    expect(built({})).toMatchObject({ ...given, label: 'probe', windShare: 0, provenance: 'config' });
    expect(built({ label: 'the probe' }).label).toBe('the probe');
  });

  it('is blocked and solid at the ice that the policy counts, unless it says otherwise', () => {
    expect(built({})).toMatchObject({ blocked: 0.9, solid: 0.95 });
    expect(built({ body: 'rigid' }).blocked).toBe(0.2);
    const thresholds = { blocked: { rigid: 0.3, flexible: 0.8 }, solid: 0.85 };
    expect(built({}, { thresholds })).toMatchObject({ blocked: 0.8, solid: 0.85 });
    expect(built({ blocked: 0.5, solid: 0.6 }, { thresholds })).toMatchObject({ blocked: 0.5, solid: 0.6 });
    expect(partOf('pump-head', unitOf({ thresholds }).parts)).toMatchObject({ blocked: 0.3, solid: 0.85 });
  });

  it('takes the place of the catalogue’s part of its name', () => {
    const { parts } = unitOf({ parts: { ...FEW, own: [{ ...OWN, id: 'pump-head' }] } });
    expect(parts.filter(({ id }) => id === 'pump-head').map(({ waterKg }) => waterKg)).toEqual([0.2]);
  });

  it('in the place of the water heater leaves nothing to be taken of it', () => {
    const own = { ...FEW, own: [{ ...OWN, id: 'heater-tank' }] };
    expect(unitOf({ parts: own }).assumptions.join(' ')).not.toContain('water heater');
    expect(unitOf().assumptions.join(' ')).toContain('water heater');
  });
});
