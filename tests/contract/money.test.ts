/** Money and minutes of the decision, as `check --json` tells them. */
import { describe, expect, it } from 'vitest';
import type { CheckAnswer } from '../../src/app/check-answer.ts';
import { checkTable } from '../../src/cli/check-table.ts';
import type { Config } from '../../src/config/config.ts';
import { CREEK, checkAt, configOf, csvOf, probeUnit, roundAt, scenario } from '../support/scenario.ts';

const START = '2026-11-20T23:00:00Z';
const NOW = '2026-11-24T00:00:00Z';

/** Mild until tomorrow, then a night down to `lowC`; a sine a day, coldest at 5 in the morning there. */
function night(lowC: number): number[] {
  return Array.from({ length: 7 * 24 }, (_, i) => {
    const [low, high] = Math.floor((i - 1) / 24) === 4 ? [lowC, 4] : [4, 12];
    return (low + high) / 2 + ((high - low) / 2) * Math.cos((2 * Math.PI * (i - 1)) / 24);
  });
}

function trailer(id: string, over: object = {}): object {
  return {
    id,
    place: 'creek',
    kind: 'travel-trailer',
    heat: 'none',
    water: { state: 'in-use' },
    contacts: ['ann'],
    ...over,
  };
}

interface Asked {
  readonly temperatureC?: readonly number[];
  readonly policy?: object;
}

async function answer(units: readonly object[], asked: Asked = {}): Promise<CheckAnswer> {
  return await checkAt(lot(units, asked), NOW);
}

function lot(units: readonly object[], asked: Asked = {}): Config {
  const { temperatureC = night(-10.5), policy } = asked;
  const config = configOf({
    places: [CREEK],
    errorModel: { kind: 'growing' },
    units,
    ...(policy === undefined ? {} : { policy }),
  });
  const files = { 'series.csv': csvOf({ start: START, temperatureC }) };
  return scenario(config, files);
}

describe('what leaving it costs', () => {
  it('is 400 to 2,000 for a typical unit left wet at −10 °C (common practice: 900)', async () => {
    const { currency, units } = await answer([trailer('blue'), trailer('closed', { belly: 'enclosed' })]);
    expect(currency).toBe('USD');
    for (const unit of units) {
      expect(unit.lossIfNothing).toBeGreaterThan(400);
      expect(unit.lossIfNothing).toBeLessThan(2000);
      expect(unit.floodIfNothing).toBe(0);
    }
  });

  it('names the parts at stake by what they come to, and the sum of no more than the loss', async () => {
    const [unit] = (await answer([trailer('blue')])).units;
    const parts = unit?.partsAtStake ?? [];
    expect(parts.length).toBe(5);
    expect(parts.map((part) => part.expected)).toEqual(
      parts.map((part) => part.expected).toSorted((x, y) => y - x),
    );
    expect(parts.map((part) => part.id)).toContain('pump-head');
    const sum = parts.reduce((all, part) => all + part.expected, 0);
    expect(sum).toBeLessThan(unit?.lossIfNothing ?? 0);
    for (const { id, chance } of parts) {
      const computed = unit?.parts?.find((part) => part.id === id)?.chanceOfDamage ?? -1;
      expect(chance).toBeCloseTo(computed, 5);
    }
  });

  it('has a flooded floor in it only where the hose is on', async () => {
    const [unit] = (await answer([trailer('blue', { hose: 'connected' })])).units;
    expect(unit?.floodIfNothing).toBeGreaterThan(2000);
    expect(unit?.lossIfNothing).toBeGreaterThan(unit?.floodIfNothing ?? Infinity);
  });

  it('is nothing where nothing freezes', async () => {
    const [unit] = (await answer([trailer('blue')], { temperatureC: night(4).map((value) => value + 20) }))
      .units;
    expect(unit).toMatchObject({ lossIfNothing: 0, partsAtStake: [] });
    expect(unit?.expectedCost?.nothing).toBe(0);
  });

  it('is said in the table, and unknown where there is no forecast', async () => {
    const found = await answer([trailer('blue')]);
    expect(checkTable(found).replaceAll(/[│\s]+/g, ' ')).toMatch(
      /The work costs about 63 USD in time and material; left as it is, expect about \d+ USD of damage/,
    );
    const [blind] = (await answer([trailer('blue')], { temperatureC: night(5).slice(0, 60) })).units;
    expect(blind).toMatchObject({ costOfWork: null, lossIfNothing: null, partsAtStake: null });
  });
});

describe('what doing it costs', () => {
  it('is time at 25 dollars an hour and two gallons at 7: 72 min, 117 min', async () => {
    const [unit] = (await answer([trailer('blue')])).units;
    expect(unit?.costOfWork).toEqual({ nothing: 0, drain: 30, winterize: 62.75 });
    expect(unit?.expectedCost?.winterize).toBe(62.75);
  });

  it('counts the way there, and a crew’s minutes and price', async () => {
    const work = { travel: '40 min' };
    const found = await answer([trailer('far', { work }), trailer('lot', { work: { by: 'crew' } })]);
    // (72 + 40) min at 25; 55 min at 130.
    expect(found.units.map((unit) => unit.costOfWork?.['drain'])).toEqual([46.67, 119.17]);
  });

  it('counts the gas of a furnace that is switched on for it', async () => {
    const heat = { set: '10 °C', furnace: '8 kW', running: false };
    const temperatureC = night(-4);
    const free = { costs: { gasPerGallon: 0 } };
    const [dear] = (await answer([trailer('off', { heat })], { temperatureC })).units;
    const [cheap] = (await answer([trailer('off', { heat })], { temperatureC, policy: free })).units;
    const gas = (dear?.costOfWork?.['keep-warm'] ?? 0) - (cheap?.costOfWork?.['keep-warm'] ?? 0);
    // Shell of some 150 W/K by about 5 K for 3 days: 190 MJ, of 75 % of 97 MJ a gallon; within a factor of two.
    expect(gas / 4).toBeGreaterThan(1.3);
    expect(gas / 4).toBeLessThan(5.2);
    const running = { ...heat, running: true };
    const [warm] = (await answer([trailer('on', { heat: running })], { temperatureC })).units;
    expect(warm?.costOfWork?.['keep-warm']).toBe(cheap?.costOfWork?.['keep-warm']);
  });
});

describe('tolerance from costs', () => {
  const policy = { tolerance: 'from-costs' };

  it('lies near the stated numbers for a typical unit', async () => {
    const [unit] = (await answer([trailer('blue')], { policy })).units;
    expect(unit?.tolerance?.nothing).toBeGreaterThan(0.025);
    expect(unit?.tolerance?.nothing).toBeLessThan(0.1);
    expect(unit?.tolerance?.['drain']).toBeGreaterThan(0.125);
    expect(unit?.tolerance?.['drain']).toBeLessThan(0.5);
    expect(unit?.firstDamage?.deadlineQuantile).toBeCloseTo((unit?.tolerance?.nothing ?? 0) / 2, 9);
  });

  it('is 30 dollars of draining over the loss, and half of it with a caution of two', async () => {
    const units = [trailer('blue'), trailer('careful', { policy: { caution: 2 } })];
    const [blue, careful] = (await answer(units, { policy })).units;
    const share = 30 / ((blue?.lossIfNothing ?? 0) / (blue?.chanceOfDamage?.nothing ?? 0));
    expect(blue?.tolerance?.nothing).toBeCloseTo(share, 3);
    expect(careful?.tolerance?.nothing).toBeCloseTo(share / 2, 3);
  });

  it('of one unit leaves another as it is', async () => {
    const units = [trailer('blue'), trailer('own', { policy })];
    const found = (await answer(units)).units;
    expect(found.map((unit) => unit.tolerance?.nothing === 0.05)).toEqual([true, false]);
  });

  it('stated for a unit changes its advice alone', async () => {
    const bold = { tolerance: { drain: 1 } };
    const found = (await answer([trailer('blue'), trailer('bold', { policy: bold })])).units;
    expect(found.map((unit) => unit.advice?.action)).toEqual(['winterize', 'drain']);
  });
});

describe('the work in the cold', () => {
  /** Down to −9 °C within five hours from now. */
  const temperatureC = Array.from({ length: 7 * 24 }, (_, i) => Math.max(-9, Math.min(6, 6 - (i - 73) * 3)));

  it('is counted longer where the minutes come from the parts, and said', async () => {
    const work = { drain: '72 min', winterize: '117 min' };
    const water = { state: 'drained', quality: 'well' };
    const units = [trailer('blue', { water }), trailer('stated', { water, work })];
    const [blue, stated] = (await answer(units, { temperatureC, policy: { daylight: false } })).units;
    // Of 117 min, 72 for emptying lines, heater and tanks are done. Common practice, no source.
    expect(blue?.advice).toMatchObject({ workMinutes: 59, slowed: { factor: 1.3 } });
    expect(blue?.assumptions.join(' ')).toContain('counted 1.3 times as long');
    expect(blue?.assumptions.join(' ')).toContain('caps and valve handles snap');
    expect(stated?.advice).toMatchObject({ workMinutes: 117 });
    expect(stated?.assumptions.join(' ')).not.toContain('times as long');
  });
});

describe('the kit', () => {
  it('makes air the way where there is a compressor and neither bypass nor pump kit', async () => {
    const kit = { bypass: false, pumpKit: false };
    const units = [
      trailer('blue', { kit }),
      trailer('air', { kit: { ...kit, compressor: true } }),
      trailer('all', { kit: { bypass: true, pumpKit: true, compressor: true } }),
    ];
    const policy = { costs: { ownHour: 60 } };
    const found = (await answer(units, { policy })).units;
    expect(found.map((unit) => unit.advice?.method)).toEqual(['antifreeze', 'air', 'antifreeze']);
    expect(found.map((unit) => unit.advice?.workMinutes)).toEqual([157, 117, 117]);
    const { messages } = await roundAt(lot(units, { policy }), NOW);
    const said = messages.map(({ unit, text }) => [unit, text.replaceAll(/\s+/g, ' ')] as const);
    const others = said.map(([unit, text]) => [unit, /Winterizing with [^.]*\./.exec(text)?.[0] ?? null]);
    // An hour of one's own at 60, a gallon of fluid at what the defaults state.
    expect(others).toEqual([
      ['blue', null],
      [
        'air',
        expect.stringMatching(/^Winterizing with antifreeze takes 2 h 37 min and costs about \d+ USD\.$/),
      ],
      [
        'all',
        expect.stringMatching(/^Winterizing with air, by .* takes 1 h 57 min and costs about 120 USD; /),
      ],
    ]);
  });
});

it('a unit of one own part has a price, too', async () => {
  const [unit] = (await answer([probeUnit()])).units;
  expect(unit?.partsAtStake).toMatchObject([{ id: 'probe', repair: 350 }]);
});
