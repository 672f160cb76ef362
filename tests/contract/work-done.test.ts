/**
 * What was done leaves what it was accepted to leave: advice does not grow by following it. The accepted chances are those of
 * the plan, 0.05 as it stands and kept warm, 0.25 once it is drained.
 */
import { describe, expect, it } from 'vitest';
import type { Config } from '../../src/config/config.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, jsonOf, scenario, roundAt } from '../support/scenario.ts';
import { runCli } from '../../src/cli/cli.ts';

const NOW = '2026-12-10T19:00:00Z';

/** So many courses of twelve have nine hours at −9 °C, which breaks what a drain leaves; the rest stay at +6. */
function lot(cold: number, unit: object = {}): Config {
  const air = (member: number, hour: number): number =>
    member < cold && hour >= 72 + 30 && hour < 72 + 42 ? -9 : 6;
  const members = Array.from({ length: 12 }, (_, member) => ({
    weight: 1,
    temperatureC: Array.from({ length: 200 }, (_u, hour) => air(member, hour)),
    windSpeedMps: new Array<number>(200).fill(2),
    cloudPercent: new Array<number>(200).fill(100),
  }));
  const series = jsonOf(iso(seconds(NOW) - 72 * 3600), members, iso(seconds(NOW)));
  return scenario(
    configOf({
      sources: [{ id: 'series', kind: 'file', path: './series.json' }],
      units: [
        {
          id: 'blue',
          place: 'creek',
          kind: 'travel-trailer',
          belly: 'open',
          heat: 'none',
          contacts: ['ann'],
          water: { state: 'in-use', since: '2026-12-01T00:00:00Z' },
          ...unit,
        },
      ],
    }),
    { 'series.json': series },
  );
}

async function mark(config: Config, ...args: string[]): Promise<void> {
  const io = { env: {}, write: () => undefined, complain: () => undefined, now: () => seconds(NOW) };
  expect(await runCli(['mark', 'blue', ...args, '-c', config.file, '--now', NOW], io)).toBe(0);
}

async function blue(config: Config) {
  return (await checkAt(config, NOW)).units[0]!;
}

const advised = async (config: Config): Promise<string | undefined> => (await blue(config)).advice?.action;

describe('a unit that was drained well', () => {
  it('is left with two of twelve, which full of water it would not be', async () => {
    const config = lot(2);
    expect(await advised(config)).not.toBe('nothing');
    await mark(config, 'drained', '--quality', 'well');
    const unit = await blue(config);
    expect(unit.chanceOfDamage?.nothing).toBeCloseTo(2 / 12, 6);
    expect(unit).toMatchObject({ advice: { action: 'nothing', reasonCode: 'within-tolerance' } });
    expect(unit.tolerance?.nothing).toBe(0.25);
    expect(unit.advice?.reason).toContain('within the 25 % that is accepted');
    expect((await roundAt(config, NOW)).messages).toEqual([]);
  });

  it('is to be winterized where four of twelve would break it: that is more than a drain may leave', async () => {
    const config = lot(4);
    await mark(config, 'drained', '--quality', 'well');
    expect(await advised(config)).toBe('winterize');
  });

  it('keeps the time to start by and the all-clear of the chance stated for a unit as it stands', async () => {
    const config = lot(4);
    await mark(config, 'drained', '--quality', 'well');
    expect((await blue(config)).firstDamage?.deadlineQuantile).toBe(0.025);
  });
});

describe('what is still to be done keeps the lower chance', () => {
  it('where it was drained quickly, and where a circuit was left out', async () => {
    for (const more of [[], ['--quality', 'well', '--circuit', 'cold', '--circuit', 'hot']]) {
      const config = lot(2);
      await mark(config, 'drained', ...more);
      expect(await advised(config), more.join(' ')).not.toBe('nothing');
      expect((await blue(config)).tolerance?.nothing).toBe(0.05);
    }
  });

  it('where it was blown out and the traps were not done', async () => {
    const config = lot(2);
    await mark(config, 'winterized', '--method', 'air');
    expect((await blue(config)).tolerance?.nothing).toBe(0.05);
  });

  it('and where prices say what work is worth', async () => {
    const config = lot(2, { policy: { tolerance: 'from-costs' } });
    await mark(config, 'drained', '--quality', 'well');
    expect((await blue(config)).tolerance?.nothing).not.toBe(0.25);
  });
});

describe('the hose', () => {
  it('is off before the rest of the work is done: it does not spoil a long job', async () => {
    // The regulator at the post freezes within the hours of winterizing, and long after the first minutes.
    const air = (hour: number): number => (hour < 73 ? 6 : -8);
    const temperatureC = Array.from({ length: 200 }, (_, hour) => air(hour));
    const flat = (value: number) => new Array<number>(200).fill(value);
    const members = [{ weight: 1, temperatureC, windSpeedMps: flat(2), cloudPercent: flat(100) }];
    const series = jsonOf(iso(seconds(NOW) - 72 * 3600), members, iso(seconds(NOW)));
    const unit = {
      id: 'blue',
      place: 'creek',
      kind: 'fifth-wheel',
      belly: 'enclosed',
      heat: 'none',
      hose: 'connected',
      contacts: ['ann'],
      water: { state: 'in-use', since: '2026-12-01T00:00:00Z' },
      work: { winterize: '60 min', travel: '0 min' },
    };
    const config = scenario(
      configOf({
        sources: [{ id: 'series', kind: 'file', path: './series.json' }],
        errorModel: { kind: 'none' },
        units: [unit],
      }),
      { 'series.json': series },
    );
    const checked = await blue(config);
    const regulator = checked.parts?.find(({ id }) => id === 'regulator');
    const minutes = (seconds(regulator?.blockedAt ?? '') - seconds(NOW)) / 60;
    expect(minutes).toBeGreaterThan(15);
    expect(minutes).toBeLessThan(60);
    const others = checked.parts?.filter(({ circuit }) => circuit !== 'post') ?? [];
    const first = Math.min(
      ...others.flatMap(({ blockedAt }) => (blockedAt === null ? [] : [seconds(blockedAt)])),
    );
    expect((first - seconds(NOW)) / 60).toBeGreaterThan(75);
    expect(checked.chanceOfDamage?.winterize).toBe(0);
  });
});
