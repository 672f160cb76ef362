/** Cold against which nothing is enough: what still saves most is advised, stays, and goes round the ice. */
import { writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { Config } from '../../src/config/config.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, roundAt, scenario } from '../support/scenario.ts';

/** Nine in the morning in Denver, with the cold from the evening on. */
const NOW = '2026-12-01T16:00:00Z';
const PAST_HOURS = 72;
const HOUR = 3600;

/** Nights down to `lowC`, days 12 K warmer, for three days; mild before and after. Coldest at six there. */
function air(lowC: number): string {
  const temperatureC = Array.from({ length: 220 }, (_, i) => {
    const hour = i - PAST_HOURS;
    const swing = Math.cos((2 * Math.PI * (hour + 3)) / 24);
    return hour >= 8 && hour < 80 ? lowC + 6 - 6 * swing : 6;
  });
  const start = iso(seconds(NOW) - PAST_HOURS * HOUR);
  return csvOf({
    start,
    temperatureC,
    windSpeedMps: temperatureC.map(() => 2),
    cloudPercent: temperatureC.map(() => 50),
  });
}

function trailer(lowC: number, water: object = { state: 'in-use' }): Config {
  const unit = { id: 'blue', place: 'creek', kind: 'travel-trailer', belly: 'open', heat: 'none' };
  const errorModel = { kind: 'growing', atStart: '1.0 K', perDay: '0.3 K', members: 51 };
  return scenario(configOf({ units: [{ ...unit, water, contacts: ['ann'] }], errorModel }), {
    'series.csv': air(lowC),
  });
}

async function unitAt(config: Config, now = NOW) {
  const [unit] = (await checkAt(config, now)).units;
  const { advice = null, expectedCost = null } = unit ?? {};
  if (unit === undefined || advice === null || expectedCost === null)
    throw new Error('the unit has no advice');
  return { ...unit, advice, expectedCost };
}

/** What it says in one line of plain words. */
const flat = (text: string | undefined): string => (text ?? '').replaceAll(/\s+/g, ' ');

describe('a full, unheated unit with eight hours in hand', () => {
  // From what the trade says of such cold (common practice, no source): drained or blown out, a trap may go and little else.
  it.each([-36, -40])('before %d °C is still worked on, by the cheaper of two ways', async (lowC) => {
    const { advice, chanceOfDamage, expectedCost } = await unitAt(trailer(lowC));
    expect(chanceOfDamage).toMatchObject({ nothing: 1, drain: 1, winterize: 1 });
    expect(advice).toMatchObject({ action: 'winterize', method: 'air', reasonCode: 'nothing-suffices' });
    expect(advice.startBy).not.toBeNull();
    expect(advice.late).toBe(false);
    // Water left in costs thousands, antifreeze that bursts nearly as much; air leaves the traps and a low spot.
    expect(expectedCost.nothing).toBeGreaterThan(1000);
    expect(expectedCost.winterize).toBeLessThan(0.1 * (expectedCost.nothing ?? 0));
    expect(expectedCost.winterize).toBeLessThan(expectedCost.drain ?? 0);
  });

  it('is told what stays at stake, not that no work helps', async () => {
    const config = trailer(-36);
    const { advice } = await unitAt(config);
    const { messages } = await roundAt(config, NOW);
    expect(messages.map(({ kind, action }) => `${kind} ${action}`)).toEqual(['act winterize']);
    for (const text of [advice.reason, flat(messages[0]?.text)]) {
      expect(text).toContain('winterizing costs least with the damage that is still to be expected then.');
      expect(text).toMatch(/of damage stays at stake, among it .*trap.*; left as it is, about 1,\d00 USD\./);
    }
    expect(`${messages[0]?.subject} ${messages[0]?.text}`).not.toMatch(/no work helps/i);
  });

  it('is not told to leave it as it is by a colder forecast an hour later', async () => {
    const config = trailer(-30);
    expect((await roundAt(config, NOW)).messages.map(({ action }) => action)).toEqual(['winterize']);
    const [source] = config.weather.sources;
    if (source?.kind !== 'file') throw new Error('no file source');
    writeFileSync(source.path, air(-37));
    const later = iso(seconds(NOW) + HOUR);
    expect((await unitAt(config, later)).advice).toMatchObject({
      action: 'winterize',
      reasonCode: 'nothing-suffices',
    });
    const { messages } = await roundAt(config, later);
    expect(messages.filter(({ action }) => action !== 'winterize')).toEqual([]);
  });
});

describe('traps, which take no air', () => {
  const DONE = { state: 'winterized', method: 'air', traps: true };
  const said = async (lowC: number, water: object): Promise<string> =>
    (await unitAt(trailer(lowC, water))).assumptions.join(' ');

  it('are asked for stronger fluid where it is the fluid that fails, before the work and after it', async () => {
    for (const water of [{ state: 'in-use' }, DONE]) {
      expect(await said(-38, water)).toMatch(
        /Fluid of 28 % in a trap bears no less than −27 °F, and it comes to −3\d °F there: pour fluid of 35 % by volume or more into the traps, and mark each with --method antifreeze --concentration 35 --circuit trap-/,
      );
      expect(await said(-25, water)).not.toContain('or more into the traps');
    }
    expect(await said(-60, DONE)).toContain('no fluid is known to bear that in a trap');
  });

  it('are safe with it, and no more is asked', async () => {
    const strong = { state: 'winterized', method: 'antifreeze', concentration: 36 };
    const circuits = Object.fromEntries(
      ['kitchen', 'bath', 'shower'].map((name) => [`trap-${name}`, strong]),
    );
    const config = trailer(-38, { ...DONE, circuits });
    expect((await unitAt(config)).advice).toMatchObject({
      action: 'nothing',
      reasonCode: 'within-tolerance',
    });
    expect(await said(-38, { ...DONE, circuits })).not.toContain('or more into the traps');
  });
});

describe('a unit whose first parts have frozen', () => {
  /** One in the morning there: flush line and tank outlet are ice, the lines are not yet. */
  const LATE = iso(seconds(NOW) + 16 * HOUR);

  it('is drained round the ice, and both messages say what is open and what is closed', async () => {
    const config = trailer(-9);
    const { advice, expectedCost, alreadyDamaged } = await unitAt(config, LATE);
    expect(alreadyDamaged).toBe(true);
    expect(advice).toMatchObject({ action: 'drain', late: true, reasonCode: 'nothing-suffices' });
    expect(expectedCost.drain).toBeLessThan(expectedCost.nothing ?? 0);
    expect(advice.closed).toContain('flush');
    expect(advice.circuits).toContain('hot');
    expect(advice.circuits?.filter((circuit) => advice.closed?.includes(circuit))).toEqual([]);

    const { messages } = await roundAt(config, LATE);
    expect(messages.map(({ kind }) => kind)).toEqual(['frozen', 'late']);
    const [frozen, late] = messages.map(({ text }) => flat(text));
    expect(frozen).toMatch(/Ice closes this, so leave it as it is until it has thawed: [^.]*flush line/);
    expect(frozen).toMatch(
      /Still open, so do not wait for the thaw: [^;]*the hot lines[^;]*; draining that now/,
    );
    expect(frozen).not.toContain('It cannot be drained');
    expect(late).toContain('Do only what is asked below, without pressure.');
    expect(late).not.toContain('only then go on');
  });
});
