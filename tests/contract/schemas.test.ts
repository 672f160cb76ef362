/** The answers of `check` and `explain` keep their contract for every sort of unit, forecast and lack of one. */
import { describe, expect, it } from 'vitest';
import { iso, seconds } from '../support/instants.ts';
import {
  ANN,
  CREEK,
  checkAt,
  configOf,
  csvOf,
  explainAt,
  jsonOf,
  probeUnit,
  scenario,
} from '../support/scenario.ts';
import type { Config } from '../../src/config/config.ts';
import { KINDS } from '../../src/model/unit.ts';
import { checkSchema, explainSchema } from './schemas.ts';

const START = '2026-11-21T00:00:00Z';
const NOW = '2026-11-24T00:30:00Z';
const ISSUED = '2026-11-23T18:00:00Z';

/** Mild days, then three nights of frost; 72 hours of past and four days ahead. */
const AIR = Array.from({ length: 7 * 24 }, (_, i) => {
  const ahead = i >= 72;
  return (ahead ? -1 : 8) + 5 * Math.cos((2 * Math.PI * (i - 1)) / 24);
});

const ASPEN = {
  ...CREEK,
  id: 'aspen',
  label: 'Aspen loop',
  lie: 'hollow',
  coldSpot: '1 K',
  sources: ['bunch'],
};
const NOWHERE = { ...CREEK, id: 'nowhere', sources: ['missing'] };

const SOURCES = [
  { id: 'series', kind: 'file', path: './series.csv' },
  { id: 'bunch', kind: 'file', path: './bunch.json' },
  { id: 'missing', kind: 'file', path: './missing.csv' },
];

const HEAT = { set: '64 °F', furnace: '6 kW', ductedShare: 0.05, propane: '20 lb' };

/** The whole unit of the documented example. */
const BLUE = {
  ...probeUnit(),
  label: 'Blue trailer',
  length: '24 ft',
  belly: 'enclosed',
  skirting: 'none',
  attended: false,
  heat: HEAT,
  water: { state: 'in-use', since: '2026-10-01T00:00:00Z' },
  work: { keepWarm: '20 min', drain: '45 min', winterize: '90 min', travel: '40 min' },
  network: {
    insideCapacity: '2.0 MJ/K',
    underbellyCapacity: '0.32 MJ/K',
    underneathCapacity: '0.17 MJ/K',
    insideOutside: '175 W/K',
    insideUnderbelly: '17 W/K',
    underbellyUnderneath: '43 W/K',
    underneathOutside: '35 W/K',
    underneathGround: '0 W/K',
  },
};

function plain(id: string, over: object = {}): object {
  return { id, place: 'creek', kind: 'travel-trailer', contacts: ['ann'], ...over };
}

const UNITS: readonly object[] = [
  BLUE,
  ...KINDS.map((kind) => plain(kind, { kind, water: { state: 'in-use' } })),
  plain('drained', { water: { state: 'drained', quality: 'quick' }, heat: 'none' }),
  plain('blown', { water: { state: 'winterized', method: 'air' } }),
  plain('filled', {
    water: { state: 'winterized', method: 'antifreeze', concentration: 35 },
    skirting: 'vinyl',
  }),
  plain('hollow', { place: 'aspen', belly: 'heated', heat: HEAT, attended: true, slides: 2 }),
  plain('lost', { place: 'nowhere', heat: HEAT }),
];

/** Four members of unequal weight, given in any order. */
const BUNCH = [0, -3, 2, -9].map((off, i) => ({
  weight: i + 1,
  temperatureC: AIR.map((t) => t + off),
  windSpeedMps: AIR.map((_, hour) => (hour + i) % 5),
}));

const PLACES: readonly object[] = [CREEK, ASPEN, NOWHERE].map((place) => ({ sources: ['series'], ...place }));
const PEOPLE: readonly object[] = [ANN, { ...ANN, id: 'bo', name: 'Bo Example', temperature: 'C' }];

interface Order {
  readonly units?: readonly object[];
  readonly places?: readonly object[];
  readonly people?: readonly object[];
  readonly members?: readonly (typeof BUNCH)[number][];
  readonly errorModel?: object;
}

function load({
  units = UNITS,
  places = PLACES,
  people = PEOPLE,
  members = BUNCH,
  errorModel,
}: Order): Config {
  const config = configOf({
    units,
    places,
    people,
    sources: SOURCES,
    ...(errorModel === undefined ? {} : { errorModel }),
  });
  return scenario(config, {
    'series.csv': csvOf({ start: START, temperatureC: AIR, windSpeedMps: AIR.map((_, i) => i % 4) }),
    'bunch.json': jsonOf(START, members, ISSUED),
  });
}

const GROWING = { kind: 'growing', members: 11 };

describe('the answer of check', () => {
  for (const [name, errorModel] of [
    ['as a single forecast', { kind: 'none' }],
    ['dressed with errors', GROWING],
  ] as const) {
    it(`keeps drainby.check/1 for every kind of unit, ${name}`, async () => {
      const answer = await checkAt(load({ errorModel }), NOW);
      checkSchema.parse(answer);
      expect(answer.places.map((p) => p.id)).toEqual(['creek', 'aspen', 'nowhere']);
      expect(answer.units.map((u) => u.id)).toEqual(UNITS.map((u) => (u as { id: string }).id));
      expect(answer.places[0]?.forecast).toMatchObject({
        source: 'series',
        issuedAt: null,
        firstHour: START,
        hours: 168,
        members: errorModel.kind === 'none' ? 1 : 11,
        errorModel: errorModel.kind,
      });
      expect(answer.places[1]?.forecast).toMatchObject({ members: 4, issuedAt: ISSUED });
    });
  }

  it('knows nothing of the units of a place without a forecast, and never says "nothing"', async () => {
    const answer = await checkAt(load({}), NOW);
    expect(answer.places[2]).toMatchObject({
      forecast: null,
      problem: { code: expect.any(String) as string },
    });
    const lost = answer.units.find((u) => u.id === 'lost');
    expect(lost).toMatchObject({
      advice: null,
      chanceOfDamage: null,
      tolerance: null,
      firstDamage: null,
      firstPart: null,
      alreadyDamaged: null,
      zones: null,
      coldSpells: null,
      parts: null,
    });
  });

  it('says how long a heated unit holds out, and leaves it out where there is no heat', async () => {
    const answer = await checkAt(load({}), NOW);
    const holds = new Map(answer.units.map((u) => [u.id, 'holdOutHours' in u ? u.holdOutHours : 'absent']));
    // Its one part hangs outside: heat that stops costs it nothing.
    expect(holds.get('blue')).toBeNull();
    expect(holds.get('hollow')).toBeGreaterThan(0);
    expect(holds.get('travel-trailer')).toBe('absent');
    const warm = csvOf({ start: START, temperatureC: AIR.map(() => 9) });
    const config = scenario(configOf({ units: [BLUE] }), { 'series.csv': warm });
    const [calm] = (await checkAt(config, NOW)).units;
    expect(calm && 'holdOutHours' in calm ? calm.holdOutHours : 'absent').toBeNull();
  });

  it('lists zones, spells and parts in one order, spells of a zone in the order of time', async () => {
    const answer = await checkAt(load({ errorModel: GROWING }), NOW);
    const blue = answer.units[0];
    expect(Object.keys(blue?.zones ?? {})).toEqual(['outside', 'underneath', 'underbelly', 'inside']);
    for (const unit of answer.units) {
      const spells = unit.coldSpells ?? [];
      for (const zone of new Set(spells.map((s) => s.zone))) {
        const starts = spells.filter((s) => s.zone === zone).map((s) => seconds(s.start ?? ''));
        expect(starts).toEqual(starts.toSorted((x, y) => x - y));
      }
    }
  });
});

describe('the answer of explain', () => {
  for (const id of ['blue', 'travel-trailer', 'drained', 'filled', 'hollow']) {
    it(`keeps drainby.explain/1 for the unit ${id}`, async () => {
      const answer = await explainAt(load({}), id, NOW);
      explainSchema.parse(answer);
      expect(answer.unit).toBe(id);
    });
  }

  it('gives any member that is asked for', async () => {
    const [first, last] = [
      await explainAt(load({}), 'hollow', NOW, 0),
      await explainAt(load({}), 'hollow', NOW, 3),
    ];
    explainSchema.parse(last);
    const lowest = (values: readonly number[] | undefined): number => Math.min(...(values ?? []));
    expect(lowest(first.hours.zonesC['outside'])).toBeGreaterThan(lowest(last.hours.zonesC['outside']) + 5);
  });
});

describe('equal inputs', () => {
  it('give the same bytes', async () => {
    const text = async (): Promise<string> =>
      JSON.stringify(await checkAt(load({ errorModel: GROWING, units: UNITS.slice(0, 2) }), NOW));
    expect(await text()).toBe(await text());
    const explained = async (): Promise<string> => JSON.stringify(await explainAt(load({}), 'blue', NOW));
    expect(await explained()).toBe(await explained());
  });

  it('give the same answers whatever the order of units, places, people and members', async () => {
    const told = await checkAt(load({ errorModel: GROWING }), NOW);
    const turned = await checkAt(
      load({
        units: UNITS.toReversed(),
        places: PLACES.toReversed(),
        people: PEOPLE.toReversed(),
        members: [BUNCH[2]!, BUNCH[0]!, BUNCH[3]!, BUNCH[1]!],
        errorModel: GROWING,
      }),
      NOW,
    );
    const byId = <T extends { id: string }>(list: readonly T[]): T[] =>
      list.toSorted((x, y) => (x.id < y.id ? -1 : 1));
    expect(turned.units.map((u) => u.id)).toEqual(told.units.map((u) => u.id).toReversed());
    expect(byId(turned.units)).toEqual(byId(told.units));
    expect(byId(turned.places)).toEqual(byId(told.places));
  });
});

describe('times', () => {
  it('are those of the question', async () => {
    const answer = await checkAt(load({}), NOW);
    expect(answer.asOf).toBe(NOW);
    expect(answer.windowHours).toBe(72);
    expect(answer.units[0]?.waterStateSince).toBe('2026-10-01T00:00:00Z');
    const [creek] = answer.places;
    expect(creek?.forecast?.lastHour).toBe(iso(seconds(START) + 167 * 3600));
  });
});
