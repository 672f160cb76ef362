/** What a person says of a unit: the newest statement holds, and what would change nothing is refused. */
import { describe, expect, it } from 'vitest';
import type { MarkRequest } from '../../src/app/mark-request.ts';
import { mark } from '../../src/app/mark.ts';
import { runCli } from '../../src/cli/cli.ts';
import type { Config } from '../../src/config/config.ts';
import { UsageError } from '../../src/errors.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

const NOW = '2026-11-10T12:00:00Z';
const at = (hours: number): string => iso(seconds(NOW) + hours * 3600);

/** Two circuits outside, and a night of −8 °C to come. */
function lot(water: object, heat: object | 'none' = 'none'): Config {
  const temperatureC = Array.from({ length: 72 + 120 }, (_, i) => (i >= 72 + 30 && i < 72 + 42 ? -8 : 6));
  const [part] = (probeUnit() as { parts: { own: object[] } }).parts.own;
  const own = [part, { ...part, id: 'drain', circuit: 'heater' }];
  const unit = probeUnit({ water, heat, parts: { catalogue: false, own } });
  return scenario(configOf({ units: [unit] }), { 'series.csv': csvOf({ start: at(-72), temperatureC }) });
}

async function say(
  config: Config,
  said: Partial<MarkRequest> & Pick<MarkRequest, 'state'>,
): Promise<readonly string[]> {
  return mark({
    config,
    unit: 'blue',
    circuits: [],
    method: said.state === 'winterized' ? 'antifreeze' : null,
    quality: null,
    concentrationPercent: null,
    at: seconds(NOW),
    now: seconds(NOW),
    by: null,
    ...said,
  });
}

async function blue(config: Config, now = NOW) {
  const [unit] = (await checkAt(config, now)).units;
  if (unit === undefined) throw new Error('the unit has no answer');
  return unit;
}

describe('a mark of one circuit', () => {
  it('leaves the rest as the newer config says, not as an older mark did', async () => {
    const config = lot({ state: 'in-use', since: '2026-11-01T00:00:00Z' });
    await say(
      { ...config, units: config.units.map((u) => ({ ...u, waterSince: null })) },
      {
        state: 'winterized',
        at: seconds('2026-10-05T00:00:00Z'),
      },
    );
    expect((await blue(config)).waterState).toBe('wet');
    await say(config, { state: 'drained', circuits: ['heater'] });
    const unit = await blue(config);
    expect(unit.waterState).toBe('wet');
    expect(unit.advice?.action).not.toBe('nothing');
  });
});

describe('a mark of draining', () => {
  it('without its quality says what was taken, and with it nothing', async () => {
    const config = lot({ state: 'in-use' });
    const [remark, ...rest] = await say(config, { state: 'drained' });
    expect(remark).toMatch(/^No quality was given: taken as drained quickly, .*--quality well/);
    expect(rest).toEqual([]);
    expect(await say(config, { state: 'drained', quality: 'well' })).toEqual([]);
    expect(await say(config, { state: 'drained', quality: 'quick' })).toEqual([]);
  });

  it('prints what was taken within 80 columns', async () => {
    let said = '';
    const write = (more: string): void => void (said += more);
    const io = { env: {}, write, complain: write, now: () => seconds(NOW) };
    const { file } = lot({ state: 'in-use' });
    await runCli(['mark', 'blue', 'winterized', '--method', 'antifreeze', '-c', file], io);
    expect(said).toContain('No concentration was given');
    for (const line of said.split('\n')) expect(Array.from(line).length, line).toBeLessThanOrEqual(80);
  });
});

it('a gauge that is read in the future is taken as read now, and that is said', async () => {
  const heated = async (gauged: string): Promise<string> => {
    const heat = { set: '18 °C', furnace: '6 kW', propane: '20 lb', gauged };
    return (await blue(lot({ state: 'in-use' }, heat))).assumptions.join(' ');
  };
  const said = 'read at 2027-03-01T00:00:00Z, which is yet to come: they are taken as read now.';
  expect(await heated('2027-03-01T00:00:00Z')).toContain(said);
  expect(await heated(NOW)).not.toContain('yet to come');
});

describe('a mark that is older than what holds', () => {
  it('is refused where a newer mark holds, and says which', async () => {
    const config = lot({ state: 'unknown' });
    await say(config, { state: 'in-use' });
    const late = say(config, { state: 'winterized', at: seconds('2026-10-20T00:00:00Z') });
    await expect(late).rejects.toThrow(UsageError);
    await expect(late).rejects.toThrow(/last mark unit blue is in use as of 2026-11-10T12:00:00Z/);
    expect((await blue(config)).waterState).toBe('wet');
  });

  it('is refused where a newer config holds', async () => {
    const config = lot({ state: 'in-use', since: '2026-11-01T00:00:00Z' });
    const late = say(config, { state: 'drained', at: seconds('2026-10-20T00:00:00Z') });
    await expect(late).rejects.toThrow(/drainby\.yaml unit blue is in use as of 2026-11-01T00:00:00Z/);
  });

  it('is refused for a check before the last one', async () => {
    const config = lot({ state: 'in-use' });
    await say(config, { state: 'checked' });
    await expect(say(config, { state: 'checked', at: seconds(at(-1)) })).rejects.toThrow(UsageError);
  });
});

describe('a config that speaks of a time to come', () => {
  it('does not hold yet: the lines are unknown, and the answer says so', async () => {
    const config = lot({ state: 'drained', quality: 'well', since: '2027-11-01T00:00:00Z' });
    const unit = await blue(config);
    expect(unit).toMatchObject({ waterState: 'unknown', waterStateSince: null });
    expect(unit.advice?.action).not.toBe('nothing');
    expect(unit.assumptions.join(' ')).toContain('2027-11-01T00:00:00Z on, which is yet to come');
  });

  it('does not keep a mark from holding until then', async () => {
    const config = lot({ state: 'drained', quality: 'well', since: at(100) });
    await say(config, { state: 'in-use' });
    expect(await blue(config)).toMatchObject({ waterState: 'wet', waterStateSince: NOW });
    expect((await blue(config, at(101))).waterState).toBe('drained');
  });
});

it('a mark by somebody whom the config does not name is refused', async () => {
  const config = lot({ state: 'in-use' });
  await expect(say(config, { state: 'drained', by: 'evil\u001B[31m\n' })).rejects.toThrow(
    /nobody in .*drainby\.yaml\. Its people are: ann\.$/,
  );
  await say(config, { state: 'drained', by: 'ann' });
});

describe('antifreeze', () => {
  it('is kept with its fluid, whose cautions are said', async () => {
    const config = lot({ state: 'in-use' });
    const said = await say(config, { state: 'winterized', fluid: 'ethanol', concentrationPercent: 40 });
    expect(said).toHaveLength(2);
    expect(said.join(' ')).toMatch(
      /glycol refractometer reads alcohol-based fluid wrongly.*flammable and hard on seals/,
    );
    expect(await blue(config)).toMatchObject({ waterState: 'antifreeze', advice: { action: 'nothing' } });
  });

  it('of ethanol as weak as this freezes where glycol does not burst', async () => {
    const kept = async (fluid: 'glycol' | 'ethanol') => {
      const config = lot({ state: 'in-use' });
      await say(config, { state: 'winterized', fluid, concentrationPercent: 20 });
      return (await blue(config)).chanceOfDamage?.nothing;
    };
    // 20 % by volume: glycol bursts nothing down to −12 °C, ethanol freezes at −7.5 °C.
    expect(await kept('glycol')).toBe(0);
    expect(await kept('ethanol')).toBe(1);
  });

  it('of which nothing was measured is taken as ready to use, and that is said in the reader’s unit', async () => {
    const config = lot({ state: 'in-use' });
    const said = await say(
      { ...config, display: { ...config.display, temperature: 'F' } },
      { state: 'winterized' },
    );
    expect(said).toEqual([
      expect.stringMatching(/28 % glycol, thinned to 25 % by the 0\.8 L.*nothing down to −2 °F/),
    ]);
    expect((await blue(config)).assumptions.join(' ')).toContain(
      'antifreeze in it was not measured and is taken as 7.6 L of ready-to-use fluid of 28 %',
    );
  });

  it.each([4, 61, 100])('of %s % is refused', async (concentrationPercent) => {
    await expect(
      say(lot({ state: 'in-use' }), { state: 'winterized', concentrationPercent }),
    ).rejects.toThrow(/is no concentration of antifreeze in lines\. .*5 to 60\.$/);
  });

  it('does not go with air', async () => {
    const said = say(lot({ state: 'in-use' }), { state: 'winterized', method: 'air', fluid: 'glycol' });
    await expect(said).rejects.toThrow(UsageError);
  });
});

describe('what cannot be', () => {
  it('is refused of a trap that air should have emptied, and of nothing else in the unit', async () => {
    const [part] = (probeUnit() as { parts: { own: object[] } }).parts.own;
    const own = [part, { ...part, id: 'trap', circuit: 'trap-kitchen' }];
    const unit = probeUnit({ parts: { catalogue: false, own } });
    const csv = csvOf({ start: at(-72), temperatureC: Array.from({ length: 192 }, () => 6) });
    const config = scenario(configOf({ units: [unit] }), { 'series.csv': csv });
    const air = { state: 'winterized', method: 'air' } as const;
    await expect(say(config, { ...air, circuits: ['trap-kitchen'] })).rejects.toThrow(
      /Air does not empty a trap/,
    );
    await say(config, { ...air, circuits: ['cold'] });
    expect(await say(config, air)).toEqual([
      expect.stringMatching(/does not empty a trap.*Add --traps.*--circuit trap-kitchen/),
    ]);
  });

  it('is said of the traps with --traps, with air and of the whole unit only', async () => {
    const [part] = (probeUnit() as { parts: { own: object[] } }).parts.own;
    const own = [part, { ...part, id: 'trap', circuit: 'trap-kitchen' }];
    const temperatureC = Array.from({ length: 192 }, (_, i) => (i < 100 ? 6 : -12));
    const config = scenario(configOf({ units: [probeUnit({ parts: { catalogue: false, own } })] }), {
      'series.csv': csvOf({ start: at(-72), temperatureC }),
    });
    const air = { state: 'winterized', method: 'air' } as const;
    await say(config, air);
    expect(await blue(config)).toMatchObject({ advice: { circuits: ['trap-kitchen'] } });
    expect(await say(config, { ...air, traps: true })).toEqual([]);
    expect((await blue(config)).advice?.action).toBe('nothing');
    // What was poured in once stays in when only the lines are blown out anew.
    await say(config, air);
    expect((await blue(config)).advice?.action).toBe('nothing');
    for (const other of [
      { method: 'antifreeze' },
      { circuits: ['cold'] },
      { state: 'drained', method: null },
    ] as const)
      await expect(say(config, { ...air, ...other, traps: true })).rejects.toThrow(/--traps goes with/);
  });

  it('is refused of a unit kept warm that holds no water, until it is filled again', async () => {
    const config = lot({ state: 'in-use' });
    await say(config, { state: 'winterized', method: 'air' });
    await expect(say(config, { state: 'kept-warm' })).rejects.toThrow(
      /nothing to keep warm.*say in-use first/,
    );
    await say(config, { state: 'in-use' });
    await say(config, { state: 'kept-warm' });
  });
});

describe('a unit that may have frozen', () => {
  it('can be said to be drained, but ice may close the way, until somebody has checked it', async () => {
    const temperatureC = Array.from({ length: 72 + 120 }, (_, i) => (i < 60 ? -9 : 6));
    const config = scenario(configOf({ units: [probeUnit()] }), {
      'series.csv': csvOf({ start: at(-72), temperatureC }),
    });
    await roundAt(config, NOW);
    expect(await say(config, { state: 'drained', quality: 'quick' })).toEqual([
      expect.stringMatching(/ice may still close the way.*drainby mark -c FILE blue checked/),
    ]);
    await say(config, { state: 'checked' });
    expect(await say(config, { state: 'drained', quality: 'quick' })).toEqual([]);
  });
});
