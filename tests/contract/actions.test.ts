/**
 * The actions of a unit beside the whole drain: what lies outside emptied alone, warmth by the measures that help, and
 * nothing that brings nothing. Common practice, no source, where no other is named.
 */
import { describe, expect, it } from 'vitest';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import type { MarkRequest } from '../../src/app/mark-request.ts';
import { mark } from '../../src/app/mark.ts';
import { checkTable } from '../../src/cli/check-table.ts';
import type { Config } from '../../src/config/config.ts';
import { toAddress } from '../../src/delivery/address.ts';
import { composeMail } from '../../src/delivery/mime.ts';
import { listMessage } from '../../src/message/list.ts';
import type { OutgoingMessage } from '../../src/message/message.ts';
import { iso, seconds } from '../support/instants.ts';
import {
  CREEK,
  checkAt,
  configOf,
  csvOf,
  jsonOf,
  probeUnit,
  roundAt,
  scenario,
} from '../support/scenario.ts';
import { checkSchema } from './schemas.ts';

/** Noon in Denver. */
const NOW = '2026-12-10T19:00:00Z';
const PAST_HOURS = 72;
const UNIT = { id: 'blue', place: 'creek', kind: 'travel-trailer', contacts: ['ann'] };

type Air = (hour: number) => number;
type Unit = CheckAnswer['units'][number];

function configFor(air: Air, over: object, around: object = {}): Config {
  const start = iso(seconds(NOW) - PAST_HOURS * 3600);
  const temperatureC = Array.from({ length: 170 }, (_, i) => air(i - PAST_HOURS));
  const csv = csvOf({
    start,
    temperatureC,
    windSpeedMps: temperatureC.map(() => 0),
    cloudPercent: temperatureC.map(() => 100),
  });
  const units = [{ ...UNIT, ...over }];
  return scenario(configOf({ places: [CREEK], units, ...around }), { 'series.csv': csv });
}

async function blue(config: Config, now = NOW): Promise<Unit> {
  const [unit] = checkSchema.parse(await checkAt(config, now)).units as unknown as Unit[];
  if (unit === undefined) throw new Error('the unit has no answer');
  return unit;
}

const told = async (air: Air, over: object): Promise<Unit> => blue(configFor(air, over));

/** Nights this cold from tonight on, days eight kelvins warmer; a mild past. Coldest at 6, warmest at 15 there. */
function nights(lowC: number, dayC = lowC + 8): Air {
  const mean = (lowC + dayC) / 2;
  return (hour) => (hour < 2 ? 10 : mean + ((dayC - lowC) / 2) * Math.cos((2 * Math.PI * (hour - 3)) / 24));
}

async function say(config: Config, said: Partial<MarkRequest> & Pick<MarkRequest, 'state'>): Promise<void> {
  await mark({
    config,
    unit: 'blue',
    circuits: [],
    method: null,
    quality: null,
    concentrationPercent: null,
    at: seconds(NOW),
    now: seconds(NOW),
    by: null,
    ...said,
  });
}

/** Portable heaters that hold the inside, and nobody there; its city inlet hangs behind a hatch that they do not warm. */
const VAN = {
  kind: 'van',
  hose: 'none',
  water: { state: 'in-use' },
  heat: { set: '18 °C', electric: '3 kW' },
};

const LIVED_IN = {
  attended: true,
  length: '30 ft',
  belly: 'heated',
  hose: 'connected',
  water: { state: 'in-use' },
  tanks: { fresh: 0.5, grey: 0.3, black: 0.3 },
  heat: { set: '18 °C', furnace: '30000 BTU/h', ductedShare: 0.12, propane: '60 lb', cylinder: '30 lb' },
};

describe('a partial drain', () => {
  it('is advised where what lies outside is all that freezes; outside it is a drain that says so', async () => {
    const unit = await told(nights(-5), VAN);
    expect(unit.advice).toMatchObject({
      action: 'drain',
      partial: true,
      circuits: ['inlet'],
      workMinutes: 15,
    });
    expect(unit.advice?.reason).toContain('Drain the city inlet; the inside stays in use.');
    expect(unit.partialDrain).toEqual({
      circuits: ['inlet'],
      workMinutes: 15,
      // A quarter of an hour of one's own time at 25 dollars.
      costOfWork: 6.25,
      chanceOfDamage: 0,
      tolerance: 0.05,
    });
    // The whole drain is worse: its heat goes with it.
    expect(Object.keys(unit.chanceOfDamage ?? {})).toEqual(['nothing', 'drain', 'winterize']);
    expect(Object.keys(unit.tolerance ?? {})).toEqual(['nothing', 'drain', 'winterize']);
  });

  it('accepts what doing nothing does, or what the config says', async () => {
    const tolerance = async (of: object): Promise<number | undefined> => {
      const unit = await blue(configFor(nights(-5), VAN, { policy: { tolerance: of } }));
      return unit.partialDrain?.tolerance;
    };
    expect(await tolerance({ nothing: 0.03 })).toBe(0.03);
    expect(await tolerance({ nothing: 0.03, 'drain-part': 0.2 })).toBe(0.2);
  });

  it('never takes longer than the whole drain', async () => {
    const unit = await told(nights(-5), { ...VAN, work: { drain: '9 min' } });
    expect(unit.advice).toMatchObject({ partial: true, workMinutes: 9 });
  });

  it('is told in the table, in the mail and its headers, and is over once it is marked', async () => {
    const config = configFor(nights(-5), VAN);
    const table = checkTable(await checkAt(config, NOW)).replaceAll(/[\s│]+/g, ' ');
    expect(table).toContain('drain, in part');
    expect(table).toContain('Drain the city inlet; the inside stays in use.');
    const { messages } = await roundAt(config, NOW);
    const [act] = messages;
    expect(act).toMatchObject({ kind: 'act', action: 'drain', partial: true, circuits: ['inlet'] });
    expect(act?.subject).toMatch(/^Drain only the city inlet of blue, start by/);
    expect(act?.text.replaceAll(/\s+/g, ' ')).toContain('drained --quality well --circuit inlet');
    const to = toAddress('Ann Example', 'ann@example.org');
    const sent = (message: OutgoingMessage): Promise<Buffer> => composeMail(message, { from: to, to });
    const mail = (await sent(act!)).toString('utf8');
    expect(mail).toMatch(/^X-Drainby-Action: drain\r$/m);
    expect(mail).toMatch(/^X-Drainby-Partial: true\r$/m);
    const { partial: _partial, ...whole } = act!;
    expect((await sent(whole)).toString('utf8')).not.toMatch(/^X-Drainby-Partial/im);
    // A list of nothing but partial drains is none of whole ones, and one whole drain makes it a whole one.
    expect(listMessage([act!, { ...act!, unit: 'red' }])).toMatchObject({ action: 'drain', partial: true });
    expect(listMessage([act!, { ...whole, unit: 'red' }])).not.toHaveProperty('partial');
    await say(config, {
      state: 'drained',
      quality: 'well',
      circuits: ['inlet'],
      at: seconds(NOW) + 60,
      now: seconds(NOW) + 60,
    });
    expect((await blue(config, iso(seconds(NOW) + 3600))).advice?.action).toBe('nothing');
  });

  it('is not offered where it leaves no less, nor where the rest is drained already', async () => {
    const cold = await told(nights(-9), { water: { state: 'in-use' } });
    expect(cold.chanceOfDamage).toMatchObject({ nothing: 1 });
    expect(cold).not.toHaveProperty('partialDrain');
    const circuits = { flush: { state: 'in-use' }, 'outside-shower': { state: 'in-use' } };
    const rest = await told(nights(-3), { water: { state: 'winterized', method: 'antifreeze', circuits } });
    expect(rest.advice).toMatchObject({ action: 'drain', circuits: ['outside-shower', 'flush'] });
    expect(rest.advice).not.toHaveProperty('partial');
  });

  it('leaves full an outside shower without valves of its own', async () => {
    const air = nights(-1, 9);
    const shower = async (over: object): Promise<readonly string[]> =>
      (await told(air, { ...LIVED_IN, ...over })).partialDrain?.circuits ?? [];
    expect(await shower({ outsideShowerValves: true })).toContain('outside-shower');
    expect(await shower({ outsideShowerValves: false, parts: { without: [] } })).not.toContain(
      'outside-shower',
    );
  });
});

describe('keeping warm', () => {
  it('needs a furnace, or somebody there with electric heaters', async () => {
    const offered = async (over: object): Promise<boolean> =>
      'keep-warm' in ((await told(nights(-5), { ...VAN, ...over })).chanceOfDamage ?? {});
    expect(await offered({})).toBe(false);
    expect(await offered({ attended: true })).toBe(true);
    expect(await offered({ heat: { set: '10 °C', furnace: '3 kW', running: false } })).toBe(true);
    expect(await offered({ attended: true, heat: 'none' })).toBe(false);
  });

  it('asks for what helps and for what practice always asks, and for nothing else', async () => {
    const { advice, chanceOfDamage } = await told(nights(-1, 9), LIVED_IN);
    expect(chanceOfDamage?.nothing).toBe(1);
    expect(advice?.measures).toEqual([
      'run-from-tank',
      'hose-off',
      'hydrant-free',
      'supply-off',
      'dump-valves-shut',
      'furnace-on',
      'heaters-down',
      'taps-known',
    ]);
    const colder = (await told(nights(-6), LIVED_IN)).advice?.measures;
    expect(colder).toEqual(expect.arrayContaining(['inlet-open', 'shower-open', 'water-heater-on']));
    expect(colder).not.toContain('flush-open');
  });

  it('6. at −10 has electric heaters down, since with them the belly is lost', async () => {
    const heat = { ...LIVED_IN.heat, electric: '3 kW' };
    const { advice } = await told(nights(-10, -8), { ...LIVED_IN, heat });
    expect(advice).toMatchObject({ action: 'keep-warm' });
    expect(advice?.measures).toContain('heaters-down');
    // In a frost in which they do no harm they may stay.
    expect((await told(nights(-1, 9), { ...LIVED_IN, heat })).advice?.measures).not.toContain('heaters-down');
  });

  it('leaves heaters on that somebody watches, where the furnace alone is too weak for the inside', async () => {
    const by = async (furnace: string): Promise<Awaited<ReturnType<typeof told>>['advice']> =>
      (await told(nights(-8, -4), { ...LIVED_IN, heat: { ...LIVED_IN.heat, furnace, electric: '3 kW' } }))
        .advice;
    const weak = await by('2 kW');
    expect(weak).toMatchObject({ action: 'keep-warm' });
    expect(weak?.measures).toContain('furnace-on');
    expect(weak?.measures).not.toContain('heaters-down');
  });

  it('runs from a heated hose where the tank’s outlet hangs in an open belly, and from the tank elsewhere', async () => {
    // A hose heated to its ends, without a regulator in the cold.
    const without = ['regulator', 'splitter', 'hose-end-post', 'hose-end-unit', 'city-inlet'];
    const heat = { ...LIVED_IN.heat, ductedShare: 0 };
    const hosed = { ...LIVED_IN, hose: 'heated', heat, parts: { without } };
    const open = await told(nights(-3), { ...hosed, belly: 'open' });
    expect(open.advice).toMatchObject({ action: 'keep-warm' });
    expect(open.advice?.measures).toContain('run-from-heated-hose');
    expect(open.advice?.measures).not.toContain('hose-off');
    expect(checkTable(await checkAt(configFor(nights(-3), { ...hosed, belly: 'open' }), NOW))).not.toContain(
      'hose off',
    );
    // With the ends and the regulator that hoses have it is no good, and nothing but the tank is left.
    const usual = { ...hosed, belly: 'heated', heat: LIVED_IN.heat, parts: {} };
    expect((await told(nights(-3), usual)).advice?.measures).toEqual(
      expect.arrayContaining(['run-from-tank', 'hose-off']),
    );
  });

  it('switches off what the breaker does not carry, and is refused only where that is not enough', async () => {
    const power = { supply: 'shore', breaker: '30 A', other: '2.6 kW' };
    const pads = { ...LIVED_IN, waterHeater: 'gas', tankPads: '200 W', power };
    // 30 A at 120 V, of which 0.8 for long, are 2.88 kW; three pads draw 0.6 kW.
    const shed = await told(nights(-6), pads);
    expect(shed.advice).toMatchObject({ action: 'keep-warm' });
    expect(shed.advice?.measures).toContain('pads-off');
    expect(shed.advice?.measures).not.toContain('tank-pads-on');
    expect(shed.assumptions.join(' ')).not.toContain('more than the post bears');
    const refused = await told(nights(-6), { ...pads, power: { ...power, other: '3 kW' } });
    expect(Object.keys(refused.chanceOfDamage ?? {})).not.toContain('keep-warm');
    expect(refused.assumptions.join(' ')).toMatch(/0\.7 kW more than the post bears/);
    // A heated hose that is taken off draws nothing.
    const hose = { ...LIVED_IN, waterHeater: 'gas', hose: 'heated', power: { ...power, other: '2.85 kW' } };
    expect((await told(nights(-6), hose)).advice?.measures).toContain('hose-off');
  });

  it('that was marked is taken as what was asked: what nobody was told to do is not counted', async () => {
    const air: Air = (hour) => (hour < 50 ? nights(-1, 9)(hour) : nights(-9, -1)(hour));
    const config = configFor(air, LIVED_IN, { policy: { window: '36 h' } });
    const { messages } = await roundAt(config, NOW);
    expect(messages[0]?.measures).not.toContain('shower-open');
    await say(config, { state: 'kept-warm', at: seconds(NOW) + 60, now: seconds(NOW) + 60 });
    const calm = await blue(config, iso(seconds(NOW) + 3600));
    expect(calm.advice?.action).toBe('nothing');
    // Two days on the shower is seen to freeze: it was never emptied.
    const later = await blue(config, iso(seconds(NOW) + 40 * 3600));
    expect(later.advice).toMatchObject({ action: 'keep-warm' });
    expect(later.advice?.measures).toContain('shower-open');
    expect(later.advice?.measures).not.toContain('hose-off');
  });
});

describe('a drain', () => {
  it('names what this unit has that gravity leaves full', async () => {
    const wet = { water: { state: 'in-use' }, parts: { add: ['canister-filter', 'ice-maker'] } };
    const { advice } = await told(nights(-3, 8), wet);
    expect(advice).toMatchObject({ action: 'drain' });
    expect(advice?.pockets).toEqual(
      expect.arrayContaining([
        'pump-head',
        'strainer',
        'toilet-valve',
        'check-valve',
        'canister-filter',
        'ice-maker',
      ]),
    );
    expect(advice?.pockets).not.toContain('cold-line');
    const { messages } = await roundAt(configFor(nights(-3, 8), wet), NOW);
    const text = messages[0]?.text.replaceAll(/\s+/g, ' ') ?? '';
    expect(text).toContain('pump strainer (its bowl off); check valves');
    expect(text).toContain('canister filter (its bowl off, the cartridge out)');
    expect(text).toContain('Each by its own manual: ice maker (valve and line).');
    expect(text).not.toContain('dishwasher');
  });

  it('that leaves no less than nothing is not advised, though it is within its tolerance', async () => {
    // Cold from now on: drained or not, one member in ten is lost to six hours at −5 °C.
    const members = Array.from({ length: 20 }, (_, i) => ({
      weight: 1,
      temperatureC: Array.from({ length: 121 }, () => (i < 2 ? -5 : 6)),
    }));
    const config = scenario(configOf({ series: 'series.json', units: [probeUnit()] }), {
      'series.json': jsonOf(NOW, members),
    });
    const { advice, chanceOfDamage } = await blue(config);
    expect(chanceOfDamage).toMatchObject({ nothing: 0.1, drain: 0.1 });
    expect(advice?.action).not.toBe('drain');
    expect(advice?.reasonCode).toBe('nothing-suffices');
  });
});

describe('water that does not come', () => {
  it('is told of in the table where it is another chance than that of damage', async () => {
    // A soft line that ice closes and does not break.
    const soft = probeUnit({}, { body: 'flexible', blocked: 0.9 });
    const config = scenario(configOf({ units: [soft] }), {
      'series.csv': csvOf({
        start: iso(seconds(NOW) - PAST_HOURS * 3600),
        temperatureC: Array.from({ length: 170 }, (_, i) => (i >= 100 && i < 108 ? -2 : 6)),
      }),
    });
    const answer = await checkAt(config, NOW);
    expect(answer.units[0]).toMatchObject({ chanceOfNoWater: 1, chanceOfDamage: { nothing: 0 } });
    expect(checkTable(answer).replaceAll(/[\s│]+/g, ' ')).toContain(
      'By this single forecast ice closes the way of the water to the taps, first in: probe.',
    );
    const dry = checkTable(
      await checkAt(
        configFor(() => 6, VAN),
        NOW,
      ),
    );
    expect(dry).not.toContain('ice closes');
  });

  it('is among the figures of a message to somebody who lives in it', async () => {
    const { messages } = await roundAt(configFor(nights(-6), LIVED_IN), NOW);
    expect(messages[0]?.text.replaceAll(/\s+/g, ' ')).toMatch(
      /Water at the taps: by this single forecast ice closes its way, as it stands, first in the [a-z]/,
    );
    const parked = await roundAt(configFor(nights(-6), { water: { state: 'in-use' } }), NOW);
    expect(parked.messages[0]?.text).not.toContain('Water at the taps');
  });
});
