/** "No water" and damage told apart, and the rule of thumb in place of computed budgets. */
import { describe, expect, it } from 'vitest';
import { checkAt, configOf, csvOf, probeUnit, scenario } from '../support/scenario.ts';

const START = '2026-12-01T00:00:00Z';
const NOW = '2026-12-01T06:00:00Z';

/** Six mild hours, then so cold for so many hours, then mild again. */
function spell(coldC: number, hours: number): number[] {
  return Array.from({ length: 120 }, (_, i) => (i < 8 || i >= 8 + hours ? 6 : coldC));
}

interface Asked {
  readonly policy?: object;
  readonly water?: object;
}

async function probed(air: number[], part: object, { policy, water = { state: 'in-use' } }: Asked = {}) {
  const around = { units: [probeUnit({ water }, part)], ...(policy === undefined ? {} : { policy }) };
  const config = scenario(configOf(around), { 'series.csv': csvOf({ start: START, temperatureC: air }) });
  const [unit] = (await checkAt(config, NOW)).units;
  if (unit === undefined) throw new Error('no unit');
  return { ...unit, noWater: 'chanceOfNoWater' in unit ? unit.chanceOfNoWater : 'absent' };
}

const LINE = { body: 'flexible', blocked: 0.9, circuit: 'cold' };

describe('a line that gives', () => {
  // The probe at −5 °C holds 20 % ice 3,050 s after it reaches 0 °C, and 90 % after 13,725 s.
  it('closed by ice and not broken: no water, no damage', async () => {
    const unit = await probed(spell(-5, 3), LINE);
    expect(unit.noWater).toBe(1);
    expect(unit.chanceOfDamage?.nothing).toBe(0);
    expect(unit.advice?.action).toBe('nothing');
  });

  it('frozen through: both', async () => {
    const unit = await probed(spell(-5, 8), LINE);
    expect(unit.noWater).toBe(1);
    expect(unit.chanceOfDamage?.nothing).toBe(1);
  });

  it('hardly touched: neither', async () => {
    const unit = await probed(spell(-0.5, 2), LINE);
    expect(unit.noWater).toBe(0);
    expect(unit.chanceOfDamage?.nothing).toBe(0);
  });

  it('on no tap’s way: nothing is said of water', async () => {
    const unit = await probed(spell(-5, 3), { ...LINE, circuit: 'tank-grey' });
    expect(unit.noWater).toBe('absent');
  });

  it('drained: nothing is said of water', async () => {
    const dry = { state: 'drained', quality: 'well' };
    const unit = await probed(spell(-5, 3), { ...LINE, pocket: false }, { water: dry });
    expect(unit.noWater).toBe('absent');
  });
});

describe('the rule of thumb in place of computed budgets', () => {
  const rule = { policy: { rule: 'simple', sustained: { at: '-4 °C', hours: 6 } } };

  it('takes three hours at −5 °C for harmless, which break a valve by its budget', async () => {
    const air = spell(-5, 4);
    expect((await probed(air, {})).chanceOfDamage?.nothing).toBe(1);
    expect((await probed(air, {}, rule)).chanceOfDamage?.nothing).toBe(0);
  });

  it('takes eight hours at −5 °C for damage, six hours after they have passed −4', async () => {
    const unit = await probed(spell(-5, 8), {}, rule);
    expect(unit.chanceOfDamage?.nothing).toBe(1);
    // Air falls from +6 at 07:00 to −5 at 08:00: through −4 after 10/11 of the hour.
    const passes = Date.parse('2026-12-01T07:00:00Z') / 1000 + (3600 * 10) / 11;
    const at = Date.parse(unit.firstDamage?.earliest ?? '') / 1000;
    expect(Math.abs(at - (passes + 6 * 3600))).toBeLessThan(1);
  });

  it('takes a long night at −3 °C for harmless', async () => {
    expect((await probed(spell(-3, 40), {}, rule)).chanceOfDamage?.nothing).toBe(0);
  });
});
