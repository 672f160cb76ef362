/** Story 9 of the trade: the park shuts its water on a date; 36 gal on board, 12 a day: fill by, three days, dump before. */
import { describe, expect, it } from 'vitest';
import type { Config } from '../../src/config/config.ts';
import { ANN, CREEK, checkAt, configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

/** Noon in Denver on Thursday 12 November. */
const NOW = '2026-11-12T19:00:00Z';
const START = '2026-11-09T19:00:00Z';

interface Change {
  readonly water?: object;
  readonly unit?: object;
  readonly person?: object;
  readonly temperatureC?: (hour: number) => number;
}

function load({ water = {}, unit = {}, person = {}, temperatureC = () => 8 }: Change = {}): Config {
  const series = csvOf({
    start: START,
    temperatureC: Array.from({ length: 300 }, (_, i) => temperatureC(i - 72)),
  });
  const config = configOf({
    places: [{ ...CREEK, label: 'Creek park', water: { shutsOn: '2026-11-15', at: '08:00', ...water } }],
    units: [
      probeUnit({
        attended: true,
        waterUse: { perDay: '12 gal', onBoard: '36 gal', tank: '40 gal' },
        ...unit,
      }),
    ],
    people: [{ ...ANN, ...person }],
  });
  return scenario(config, { 'series.csv': series });
}

async function messages(config: Config, now = NOW) {
  return (await roundAt(config, now)).messages;
}

describe('a park that shuts its water on a date', () => {
  it('is told with the time to fill by, the days that the water lasts, and to dump before', async () => {
    const [message, ...more] = await messages(load());
    expect(more).toEqual([]);
    expect(message).toMatchObject({
      kind: 'fill-by',
      unit: 'blue',
      action: 'nothing',
      cause: 'water-shut-by-date',
    });
    // Filled in daylight before Sunday 08:00: in Denver the sun sets about 16:43 MST that Saturday (from
    // memory), a degree of longitude further west 4 min later; less 15 min of work.
    const startBy = new Date((message?.startBy ?? 0) * 1000).toISOString();
    expect(startBy.slice(0, 15)).toBe('2026-11-14T23:3');
    const text = (message?.text ?? '').replaceAll(/\s+/g, ' ');
    expect(text).toMatch(/36 gal \(136 L\) on board at 12 gal \(45 L\) a day last 3 days/);
    expect(text).toMatch(/shut at Creek park from Sun 15 Nov, 08:00 \(MST\)/);
    expect(text.indexOf('Dump black first')).toBeGreaterThan(0);
    expect(text.indexOf('Dump black first')).toBeLessThan(text.indexOf('Fill the fresh tank with'));
    expect(message?.html).toContain('3 days');
  });

  it('asks to say when a drained tank is full, and of no other', async () => {
    const circuits = { 'tank-fresh': { state: 'drained', quality: 'well' } };
    const unit = { water: { state: 'in-use', circuits } };
    const [drained] = await messages(load({ unit: { ...unit, parts: {} } }));
    expect(drained?.kind).toBe('fill-by');
    expect(drained?.text.replaceAll(/\s+/g, ' ')).toContain(
      'drainby mark -c FILE blue in-use --circuit tank-fresh',
    );
    const [full] = await messages(load({ unit: { parts: {} } }));
    expect(full?.kind).toBe('fill-by');
    expect(full?.text).not.toContain('in-use --circuit');
  });

  it('is told once', async () => {
    const config = load();
    expect(await roundAt(config, NOW)).toMatchObject({ enqueued: 1 });
    expect(await roundAt(config, '2026-11-12T20:00:00Z')).toMatchObject({ enqueued: 0 });
    expect(await roundAt(config, '2026-11-15T16:00:00Z')).toMatchObject({ enqueued: 0 });
  });

  it('and its dump is told of both, the dump first and no later than the filling', async () => {
    const all = await messages(load({ water: { dumpClosesOn: '2026-11-15' } }));
    expect(all.map(({ kind }) => kind)).toEqual(['dump-by', 'fill-by']);
    const [dump, fill] = all.map(({ startBy }) => startBy ?? 0);
    // Dumping takes 20 minutes, and the filling comes after it.
    expect((fill ?? 0) - (dump ?? 0)).toBeCloseTo(20 * 60, -1);
  });

  it('says so when a full tank does not last until it opens again', async () => {
    const [message] = await messages(load({ water: { opensOn: '2026-11-20' } }));
    expect(message?.text.replaceAll(/\s+/g, ' ')).toContain('less than the 5 days that it is shut');
  });

  it.each([
    ['unit that nobody lives in', { unit: { attended: false } }],
    ['unit that is drained', { unit: { water: { state: 'drained' } } }],
    ['park that shuts it in a month', { water: { shutsOn: '2026-12-15' } }],
  ])('has nothing to say to a %s', async (_, change) => {
    expect(await messages(load(change))).toEqual([]);
  });

  it('is in the answer of check, which is the same for the same', async () => {
    const config = load();
    const answer = await checkAt(config, NOW);
    expect(answer.units[0]?.service).toMatchObject({
      waterShutAt: '2026-11-15T15:00:00Z',
      dumpShutAt: null,
      because: 'date',
      onBoardDays: 3,
    });
    expect(JSON.stringify(await checkAt(config, NOW))).toBe(JSON.stringify(answer));
    expect((await checkAt(load({ unit: { attended: false } }), NOW)).units[0]).not.toHaveProperty('service');
  });
});

describe('a park that shuts its water in the cold', () => {
  const COLD = { shutsOn: undefined, at: undefined, shutsBelow: '37 °F' };
  const isCold = (hour: number): boolean => hour >= 40 && hour < 50;

  it('is told before the forecast gets there', async () => {
    const all = await messages(load({ water: COLD, temperatureC: (hour) => (isCold(hour) ? 2 : 8) }));
    expect(all).toMatchObject([{ kind: 'fill-by', cause: 'water-shut-by-cold' }]);
  });

  it('asks nobody to fill what is to be drained; its dump is told all the same, without a word of filling', async () => {
    const water = { ...COLD, dumpClosesBelow: '37 °F' };
    const config = load({ water, temperatureC: (hour) => (isCold(hour) ? -8 : 8) });
    const all = await messages(config);
    expect(all.map(({ kind }) => kind)).toEqual(['act', 'dump-by']);
    expect(all[0]?.action).toMatch(/^(drain|winterize)$/);
    expect(all[1]?.text).toContain('Dump black first');
    expect(all[1]?.text).not.toContain('Fill the fresh tank');
    const { service } = (await checkAt(config, NOW)).units[0]!;
    expect(service?.fillBy).toBeNull();
    expect(service?.dumpBy).toMatch(/Z$/);
  });

  it('before the dump closes orders no filling from water that is shut by then', async () => {
    const water = { ...COLD, dumpClosesOn: '2026-11-14' };
    const all = await messages(load({ water, temperatureC: (hour) => (hour >= 3 && hour < 72 ? 2 : 8) }));
    const dump = all.find(({ kind }) => kind === 'dump-by');
    const shutAt = (await checkAt(load({ water, temperatureC: (hour) => (hour >= 3 ? 2 : 8) }), NOW)).units[0]
      ?.service?.waterShutAt;
    expect(Date.parse(shutAt ?? '') / 1000).toBeLessThan(dump?.startBy ?? 0);
    expect(dump?.text).toContain('Dump black first');
    expect(dump?.text).not.toContain('Fill the fresh tank');
    expect(dump?.text.replaceAll(/\s+/g, ' ')).toContain('drain the hose and take it in');
  });
});

describe('somebody who is free at weekends only', () => {
  it('is given a time to start by in the weekend before a cold Tuesday night', async () => {
    // Tuesday 17 November, 22:00 in Denver, is 131 h from now: told within the window of five days.
    const temperatureC = (hour: number): number => (hour >= 131 ? -15 : 8);
    const base = { water: { shutsOn: '2027-01-01' }, unit: { attended: false }, temperatureC };
    const config = load({ ...base, person: { free: ['Sa-Su 08:00-18:00'] } });
    const within = { ...config, policy: { ...config.policy, windowHours: 160 } };
    const { advice } = (await checkAt(within, NOW)).units[0]!;
    expect(advice).toMatchObject({ boundBy: 'daylight-and-thaw', inFreeHours: true, late: false });
    expect(advice?.startBy?.slice(0, 10)).toBe('2026-11-15');
    const none = load({ ...base, person: { free: ['We 08:00-18:00'] } });
    const outside = (await checkAt({ ...none, policy: { ...none.policy, windowHours: 160 } }, NOW)).units[0]!;
    expect(outside.advice).toMatchObject({ inFreeHours: false });
    expect(outside.advice?.reason).toContain('falls outside them');
    const free = load(base);
    const any = (await checkAt({ ...free, policy: { ...free.policy, windowHours: 160 } }, NOW)).units[0]!;
    expect(any.advice).not.toHaveProperty('inFreeHours');
    expect(any.advice?.startBy).toBe(outside.advice?.startBy);
  });
});
