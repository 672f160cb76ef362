import { describe, expect, it } from 'vitest';
import type { ReasonCode } from '../../src/decision/advice.ts';
import { chanceText } from '../../src/message/chance.ts';
import { reasonText } from '../../src/message/reason.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, CHANCES, DRAIN, facts, notice, reader, WINTERIZE } from './facts.ts';

const DISPLAY = { temperature: 'F', timeZone: 'America/Denver' } as const;

function reason(code: ReasonCode, change: Parameters<typeof facts>[0] = {}): string {
  const advice = { ...DRAIN, reasonCode: code };
  return reasonText(advice, facts({ advice, ...change }), DISPLAY);
}

describe('chances in words', () => {
  const fiftyOne = 1 / 51;

  it('says under or over where the members cannot tell, never 0 % or 100 %', () => {
    expect(chanceText(0, fiftyOne)).toBe('under 2 %');
    expect(chanceText(1, fiftyOne)).toBe('over 98 %');
    expect(chanceText(0, 0)).toBe('under 1 %');
    expect(chanceText(1, 0)).toBe('over 99 %');
    expect(chanceText(0.004, 0.001)).toBe('under 1 %');
  });

  it('gives the per cent as soon as one member says so', () => {
    expect(chanceText(fiftyOne, fiftyOne)).toBe('2 %');
    expect(chanceText(50 / 51, fiftyOne)).toBe('98 %');
    expect(chanceText(0.615, fiftyOne)).toBe('62 %');
  });

  it('does not make a per cent of a single forecast', () => {
    expect(chanceText(1, 1)).toBe('damage in this forecast');
    expect(chanceText(0, 1)).toBe('none in this forecast');
  });
});

describe('the rest of a cold in which the window ends', () => {
  const throughCold = { until: at('2026-12-01T18:00:00Z'), chances: { 'keep-warm': 0.14, drain: 0.3 } };
  const advice = { ...WINTERIZE, throughCold };
  const tolerance = { nothing: 0.05, 'keep-warm': 0.05, drain: 0.25, winterize: 0.25 };
  const SAID =
    'Through this cold, until Tue 1 Dec, 11:00 MST, keeping it warm leaves 14 %, more than the 5 % accepted; draining 30 %, more than the 25 % accepted.';

  it('is why less does not do, in the reason and in the message', () => {
    const told = facts({ advice, chances: { ...CHANCES, tolerance } });
    expect(reasonText(advice, told, DISPLAY)).toContain(SAID);
    const mail = renderMessage(notice('act', { action: 'winterize' }), told, reader());
    expect(mail.text.replaceAll(/\s+/g, ' ')).toContain(SAID);
    expect(reasonText(WINTERIZE, told, DISPLAY)).not.toContain('Through this cold');
  });

  it('of a single forecast is no per cent', () => {
    const told = facts({ advice, chances: { ...CHANCES, tolerance, resolution: 1 } });
    expect(reasonText(advice, told, DISPLAY)).toContain(
      'Through this cold, until Tue 1 Dec, 11:00 MST, keeping it warm does not prevent damage; draining does not prevent damage.',
    );
  });
});

describe('the reason', () => {
  it('says what the cold does to this unit and what each action leaves', () => {
    expect(reason('cold-ahead')).toBe(
      'Outside it goes down to 13 °F on Fri 06:00 (41 °F·h below freezing); left as it is the outside shower ' +
        'valve freezes first, about Fri 02:20. Over 98 % chance of damage within 72 h; draining leaves 62 %, ' +
        'winterizing under 2 %.',
    );
  });

  it('counts in °C and in the zone of the display', () => {
    const text = reasonText(DRAIN, facts(), { temperature: 'C', timeZone: 'Europe/Berlin' });
    expect(text).toContain('goes down to −11 °C on Fri 14:00 (23 °C·h below freezing)');
    expect(text).not.toContain('°F');
  });

  it('adds up several cold spells', () => {
    const spell = facts().spells[0]!;
    expect(reason('cold-ahead', { spells: [spell, spell, spell] })).toContain(
      '(124 °F·h below freezing in 3 cold spells)',
    );
  });

  it('says that a chance is accepted, and how much is', () => {
    const chances = { ...CHANCES, perAction: { nothing: 0.03 }, tolerance: { nothing: 0.05 } };
    expect(reason('within-tolerance', { chances })).toMatch(
      /3 % chance of damage within 72 h as it stands, within the 5 % that is accepted\.$/,
    );
  });

  it('says that it stays above freezing, and still gives no chance of none', () => {
    const text = reason('no-freeze', {
      lowestOutside: { temperatureC: 2, at: at('2026-11-27T13:00:00Z') },
      spells: [],
      firstPart: null,
      firstDamageAt: null,
      chances: { ...CHANCES, perAction: { nothing: 0 } },
    });
    expect(text).toBe(
      'Outside it stays at 36 °F or above. Under 2 % chance of damage within 72 h as it stands.',
    );
  });

  it.each([
    [
      'nothing-suffices',
      /Nothing that can still be done .*; draining costs least with the damage that is still to be expected then\.$/,
    ],
    ['frozen-path', /cannot be drained, blown out or pumped until that has thawed\.$/],
    ['held', /the advice stands until another forecast confirms it\.$/],
  ] as const)('explains the rule %s', (code, expected) => {
    expect(reason(code)).toMatch(expected);
  });

  it('says what the least costly work leaves at stake, and that no work is worth it only where none is', () => {
    const money = { currency: 'USD', doing: 30, leaving: 1551, flood: 0, parts: [] };
    const left = (expected: number, parts: readonly string[]) =>
      reason('nothing-suffices', { money: { ...money, after: { expected, parts } } });
    expect(left(46.28, ['shower trap', 'city\u2028inlet'])).toMatch(
      / About 46 USD of damage stays at stake, among it shower trap and city inlet; left as it is, about 1,600 USD\.$/,
    );
    expect(left(0.5, [])).toMatch(/ Little damage stays at stake; left as it is, about 1,600 USD\.$/);
    const nothing = { ...DRAIN, action: 'nothing', reasonCode: 'nothing-suffices' } as const;
    const text = reasonText(
      nothing,
      facts({ money: { ...money, after: { expected: 9, parts: [] } } }),
      DISPLAY,
    );
    expect(text).toMatch(/brings this within what is accepted, and no work saves more than it costs\.$/);
  });

  it('names what ice closes beside what is to be done', () => {
    const advice = { ...DRAIN, circuits: ['hot', 'trap-bath'], closed: ['flush', 'tank-fresh'] };
    expect(reasonText(advice, facts({}), DISPLAY)).toMatch(
      /Only this is to be done: the traps \(bathroom\) and the hot lines\. Ice closes this, so leave it as it is until it has thawed: the black-tank flush line and the fresh tank\.$/,
    );
  });

  it('speaks of a single forecast as one', () => {
    const chances = { ...CHANCES, perAction: { nothing: 1, drain: 1, winterize: 0 }, resolution: 1 };
    expect(reason('cold-ahead', { chances })).toMatch(
      /By this single forecast there is damage within 72 h; draining does not prevent it, winterizing prevents it\.$/,
    );
  });

  it('warns first of all where it may already have frozen', () => {
    expect(reason('cold-ahead', { suspect: true })).toMatch(/^By the cold so far it may already have frozen/);
    expect(reason('cold-ahead', { alreadyDamaged: true })).toContain('do not pressurise');
  });

  it('does not invent what is unknown', () => {
    const text = reason('cold-ahead', {
      lowestOutside: null,
      chances: null,
      firstPart: null,
      firstDamageAt: null,
    });
    expect(text).toBe('The lowest temperature ahead is not known.');
  });
});
