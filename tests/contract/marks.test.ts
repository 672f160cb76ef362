/** What a person says of a unit: the newest statement holds, and what would change nothing is refused. */
import { describe, expect, it } from 'vitest';
import type { MarkRequest } from '../../src/app/mark-request.ts';
import { mark } from '../../src/app/mark.ts';
import type { Config } from '../../src/config/config.ts';
import { UsageError } from '../../src/errors.ts';
import { iso, seconds } from '../support/instants.ts';
import { checkAt, configOf, csvOf, probeUnit, scenario } from '../support/scenario.ts';

const NOW = '2026-11-10T12:00:00Z';
const at = (hours: number): string => iso(seconds(NOW) + hours * 3600);

/** Two circuits outside, and a night of −8 °C to come. */
function lot(water: object): Config {
  const temperatureC = Array.from({ length: 72 + 120 }, (_, i) => (i >= 72 + 30 && i < 72 + 42 ? -8 : 6));
  const [part] = (probeUnit() as { parts: { own: object[] } }).parts.own;
  const own = [part, { ...part, id: 'drain', circuit: 'heater' }];
  const unit = probeUnit({ water, parts: { catalogue: false, own } });
  return scenario(configOf({ units: [unit] }), { 'series.csv': csvOf({ start: at(-72), temperatureC }) });
}

async function say(config: Config, said: Partial<MarkRequest> & Pick<MarkRequest, 'state'>): Promise<void> {
  await mark({
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
