/**
 * Stories 12 to 17 of answers, told through `mark` and `check`: what is said of a unit, and what is advised then.
 * The stories are common practice in the trade, no source.
 */
import { describe, expect, it } from 'vitest';
import type { MarkRequest } from '../../src/app/mark-request.ts';
import { mark } from '../../src/app/mark.ts';
import { runCli } from '../../src/cli/cli.ts';
import type { Config } from '../../src/config/config.ts';
import { openStore } from '../../src/store/open.ts';
import { iso, seconds } from '../support/instants.ts';
import { ANN, checkAt, configOf, csvOf, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-11-10T12:00:00Z';
const BEN = { ...ANN, id: 'ben', name: 'Ben Example', email: 'ben@example.org' };

/** A whole trailer with all that people forget, and two days at `lowC` from 30 h on. */
function trailer(lowC: number, over: object = {}): Config {
  const start = iso(seconds(NOW) - 72 * 3600);
  const temperatureC = Array.from({ length: 72 + 130 }, (_, i) => (i >= 102 && i < 150 ? lowC : 6));
  const unit = {
    id: 'blue',
    label: 'Blue trailer',
    place: 'creek',
    kind: 'travel-trailer',
    length: '24 ft',
    belly: 'open',
    heat: 'none',
    water: { state: 'in-use', since: '2026-10-01T00:00:00Z' },
    contacts: ['ann', 'ben'],
    ...over,
  };
  return scenario(configOf({ units: [unit], people: [ANN, BEN] }), {
    'series.csv': csvOf({ start, temperatureC }),
  });
}

async function say(config: Config, said: Partial<MarkRequest> & Pick<MarkRequest, 'state'>) {
  const at = seconds(NOW);
  const usual = { circuits: [], method: null, quality: null, concentrationPercent: null, by: 'ann' };
  return mark({ config, unit: 'blue', at, now: at, ...usual, ...said });
}

async function blue(config: Config, now = NOW) {
  const [unit] = (await checkAt(config, now)).units;
  if (unit === undefined) throw new Error('the unit has no answer');
  return unit;
}

const FILLED = { state: 'winterized', method: 'antifreeze' } as const;
const AIR = { state: 'winterized', method: 'air' } as const;

describe('the stories', () => {
  it('12: drained, then −9 °C for long: winterize, and the message says that it got worse', async () => {
    const config = trailer(-9);
    await say(config, { state: 'drained', quality: 'well' });
    const { advice } = await blue(config);
    // Of 117 min, 25 for the lines, 27 for the heater and 20 for the tanks are done; 1.3 times as long in such cold.
    // Common practice, no source.
    expect(advice).toMatchObject({ action: 'winterize', workMinutes: 59 });
    const { messages } = await roundAt(config, NOW);
    const { text } = messages.find(({ to }) => to.id === 'ann') ?? { text: '' };
    const steps = text.slice(text.indexOf('Steps:')).replaceAll(/\s+/g, ' ');
    expect(steps).toContain('both stay off, since it is empty');
    expect(steps).not.toMatch(/Run hot water|pull the heater|Dump the black|low-point drain|fresh tank/);
    expect(text.replaceAll(/\s+/g, ' ')).toContain('what is drained already not');
  });

  it('12: minutes that a person states are their own, and a hasty drain leaves the pockets', async () => {
    const config = trailer(-9, { work: { winterize: '90 min' } });
    await say(config, { state: 'drained', quality: 'quick' });
    expect((await blue(config)).advice).toMatchObject({ action: 'winterize', workMinutes: 90 });
    const { messages } = await roundAt(config, NOW);
    expect(messages[0]?.text.replaceAll(/\s+/g, ' ')).toMatch(
      /Look at what gravity leaves full.*pump strainer/,
    );
  });

  it('13: air, traps and pump done, −25 °C: nothing', async () => {
    const config = trailer(-25);
    await say(config, { ...AIR, traps: true });
    expect((await blue(config)).advice?.action).toBe('nothing');
  });

  it('14: "winterized" is asked how; until answered it is air only, traps not done: five minutes', async () => {
    const config = trailer(-12);
    const [remark] = await say(config, { state: 'winterized' });
    expect(remark).toMatch(/^No method was given: taken as blown out, traps not done/);
    const unit = await blue(config);
    expect(unit.waterState).toBe('blown');
    expect(unit.advice).toMatchObject({ action: 'winterize', workMinutes: 5 });
    expect(unit.advice?.circuits?.every((circuit) => circuit.startsWith('trap-'))).toBe(true);
    expect(unit.assumptions.join(' ')).toContain('Nobody has said how it was winterized');
    await say(config, { ...AIR, traps: true, at: seconds(NOW) + 60, now: seconds(NOW) + 60 });
    const after = await blue(config, '2026-11-10T12:02:00Z');
    expect(after.advice?.action).toBe('nothing');
    expect(after.assumptions.join(' ')).not.toContain('Nobody has said how');
  });

  it('15: colour everywhere but at the flush line and the outside shower: only those, 15 min', async () => {
    const config = trailer(-12);
    const withoutColour = ['flush', 'outside-shower'];
    const remarks = await say(config, { ...FILLED, concentrationPercent: 40, withoutColour });
    expect(remarks[0]).toBe(
      'No colour was seen at the black-tank flush line and the outside shower: that is taken as full of water, and is still to be done.',
    );
    const { advice, waterState } = await blue(config);
    expect(waterState).toBe('antifreeze');
    // Emptied they are safe as well, and that is less work than filling them.
    expect(advice?.action).toMatch(/^(drain|winterize)$/);
    expect(advice?.circuits?.toSorted()).toEqual(withoutColour);
    expect(advice?.workMinutes).toBe(15);
  });

  it('16: two gallons used, no colour at the hot tap: bypass half way, not winterized', async () => {
    const config = trailer(-12);
    const remarks = await say(config, { ...FILLED, withoutColour: ['hot'], usedLitres: 2 * 3.785 });
    expect(remarks.slice(0, 2)).toEqual([
      'No colour was seen at the hot lines: the unit is not winterized, and that is taken as full of water.',
      expect.stringMatching(/bypass of the water heater stands half way.*Stop pumping/),
    ]);
    const unit = await blue(config);
    expect(unit.waterState).toBe('wet');
    expect(unit.advice).toMatchObject({ action: 'winterize' });
    expect(unit.advice?.circuits).toEqual(expect.arrayContaining(['hot', 'heater']));
    expect(unit.advice?.circuits).not.toContain('cold');
  });

  it('16: less than a gallon and no colour at the hot tap: not winterized, pump on', async () => {
    const config = trailer(-12);
    const remarks = await say(config, { ...FILLED, withoutColour: ['hot'], usedLitres: 3 });
    expect(remarks.join(' ')).toContain('Go on until strong colour shows at every tap');
    expect(remarks.join(' ')).not.toContain('half way');
    expect((await blue(config)).waterState).toBe('wet');
  });

  it('16: a heater that was drained before may hold what did not come out', async () => {
    const config = trailer(-12);
    await say(config, { state: 'drained', quality: 'well', circuits: ['heater'] });
    const later = seconds(NOW) + 60;
    await say(config, { ...FILLED, withoutColour: ['hot'], at: later, now: later });
    const store = await openStore(config.store.path);
    const record = await store.readUnit('blue');
    await store.close();
    expect(record?.water?.circuits).toMatchObject({
      hot: { state: { kind: 'wet' } },
      heater: { state: { kind: 'unknown' } },
      cold: { state: { kind: 'antifreeze' } },
    });
  });

  it('16: a winterizing of which nobody said how, then no colour at the hot tap: taken as water, not as blown', async () => {
    const config = trailer(-12);
    await say(config, { state: 'winterized' });
    const later = seconds(NOW) + 60;
    const withoutColour = ['hot'];
    const [kept] = await say(config, { ...FILLED, withoutColour, at: later, now: later });
    expect(kept).toBe(
      'No colour was seen at the hot lines: the unit is not winterized, and that is taken as full of water.',
    );
    const unit = await blue(config, '2026-11-10T12:02:00Z');
    expect(unit.waterState).toBe('unknown');
    expect(unit.advice?.action).toBe('winterize');
    expect(unit.advice?.circuits).toEqual(expect.arrayContaining(['hot', 'heater']));
    expect(unit.advice?.circuits).not.toContain('cold');
    expect(unit.chanceOfDamage?.nothing).toBe(1);
  });

  it('15: what was drained or blown before and shows no colour is taken as water, too, but for tanks', async () => {
    const config = trailer(-12);
    await say(config, { ...AIR, traps: true });
    const later = seconds(NOW) + 60;
    const withoutColour = ['outside-shower', 'tank-fresh'];
    await say(config, { ...FILLED, withoutColour, at: later, now: later });
    const store = await openStore(config.store.path);
    const record = await store.readUnit('blue');
    await store.close();
    expect(record?.water?.circuits).toMatchObject({
      'outside-shower': { state: { kind: 'unknown' } },
      'tank-fresh': { state: { kind: 'drained', quality: 'well' } },
    });
  });

  it('kept warm without heat is taken, and it is said that no heat is counted', async () => {
    const bare = trailer(-12);
    const [remark] = await say(bare, { state: 'kept-warm' });
    expect(remark).toMatch(/^The config knows no heat for this unit, so none is counted/);
    expect((await blue(bare)).chanceOfDamage?.nothing).toBe(1);
    const heated = trailer(-12, { heat: { set: '18 °C', furnace: '9 kW', propane: '20 lb' } });
    expect(await say(heated, { state: 'kept-warm' })).toEqual([]);
  });

  it('17: 15 % at the last tap and −18 °C coming: pump again; 40 %: nothing', async () => {
    const config = trailer(-18);
    await say(config, { ...FILLED, concentrationPercent: 15 });
    expect((await blue(config)).advice).toMatchObject({ action: 'winterize', method: 'antifreeze' });
    const later = seconds(NOW) + 60;
    await say(config, { ...FILLED, concentrationPercent: 40, at: later, now: later });
    expect((await blue(config, '2026-11-10T12:02:00Z')).advice?.action).toBe('nothing');
  });
});

describe('what somebody means to do', () => {
  const refused: readonly (readonly [string, Partial<MarkRequest> & Pick<MarkRequest, 'state'>, RegExp])[] = [
    ['nobody said whose', { state: 'on-my-way', by: null }, /Whose word is "on-my-way"\? Add --by/],
    ['there is no end to it', { state: 'stop' }, /Until when\?/],
    ['its end has passed', { state: 'stop', until: seconds(NOW) }, /lies in the past/],
    [
      'its end is years ahead',
      { state: 'stop', until: seconds(NOW) + 400 * 86_400 },
      /366 days are the most/,
    ],
    ['the way takes a week', { state: 'on-my-way', until: seconds(NOW) + 8 * 86_400 }, /2 days are the most/],
    [
      'drained has an end',
      { state: 'drained', until: seconds(NOW) + 60 },
      /goes with stop and on-my-way only/,
    ],
    ['it is of one circuit', { state: 'not-mine', circuits: ['hot'] }, /--circuit does not go with not-mine/],
    ['air has a colour', { ...AIR, withoutColour: ['hot'] }, /--without-colour goes with .* antifreeze only/],
    ['air has an amount', { ...AIR, usedLitres: 3 }, /--used goes with .* antifreeze only/],
    ['no such circuit has a tap', { ...FILLED, withoutColour: ['moat'] }, /has no circuit "moat"/],
  ];
  it.each(refused)('is refused where %s', async (_why, said, message) => {
    const config = trailer(-9);
    await expect(say(config, said)).rejects.toThrow(message);
  });

  it('by somebody who is no contact is refused for what only a contact can want', async () => {
    const config = trailer(-9);
    const eve = { ...config, people: [...config.people, { ...config.people[0]!, id: 'eve' }] };
    await expect(say(eve, { state: 'not-mine', by: 'eve' })).rejects.toThrow(
      /eve is no contact of unit blue/,
    );
    await say(eve, { state: 'on-my-way', by: 'eve' });
  });

  it('keeps the water, its time and its history as they were, and moves the version', async () => {
    const config = trailer(-9);
    await say(config, { state: 'drained', quality: 'well' });
    const later = seconds(NOW) + 60;
    await say(config, { state: 'on-my-way', by: 'ben', at: later, now: later });
    const store = await openStore(config.store.path);
    const record = await store.readUnit('blue');
    const moments = await store.readMoments('blue', 0);
    await store.close();
    expect(record).toMatchObject({ version: 2, waterAt: seconds(NOW) });
    expect(moments).toHaveLength(1);
  });

  it('is printed by the command: until when, and what must be heard', async () => {
    const config = trailer(-9);
    let said = '';
    const write = (more: string): void => void (said += more);
    const io = { env: {}, write, complain: write, now: () => seconds(NOW) };
    const run = (...args: string[]) => runCli(['mark', 'blue', ...args, '-c', config.file], io);
    expect(await run('stop', '--until', '2026-12-01', '--by', 'ann')).toBe(0);
    expect(said).toContain('blue: stop until 2026-12-01T07:00:00Z.\n');
    expect(await run('stop', '--until', 'soon', '--by', 'ann')).toBe(2);
    expect(await run('not-mine', '--by', 'ann')).toBe(0);
    said = '';
    expect(await run('not-mine', '--by', 'ben')).toBe(0);
    expect(said.replaceAll('\n', ' ')).toContain('Nobody is told of unit blue any more');
    said = '';
    expect(
      await run('winterized', '--method', 'antifreeze', '--without-colour', 'hot', '--used', '2 gal'),
    ).toBe(0);
    expect(said.replaceAll('\n', ' ')).toContain('stands half way');
    expect(said).toMatch(/^blue: not yet winterized as of /);
    expect(await run('checked', '--seen', '--said')).toBe(2);
    expect(await run('checked', '--seen', '--by', 'ben')).toBe(0);
    const unit = await blue(config, '2026-11-10T12:01:00Z');
    expect(unit.answers?.at(-1)).toMatchObject({
      answer: 'checked',
      by: 'ben',
      basis: 'seen',
      via: 'command',
    });
    said = '';
    await runCli(['check', '-c', config.file, '--now', '2026-11-10T12:01:00Z'], io);
    expect(said).toContain('Ann Example said that Blue trailer is not theirs');
  });

  it('of the clock of a machine that was ahead silences nobody', async () => {
    const config = trailer(-9);
    const ahead = seconds(NOW) + 300 * 86_400;
    await say(config, { state: 'on-my-way', at: ahead, now: ahead });
    await say(config, { state: 'not-mine', by: 'ben', at: ahead, now: ahead });
    const { offered } = await roundAt(config, NOW);
    expect(offered.map(({ message }) => message.to.id).toSorted()).toEqual(['ann', 'ben']);
    expect((await blue(config)).contactsSaid).toBeUndefined();
  });
});
