/** Which antifreeze it is, and states that a circuit cannot be in. */
import { expect, it } from 'vitest';
import { SMALL, mistakesOf, parse } from './sample.ts';

const KIND = '    kind: travel-trailer\n';

function withWater(water: string, more = ''): string {
  return SMALL.replace(KIND, `${KIND}    water: ${water}\n${more}`);
}

it('the fluid is kept with the whole and with a circuit', () => {
  const water =
    '{ state: winterized, method: antifreeze, fluid: ethanol, circuits: { heater: { state: winterized, method: antifreeze, concentration: 40, fluid: glycol } } }';
  const state = parse(withWater(water)).units[0]?.water;
  expect(state?.all.state).toEqual({ kind: 'antifreeze', fluid: 'ethanol' });
  expect(state?.circuits['heater']?.state).toEqual({
    kind: 'antifreeze',
    concentrationPercent: 40,
    fluid: 'glycol',
  });
});

it.each([
  [
    '{ state: winterized, method: air, fluid: ethanol }',
    'water.fluid: belongs to method antifreeze, found it with "air"',
  ],
  [
    '{ state: winterized, method: antifreeze, traps: true }',
    'water.traps: belongs to method air, found it with "antifreeze"',
  ],
  ['{ state: drained, traps: true }', 'water.traps: belongs to state winterized, found it with "drained"'],
  ['{ state: drained, fluid: glycol }', 'water.fluid: belongs to state winterized, found it with "drained"'],
  ['{ state: winterized, method: antifreeze, fluid: methanol }', 'water.fluid'],
  ['{ state: winterized, method: antifreeze, concentration: 61 }', 'water.concentration'],
  [
    '{ state: in-use, circuits: { trap-kitchen: { state: winterized, method: air } } }',
    'Air does not empty a trap',
  ],
  [
    '{ state: in-use, circuits: { post: { state: winterized, method: antifreeze } } }',
    'No antifreeze goes into hose',
  ],
])('%s is refused', (water, told) => {
  const problems = mistakesOf(withWater(water));
  expect(problems).toHaveLength(1);
  expect(problems[0]).toContain(told);
});

it.each(['washer', 'ice-maker', 'post'])(
  'circuit %s is refused of a unit that has nothing in it',
  (circuit) => {
    const water = `{ state: in-use, circuits: { ${circuit}: { state: drained } } }`;
    const problems = mistakesOf(withWater(water));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toContain(`water.circuits.${circuit}: this unit has no part in that circuit`);
    expect(problems[0]).toContain('its circuits are: outside-shower, inlet,');
    const added = { washer: '[dishwasher]', 'ice-maker': '[ice-maker]', post: '[post-filter]' }[circuit];
    expect(() => parse(withWater(water, `    parts: { add: ${added} }\n`))).not.toThrow();
  },
);

it('a circuit of nothing but a softener takes no antifreeze, one with more in it does', () => {
  const own = (circuit: string): string =>
    `    parts: { own: [{ id: water-softener, zone: inside, circuit: ${circuit}, water: 8 kg, conductance: 4 W/K }] }\n`;
  const filled = (circuit: string): string =>
    `{ state: in-use, circuits: { ${circuit}: { state: winterized, method: antifreeze } } }`;
  expect(mistakesOf(withWater(filled('softener'), own('softener'))).join()).toContain(
    'never goes through a water softener',
  );
  expect(() => parse(withWater(filled('cold'), own('cold')))).not.toThrow();
});
