/** Stories of the trade that the program must tell right. Common practice, no source. */
import { describe, expect, it } from 'vitest';
import type { Config } from '../../src/config/config.ts';
import { seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, jsonOf, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-12-10T19:00:00Z';
const PAST_HOURS = 72;

/** A wet, unheated travel trailer under hourly air, the 73rd value being now: noon in Denver. */
function trailer(
  air: (hour: number) => number | null,
  hours = 170,
  water: object = { state: 'in-use' },
): Config {
  const start = new Date((seconds(NOW) - PAST_HOURS * 3600) * 1000).toISOString();
  const temperatureC = Array.from({ length: hours }, (_, i) => air(i - PAST_HOURS));
  const still = temperatureC.map(() => 0);
  const overcast = temperatureC.map(() => 100);
  const unit = { id: 'blue', place: 'creek', kind: 'travel-trailer', water, contacts: ['ann'] };
  const csv = csvOf({ start, temperatureC, windSpeedMps: still, cloudPercent: overcast });
  return scenario(configOf({ units: [unit] }), { 'series.csv': csv });
}

function cycle(nightC: number, dayC: number): (hour: number) => number {
  // Coldest six hours before noon, warmest three hours after it.
  return (hour) => (nightC + dayC) / 2 + ((dayC - nightC) / 2) * Math.cos((2 * Math.PI * (hour - 3)) / 24);
}

describe('a unit that is frozen', () => {
  it('in a steady cold is never told that it is over, and the answer is no calm', async () => {
    const config = trailer(() => -12);
    const { messages } = await roundAt(config, NOW);
    expect(messages.map((m) => m.kind)).toContain('frozen');
    expect(messages.map((m) => m.kind)).not.toContain('all-clear');
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit).toMatchObject({ suspect: true, alreadyDamaged: true });
    expect(unit?.advice?.reasonCode).toBe('frozen-path');
  });

  it('at −3 by night and +8 by day is worked on once its way has thawed, after noon', async () => {
    const config = trailer(cycle(-3, 8));
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit?.alreadyDamaged).toBe(true);
    expect(['drain', 'winterize']).toContain(unit?.advice?.action);
  });
});

/** The same unit under members that stay at a temperature each from now on, with a tolerance of 3 %. */
function many(temperaturesC: readonly number[]): Config {
  const start = new Date((seconds(NOW) - PAST_HOURS * 3600) * 1000).toISOString();
  const members = temperaturesC.map((celsius) => ({
    weight: 1,
    temperatureC: Array.from({ length: 170 }, (_, i) => (i < PAST_HOURS + 24 ? 5 : celsius)),
  }));
  const unit = {
    id: 'blue',
    place: 'creek',
    kind: 'travel-trailer',
    water: { state: 'in-use' },
    contacts: ['ann'],
  };
  const policy = { tolerance: { nothing: 0.03 } };
  return scenario(configOf({ units: [unit], policy, series: 'series.json' }), {
    'series.json': jsonOf(start, members),
  });
}

/** Nights about a low with days about a high, then mild; the first begins at `fromHour` from now. */
function spell(lowC: number, highC: number, days: number): (hour: number) => number {
  const cold = cycle(lowC, highC);
  const mild = cycle(4, 10);
  // Noon to noon.
  return (hour) => (hour >= 0 && hour < 24 * days ? cold(hour) : mild(hour));
}

describe('a wet, unheated unit', () => {
  it('1. three nights at −3, days at +8: drained well before the first evening, not winterized', async () => {
    const [unit] = (await checkAt(trailer(spell(-3, 8, 3)), NOW)).units;
    expect(unit?.advice).toMatchObject({ action: 'drain', late: false });
    // Sunset is at 16:40 in Denver's zone that day.
    expect(seconds(unit!.advice!.startBy!)).toBeLessThan(seconds('2026-12-10T23:40:00Z'));
    expect(seconds(unit!.advice!.startBy!)).toBeGreaterThan(seconds(NOW));
  });

  it('2. one night at −10.5: winterized before it', async () => {
    const [unit] = (await checkAt(trailer(spell(-10.5, 5, 1)), NOW)).units;
    expect(unit?.advice).toMatchObject({ action: 'winterize', late: false });
    expect(seconds(unit!.advice!.startBy!)).toBeLessThan(seconds(unit!.firstDamage!.deadlineAt!));
  });

  it('18. added after two nights at −8: likely frozen, not to be put under pressure, to be warmed first', async () => {
    const cold = cycle(-8, -1);
    const config = trailer((hour) => (hour >= -48 && hour < 0 ? cold(hour) : cycle(1, 9)(hour)));
    const answer = await checkAt(config, NOW);
    expect(answer.units[0]).toMatchObject({ suspect: true, alreadyDamaged: true });
    const { messages } = await roundAt(config, NOW);
    const [frozen] = messages.filter(({ kind }) => kind === 'frozen');
    expect(frozen?.text).toMatch(/do not pressurise/);
    expect(frozen?.text).toMatch(/Warm it slowly/);
  });

  it('20. with a chance of 6 % and a tolerance of 3 %: there is an instant to start by', async () => {
    const members = Array.from({ length: 50 }, (_, i) => (i < 3 ? -14 : 4));
    const [unit] = (await checkAt(many(members), NOW)).units;
    expect(unit?.chanceOfDamage?.nothing).toBeCloseTo(0.06, 9);
    expect(unit?.tolerance?.nothing).toBe(0.03);
    expect(unit?.advice?.action).not.toBe('nothing');
    expect(unit?.advice?.startBy).not.toBeNull();
  });

  it('21. start-by missed and freezing hours off: what is still worth doing, not "treat as frozen"', async () => {
    // Air that falls 5 K an hour, to −16: its first part is lost at 23:02Z, and an hour and a half of work with an
    // hour ahead of it had to begin at 19:32Z.
    const config = trailer((hour) => (hour < 2 ? 3 : Math.max(-16, 3 - 5 * (hour - 2))));
    const [unit] = (await checkAt(config, '2026-12-10T20:00:00Z')).units;
    expect(unit).toMatchObject({ alreadyDamaged: false, suspect: false });
    expect(unit?.advice).toMatchObject({ action: 'winterize', late: true });
  });
});

const DONE = { state: 'winterized', method: 'air', traps: true };

describe('a unit that was winterized', () => {
  it('13. with air, traps and pump done: nothing, and not over while the cold would hurt it wet', async () => {
    const config = trailer((h) => (h < 0 ? 5 : -25), 170, DONE);
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit?.advice).toMatchObject({ action: 'nothing', reasonCode: 'within-tolerance' });
    expect(unit?.chanceOfDamage?.nothing).toBe(0.03);
  });

  it('still counts its workmanship’s risk days into the cold', async () => {
    const config = trailer(() => -12, 170, {
      ...DONE,
      since: '2026-10-01T00:00:00Z',
    });
    expect((await checkAt(config, NOW)).units[0]?.chanceOfDamage?.nothing).toBe(0.03);
  });

  // Air does not empty a trap, and fluid of 28 % is no more than slush at −40 °C.
  it.each([-40, -89])('with air is not safe at %s °C, and neither is doing it then', async (coldC) => {
    for (const water of [DONE, { state: 'in-use' }]) {
      const config = trailer((h) => (h < 30 ? 5 : coldC), 170, water);
      const [unit] = (await checkAt(config, NOW)).units;
      expect(unit?.advice?.reasonCode).toBe('nothing-suffices');
      expect(unit?.chanceOfDamage?.nothing).toBe(1);
      expect(unit?.chanceOfDamage?.winterize).toBe(1);
    }
  });

  it('with air alone has its traps still to do, five minutes, and says that they are taken as full', async () => {
    const config = trailer((h) => (h < 0 ? 5 : -15), 170, { state: 'winterized', method: 'air' });
    const [unit] = (await checkAt(config, NOW)).units;
    expect(unit?.advice).toMatchObject({ action: 'winterize', method: 'antifreeze', workMinutes: 5 });
    expect(unit?.advice?.circuits).toEqual(['trap-kitchen', 'trap-bath', 'trap-shower']);
    expect(unit?.assumptions.join(' ')).toContain('Air does not empty a trap');
  });
});

describe('a forecast with a hole before the end of the window', () => {
  it('does not say nothing, since the cold may lie behind it', async () => {
    const config = trailer((h) => (h >= 26 && h <= 28 ? null : h > 38 ? -15 : 5));
    const answer = await checkAt(config, NOW);
    expect(answer.places[0]?.problem?.code).toBe('forecast-short');
    expect(answer.units[0]?.advice).toBeNull();
  });
});
