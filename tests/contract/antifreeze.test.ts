/** Antifreeze that is in the lines already: enough for the cold ahead, or to be done again. */
import { describe, expect, it } from 'vitest';
import { checkAt, configOf, csvOf, probeUnit, scenario } from '../support/scenario.ts';

const START = '2026-12-10T00:00:00Z';
const NOW = '2026-12-10T06:00:00Z';

/** +5 °C, and from the evening on as cold as this for good. */
async function advised(coldC: number, fluid: object) {
  const temperatureC = Array.from({ length: 120 }, (_, hour) => (hour < 30 ? 5 : coldC));
  const water = { state: 'winterized', method: 'antifreeze', ...fluid };
  const { parts, ...unit } = probeUnit({ water }) as { parts: { own: readonly object[] } };
  const own = ['cold', 'hot', 'heater'].map((circuit) => ({ ...parts.own[0], id: `in-${circuit}`, circuit }));
  const config = configOf({ units: [{ ...unit, parts: { catalogue: false, own } }] });
  const files = { 'series.csv': csvOf({ start: START, temperatureC }) };
  return (await checkAt(scenario(config, files), NOW)).units[0]?.advice;
}

// Makers' guides: 24 % of propylene glycol bursts nothing down to −17.8 °C, 28 % down to −23.3; 7.6 L of 28 % and the
// 0.8 L that a good drain leaves are 25.3 %, −19.6 °C. Lange's Handbook: ethanol of 27 % freezes
// at −12.2 °C, of 29.5 % at −14.
describe('ready-to-use fluid of glycol', () => {
  it('is enough at −19 °C, and blown out again where it comes to −25', async () => {
    expect(await advised(-19, {})).toMatchObject({ action: 'nothing', reasonCode: 'no-freeze' });
    expect(await advised(-20.5, {})).toMatchObject({ action: 'winterize', method: 'air' });
    expect(await advised(-25, {})).toMatchObject({
      action: 'winterize',
      method: 'air',
      reasonCode: 'cold-ahead',
    });
  });
});

it('fluid that was measured counts as it was measured', async () => {
  expect(await advised(-23, { concentration: 28 })).toMatchObject({ action: 'nothing' });
  expect(await advised(-24, { concentration: 28 })).toMatchObject({ action: 'winterize', method: 'air' });
});

// A fluid maker's article (found): with 35 % there is no expansion as it freezes. Makers' guides (memory) end at −60 °F.
it('fluid of 50 % is no alarm at −40 °C, and not said to bear what no guide says', async () => {
  expect(await advised(-40, { concentration: 50 })).toMatchObject({
    action: 'nothing',
    reasonCode: 'no-freeze',
  });
  expect((await advised(-52, { concentration: 50 }))?.reasonCode).not.toBe('no-freeze');
});

describe('ready-to-use fluid beside a circuit that is in use', () => {
  const circuits = { hot: { state: 'in-use' } };

  it('is left in where it bears the cold ahead, and blown out with the rest where it does not', async () => {
    const mild = await advised(-19, { circuits });
    expect(mild).toMatchObject({ action: 'winterize', method: 'antifreeze', circuits: ['hot'] });
    const cold = await advised(-25, { circuits });
    expect(cold).toMatchObject({ action: 'winterize', method: 'air', reasonCode: 'cold-ahead' });
    expect(cold).not.toHaveProperty('circuits');
  });
});

describe('ethanol of the same strength', () => {
  it('is enough at −10 °C, and filled anew where it comes to −16', async () => {
    const fluid = { fluid: 'ethanol', concentration: 28 };
    expect(await advised(-10, fluid)).toMatchObject({ action: 'nothing', reasonCode: 'no-freeze' });
    expect(await advised(-16, fluid)).toMatchObject({
      action: 'winterize',
      method: 'antifreeze',
      reasonCode: 'cold-ahead',
    });
  });

  it('is filled anew beside what else is left to do, not left as done', async () => {
    const circuits = { hot: { state: 'in-use' }, heater: { state: 'winterized', method: 'antifreeze' } };
    const fluid = { fluid: 'ethanol', concentration: 28, circuits };
    expect(await advised(-16, fluid)).toMatchObject({
      action: 'winterize',
      method: 'antifreeze',
      reasonCode: 'cold-ahead',
      circuits: ['cold', 'hot'],
    });
  });
});
