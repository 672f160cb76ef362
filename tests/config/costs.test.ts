/** Money, kit and a unit's own policy in the config. */
import { describe, expect, it } from 'vitest';
import { DEFAULT_POLICY } from '../../src/decision/policy.ts';
import { SMALL, mistakesOf, parse } from './sample.ts';

const KIND = '    kind: travel-trailer';

function unitWith(text: string) {
  return SMALL.replace(KIND, `${KIND}\n${text}`);
}

describe('prices and tolerances', () => {
  it('are the usual ones when nothing is said', () => {
    const { policy, units } = parse(SMALL);
    expect(policy).toMatchObject({
      tolerance: DEFAULT_POLICY.tolerance,
      toleranceFrom: 'stated',
      caution: 1,
      costs: { currency: 'USD', ownHour: 25, serviceHour: 130, shopHour: 150, flood: 4000 },
    });
    expect(units[0]?.policy).toEqual(policy);
  });

  it('may come from costs, for all or for one unit', () => {
    const all = parse(`${SMALL}policy: { tolerance: from-costs, caution: 2 }\n`);
    expect(all.units[0]?.policy).toMatchObject({ toleranceFrom: 'costs', caution: 2 });
    const one = parse(unitWith('    policy: { tolerance: from-costs, caution: 3 }'));
    expect(one.policy).toMatchObject({ toleranceFrom: 'stated', caution: 1 });
    expect(one.units[0]?.policy).toMatchObject({ toleranceFrom: 'costs', caution: 3 });
  });

  it('of a unit take the place of those it names, and of `from-costs`', () => {
    const text = `${unitWith('    policy: { tolerance: { drain: 0.1 } }')}policy: { tolerance: { nothing: 0.02 } }\n`;
    expect(parse(text).units[0]?.policy.tolerance).toMatchObject({ nothing: 0.02, drain: 0.1 });
    const over = `${unitWith('    policy: { tolerance: { drain: 0.1 } }')}policy: { tolerance: from-costs }\n`;
    expect(parse(over).units[0]?.policy).toMatchObject({
      toleranceFrom: 'stated',
      tolerance: { nothing: 0.05, drain: 0.1 },
    });
  });

  it('take other prices, and a currency of one’s own', () => {
    const text = `${SMALL}policy: { costs: { currency: "€", ownHour: 0, repairs: { pump: 250 } } }\n`;
    expect(parse(text).policy.costs).toMatchObject({ currency: '€', ownHour: 0, repairs: { pump: 250 } });
  });
});

describe('minutes and kit', () => {
  it('come from the parts where the file says nothing, and cold slows only those', () => {
    expect(parse(SMALL).units[0]?.work).toEqual({
      keepWarmMinutes: 10,
      drainMinutes: 72,
      winterizeMinutes: 117,
      airMinutes: 117,
      travelMinutes: 0,
      hands: 'owner',
      slowedByCold: ['keep-warm', 'drain-part', 'drain', 'winterize'],
    });
    const stated = parse(unitWith('    work: { drain: 45 min, winterize: 90 min, travel: 40 min }'));
    expect(stated.units[0]?.work).toEqual({
      keepWarmMinutes: 10,
      drainMinutes: 45,
      winterizeMinutes: 90,
      travelMinutes: 40,
      hands: 'owner',
      slowedByCold: ['keep-warm'],
    });
  });

  it('count the filling of the tank that gives the water once the hose is off', () => {
    const warm = (lines: string): number | undefined => parse(unitWith(lines)).units[0]?.work.keepWarmMinutes;
    // The list for dusk 10, the hose 10, the tank 15: common practice, no source.
    expect(warm('    hose: connected')).toBe(35);
    expect(warm('    hose: connected\n    work: { fill: 25 min }')).toBe(45);
    expect(warm('    hose: none')).toBe(10);
    expect(warm('    hose: connected\n    parts: { without: [fresh-tank, tank-outlet, petcock] }')).toBe(20);
    expect(warm('    hose: connected\n    work: { keepWarm: 20 min }')).toBe(20);
  });

  it('follow who does it and what is at hand', () => {
    const text = unitWith('    work: { by: crew }\n    kit: { bypass: false, pumpKit: false }');
    const [unit] = parse(text).units;
    expect(unit?.kit).toEqual({ bypass: false, pumpKit: false, compressor: null });
    expect(unit?.route).toMatchObject({ heater: 'fill', pump: 'hand', antifreezeGallons: 8 });
    expect(unit?.work).toMatchObject({ hands: 'crew', winterizeMinutes: 97 });
  });
});

describe('a config file is refused for', () => {
  it.each([
    [
      'a tolerance that is a word of no meaning',
      `${SMALL}policy: { tolerance: cheap }\n`,
      '18:22 policy.tolerance: must be "from-costs" or a map of chances by action, found "cheap"',
    ],
    [
      'a tolerance above 1',
      `${SMALL}policy: { tolerance: { drain: 2 } }\n`,
      '18:31 policy.tolerance.drain: must be a number from 0 to 1, found 2',
    ],
    [
      'a caution below 1',
      `${SMALL}policy: { caution: 0.5 }\n`,
      '18:20 policy.caution: must be a number from 1 to 20, found 0.5',
    ],
    [
      'a price below 0',
      `${SMALL}policy: { costs: { shopHour: -1 } }\n`,
      '18:30 policy.costs.shopHour: must be a number from 0 to 1000000, found -1',
    ],
    [
      'a currency of many words',
      `${SMALL}policy: { costs: { currency: US dollars } }\n`,
      '18:30 policy.costs.currency: must be a currency of 1 to 8 letters or signs such as "USD" or "€", found "US dollars"',
    ],
    [
      'a repair that there is not',
      `${SMALL}policy: { costs: { repairs: { pumps: 1 } } }\n`,
      '18:31 policy.costs.repairs.pumps: unknown key; did you mean "pump"?',
    ],
    [
      'a kit that is a word',
      unitWith('    kit: { bypass: perhaps }'),
      '9:20 units[0].kit.bypass: expected true or false, found "perhaps"',
    ],
    [
      'hands that nobody has',
      unitWith('    work: { by: robot }'),
      '9:17 units[0].work.by: must be owner or crew, found "robot"',
    ],
  ])('%s', (_, text, found) => {
    expect(mistakesOf(text)).toEqual([`my.yaml:${found}`]);
  });
});
