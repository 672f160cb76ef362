/** What is needed and done for winterizing, by what is at hand. */
import { describe, expect, it } from 'vitest';
import { moneyWords, priceText } from '../../src/message/money-words.ts';
import type { MoneyFacts, RouteFacts } from '../../src/message/message.ts';
import { gallonsText } from '../../src/message/steps-route.ts';
import { stepsFor } from '../../src/message/steps.ts';
import type { Job } from '../../src/message/procedure.ts';
import { renderMessage } from '../../src/message/render.ts';
import { WINTERIZE, facts, notice, reader } from './facts.ts';

const READER = { temperature: 'F', words: { faucet: 'faucet', trailer: 'trailer', gas: 'propane' } } as const;

const ROUTE: RouteFacts = {
  heater: 'bypass',
  pump: 'kit',
  heaterGallons: 6,
  antifreezeGallons: 2,
  airGallons: 1,
  compressor: null,
};

function told(job: Job, over: Partial<RouteFacts>): string {
  const advice = { ...WINTERIZE, method: job === 'air' ? ('air' as const) : ('antifreeze' as const) };
  const { time, needs, steps } = stepsFor(job, facts({ advice, route: { ...ROUTE, ...over } }), READER);
  return [time, ...needs, ...steps].join('\n');
}

describe('what is at hand', () => {
  const bare = { ...ROUTE, heater: 'jumper', pump: 'hand' } as const;
  const textOf = (kind: 'act' | 'heads-up', route: RouteFacts): string => {
    const of = facts({
      advice: WINTERIZE,
      route,
      money: { currency: 'USD', doing: 60, leaving: 900, flood: 0, parts: [] },
    });
    return renderMessage(notice(kind, { action: 'winterize' }), of, reader()).text.replaceAll(/\s+/g, ' ');
  };

  it('is named where it is not what is advised, with its minutes and its price', () => {
    const other = { method: 'air', minutes: 117, cost: 27 } as const;
    expect(textOf('act', { ...bare, compressor: true, other })).toMatch(
      /What else: .*Winterizing with air, by the compressor at hand, takes 1 h 57 min and costs about 27 USD; a low spot that stays full is its risk\./,
    );
    const fluid = { method: 'antifreeze', minutes: 70, cost: 40 } as const;
    expect(textOf('act', { ...bare, compressor: true, other: fluid })).toContain(
      'Winterizing with antifreeze takes 1 h 10 min and costs about 40 USD.',
    );
    expect(textOf('act', bare)).not.toContain('Winterizing with');
  });

  it('is what a heads-up asks for, and nothing that is not there', () => {
    const without = textOf('heads-up', { ...bare, compressor: false });
    expect(without).toContain('a jumper');
    expect(without).toContain('a hand pump');
    expect(without).not.toMatch(/pump kit|bypass|compressor/);
    const withAir = textOf('heads-up', { ...bare, compressor: true });
    expect(withAir).toMatch(/Or, with air: a compressor with a regulator and a plug for the city inlet/);
    expect(textOf('heads-up', ROUTE)).toMatch(
      /heater bypass, the suction hose or pump kit\. Or, if there is a/,
    );
  });
});

describe('winterizing what is drained in part', () => {
  const stepsOf = (drained: readonly string[]): string =>
    stepsFor('antifreeze', facts({ advice: WINTERIZE, drained }), READER).steps.join('\n');

  it('asks only for what is not done', () => {
    const heater = stepsOf(['heater']);
    expect(heater).toContain('both stay off, since it is empty');
    expect(heater).toContain('low-point drain');
    expect(heater).not.toContain('pull the heater');
    const lines = stepsOf(['cold', 'hot', 'tank-fresh']);
    expect(lines).toContain('Let it cool by itself');
    expect(lines).toContain('pull the heater');
    expect(lines).toContain('Dump the black tank');
    expect(lines).not.toMatch(/low-point drain|drain of the fresh tank|Run hot water/);
    expect(stepsOf([])).toContain('Run hot water');
    expect(stepsOf(['flush'])).toContain('Run hot water');
  });
});

describe('winterizing with antifreeze', () => {
  it('with everything at hand says how much goes into this unit, in gallons and litres', () => {
    const text = told('antifreeze', {});
    expect(text).toContain('about 2 gal (7.5 L) for this unit, with the heater bypassed');
    expect(text).toContain('Turn the heater bypass all the way over.');
    expect(text).toContain('About 1 h 30 min for this unit');
    expect(text).not.toContain('jumper');
  });

  it('without a bypass joins the lines at the heater', () => {
    const text = told('antifreeze', { heater: 'jumper' });
    expect(text).toContain('join the two with the jumper');
    expect(text).toContain('with its pressure off and its tank empty');
    expect(text).not.toContain('Turn the heater bypass');
  });

  it('or fills the heater, and says what that takes', () => {
    const text = told('antifreeze', { heater: 'fill', antifreezeGallons: 8 });
    expect(text).toContain('about 8 gal (30.5 L) for this unit, 6 gal (22.5 L) of it to fill the heater');
    expect(text).toContain('Its element stays off until it is full of water again.');
    expect(text).not.toContain('half way');
  });

  it('without a pump kit pushes it in at the city inlet', () => {
    const text = told('antifreeze', { pump: 'hand' });
    expect(text).toContain('a hand pump with a hose that fits the city inlet');
    expect(text).toContain('There is no pump kit: push the fluid in at the city inlet');
    expect(text).not.toContain('suction hose');
  });

  it('while nobody has said what there is, says what each lack costs', () => {
    const text = told('antifreeze', { heater: 'unknown', pump: 'unknown' });
    expect(text).toContain('20 more without a kit, 20 more without a heater bypass');
    expect(text).toContain('filling it costs its 6 gal (22.5 L) on top');
  });
});

describe('winterizing with air', () => {
  it('says that a compressor is to be borrowed where there is none', () => {
    expect(told('air', { compressor: false })).toContain('to borrow or rent');
    expect(told('air', { compressor: true })).not.toContain('borrow');
  });

  it('without a bypass blows through the empty heater', () => {
    expect(told('air', { heater: 'jumper' })).toContain('the air goes through its empty tank');
    expect(told('air', {})).toContain('Bypass the heater');
  });
});

describe('amounts', () => {
  it('are in both units', () => {
    expect([0.25, 2, 10].map(gallonsText)).toEqual(['0.25 gal (1 L)', '2 gal (7.5 L)', '10 gal (38 L)']);
  });

  it('of money are to two digits', () => {
    expect([0.4, 8.33, 38.3, 874.4, 1371, 12_345].map((sum) => priceText(sum, 'USD'))).toEqual([
      'under 1 USD',
      'about 8 USD',
      'about 38 USD',
      'about 870 USD',
      'about 1,400 USD',
      'about 12,000 USD',
    ]);
  });
});

describe('the line of money', () => {
  const money: MoneyFacts = {
    currency: 'USD',
    doing: 62.75,
    leaving: 874.4,
    flood: 0,
    parts: [
      { label: 'pump head', chance: 1, repair: 330 },
      { label: 'kitchen faucet cartridge', chance: 1, repair: 230 },
      { label: 'city inlet', chance: 1, repair: 110 },
    ],
  };

  it('sets the work against what leaving it costs', () => {
    expect(moneyWords(money)).toBe(
      'The work costs about 63 USD in time and material; left as it is, expect about 870 USD of damage on average, first of all pump head and kitchen faucet cartridge.',
    );
  });

  it('names the floor where that is most of it', () => {
    expect(moneyWords({ ...money, leaving: 4600, flood: 3700 })).toContain('a flooded floor');
  });

  it('is left out where there is nothing to do and nothing to lose', () => {
    expect(moneyWords({ ...money, doing: null, leaving: 0 })).toBe('');
    expect(moneyWords({ ...money, doing: null, leaving: 15, parts: [] })).toBe(
      'Left as it is, expect about 15 USD of damage on average.',
    );
    expect(moneyWords({ ...money, leaving: 0 })).toBe(
      'The work costs about 63 USD in time and material; there is hardly anything to lose by leaving it.',
    );
  });
});
