import { describe, expect, it } from 'vitest';
import { MESSAGE_KINDS } from '../../src/decision/memory.ts';
import type { MessageKind } from '../../src/decision/memory.ts';
import type { MessageText, UnitFacts } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { at, DRAIN, facts, KEEP_WARM, notice, reader, WINTERIZE } from './facts.ts';

const CALM: Partial<UnitFacts> = {
  lowestOutside: { temperatureC: 3, at: at('2026-11-28T13:00:00Z') },
  spells: [],
  firstPart: null,
  firstDamageAt: null,
};

const BLIND: Partial<UnitFacts> = {
  ...CALM,
  advice: null,
  chances: null,
  lowestOutside: null,
  problem: 'The weather service answered with status 503.',
};

/** One line of text: wrapping must not decide whether a phrase is found. */
function flat(message: MessageText): string {
  return message.text.replace(/\s+/g, ' ');
}

function render(kind: MessageKind, change: Partial<UnitFacts> = {}): MessageText {
  return renderMessage(notice(kind), facts(change), reader());
}

describe('act', () => {
  it('says action, unit, start-by in the reader’s zone and the work in its first line', () => {
    const message = render('act');
    expect(message.text.split('\n')[0]).toBe(
      'Drain Blue trailer. Start by Thu 26 Nov, 15:10 (MST), work 45 min.',
    );
    expect(message.subject).toBe('Drain Blue trailer, start by Thu 26 Nov, 15:10 MST');
  });

  it('says why, how, with which cautions, and how to answer', () => {
    const text = flat(render('act'));
    expect(text).toContain('Left as it is the outside shower valve freezes first, about Fri 02:20');
    expect(text).toContain('low-point drain');
    expect(text).toContain('let it cool');
    expect(text).toContain('drainby mark -c FILE blue drained');
  });

  it('shows the place’s time too where its clocks differ from the reader’s', () => {
    const text = renderMessage(notice('act'), facts(), reader({ timeZone: 'America/New_York' })).text;
    expect(text).toContain('Start by Thu 26 Nov, 17:10 (EST)');
    expect(text).toMatch(/at the place: Thu 26 Nov, 15:10 MST/);
    expect(render('act').text).not.toMatch(/at the place:/);
  });

  it('gives the dusk list for keeping warm, and how long it holds out', () => {
    const text = flat(
      renderMessage(notice('act', { action: 'keep-warm' }), facts({ advice: KEEP_WARM }), reader()),
    );
    expect(text).toMatch(/^Hose off and heat on for Blue trailer\. Start by/);
    expect(text).toContain('drain and coil it');
    expect(text).toContain('turn electric heaters down');
    expect(text).toContain('holds out about 4 h');
    expect(text).toContain('No portable heater in a unit that nobody is in');
    expect(text).toContain('blue kept-warm');
  });

  it('leaves the hose out where there is none', () => {
    const text = flat(
      renderMessage(
        notice('act', { action: 'keep-warm' }),
        facts({ advice: KEEP_WARM, hasHose: false, measures: ['furnace-on', 'taps-known'] }),
        reader(),
      ),
    );
    expect(text).toMatch(/^Heat on for Blue trailer/);
    expect(text).not.toContain('coil');
  });

  it('winterizes by antifreeze with the fluid’s cautions', () => {
    const text = flat(
      renderMessage(notice('act', { action: 'winterize' }), facts({ advice: WINTERIZE }), reader()),
    );
    expect(text).toMatch(/^Winterize Blue trailer \(antifreeze\)\. Start by .*work 1 h 30 min\./);
    expect(text).toContain('about 2 gal (7.5 L) with the heater bypassed');
    expect(text).toContain('never automotive');
    expect(text).toContain('the bypass stands half way: stop');
    expect(text).toContain('winterized --method antifreeze');
    expect(text).not.toContain('psi');
  });

  it('winterizes by air under 30 psi set and 40 never exceeded', () => {
    const advice = { ...WINTERIZE, method: 'air' } as const;
    const text = flat(renderMessage(notice('act', { action: 'winterize' }), facts({ advice }), reader()));
    expect(text).toContain('30 psi (2.1 bar); 40 psi (2.8 bar) is never exceeded');
    expect(text).toContain('winterized --method air --traps');
  });

  it('warns of a unit that may already have frozen before anything else is done', () => {
    const text = flat(render('act', { suspect: true }));
    expect(text.indexOf('It may already have frozen')).toBeLessThan(text.indexOf('Steps:'));
    expect(text).toContain('blue checked');
  });
});

describe('the other kinds', () => {
  it('last-call says that the time is nearly up', () => {
    const text = flat(render('last-call'));
    expect(text).toMatch(/^Last call: drain Blue trailer\. Start by Thu 26 Nov, 15:10 \(MST\)/);
    expect(text).toContain('nearly up');
  });

  it('worse says what changed against what was told', () => {
    const previous = { action: 'drain', startBy: at('2026-11-27T22:00:00Z') } as const;
    const text = flat(
      renderMessage(
        notice('worse', { action: 'winterize', previous }),
        facts({ advice: WINTERIZE }),
        reader(),
      ),
    );
    expect(text).toMatch(/^It got worse: winterize Blue trailer \(antifreeze\)\./);
    expect(text).toContain('Before: drain, start by Fri 27 Nov, 15:00 MST.');
    expect(text).toContain('Now: winterize (antifreeze), start by Thu 26 Nov, 15:10 MST.');
  });

  it('late says what is still worth doing, the quickest first, then the whole job', () => {
    const text = flat(render('late', { advice: { ...DRAIN, late: true } }));
    expect(text).toMatch(
      /^Late: drain Blue trailer now\. The time to start by, Thu 26 Nov, 15:10 \(MST\), has passed/,
    );
    const order = [
      'Supply off',
      'Open every faucet',
      'low-point drains first',
      'vented furnace',
      'Go on with the whole job',
    ];
    const found = order.map((phrase) => text.indexOf(phrase));
    expect(found).not.toContain(-1);
    expect(found).toEqual([...found].toSorted((a, b) => a - b));
  });

  it('late puts the heat first where heat is the advice, and does not offer heat where there is none', () => {
    const warm = flat(
      renderMessage(notice('late', { action: 'keep-warm' }), facts({ advice: KEEP_WARM }), reader()),
    );
    expect(warm.indexOf('Set the furnace')).toBeLessThan(warm.indexOf('low-point drains first'));
    expect(flat(render('late', { hasHeat: false }))).not.toContain(
      'vented furnace on its thermostat, cupboard',
    );
  });

  it('frozen says not to pressurise, to warm without flame, where to look, and who lifts the suspicion', () => {
    const message = renderMessage(notice('frozen', { startBy: null }), facts({ suspect: true }), reader());
    const text = flat(message);
    expect(message.subject).toBe('Blue trailer may have frozen: do not pressurise it');
    expect(text).toMatch(
      /^Blue trailer may have frozen: do not pressurise it\. Supply off, pump off, heater element off/,
    );
    expect(text).toContain('No flame');
    expect(text).toContain('outside shower valve first, then');
    expect(text).toContain('drainby mark -c FILE blue checked');
    expect(text).not.toContain('Start by');
  });

  it('no-forecast repeats the last known low, says to act on it, and why there is none', () => {
    const lastKnown = {
      asOf: at('2026-11-24T12:00:00Z'),
      lowestOutsideC: -7,
      lowestAt: at('2026-11-27T13:00:00Z'),
    };
    const message = render('no-forecast', { ...BLIND, lastKnown });
    const text = flat(message);
    expect(message.subject).toBe('No forecast for Blue trailer: unknown is not safe');
    expect(text).toContain('The last known low is 19 °F, on Fri 27 Nov, 06:00 (MST): act on it.');
    expect(text).toContain('The weather service answered with status 503.');
    expect(text).toContain('The advice in force stays: drain.');
  });

  it('no-forecast without a last known low says that too, and never that nothing is to be done', () => {
    const text = flat(
      renderMessage(notice('no-forecast', { action: 'nothing', startBy: null }), facts(BLIND), reader()),
    );
    expect(text).toContain('No earlier low is known either: take it that it will freeze.');
    expect(text).toContain('or you cannot find out: drain it');
    expect(text).not.toMatch(/nothing to do/i);
  });

  it('a mild last low is not taken for safety', () => {
    const lastKnown = {
      asOf: at('2026-11-24T12:00:00Z'),
      lowestOutsideC: 6,
      lowestAt: at('2026-11-25T13:00:00Z'),
    };
    const text = flat(render('no-forecast', { ...BLIND, lastKnown }));
    expect(text).toContain('that is old, so look at another forecast now');
    expect(text).toContain('That hour has passed');
  });

  it('all-clear says in which state the unit is, and not to fill it without need', () => {
    const calm = { ...DRAIN, action: 'nothing', startBy: null, reasonCode: 'no-freeze' } as const;
    const told = notice('all-clear', { action: 'nothing', startBy: null });
    const dry = flat(renderMessage(told, facts({ ...CALM, advice: calm, waterState: 'drained' }), reader()));
    expect(dry).toMatch(/^All clear for Blue trailer: this cold is over\. It stands as: drained\./);
    expect(dry).toContain('Leave it so unless you want to use its water');
    const wet = flat(renderMessage(told, facts({ ...CALM, advice: calm }), reader()));
    expect(wet).toContain('The hose may go back on.');
    const suspect = flat(renderMessage(told, facts({ ...CALM, advice: calm, suspect: true }), reader()));
    expect(suspect).toContain('It may have frozen all the same: have it checked first.');
  });

  it('heads-up gives the work that is to come, and asks for nothing yet', () => {
    const startBy = at('2026-11-27T19:49:00Z');
    const advice = { ...WINTERIZE, method: 'antifreeze', startBy, workMinutes: 90 } as const;
    const message = renderMessage(
      notice('heads-up', { action: 'nothing', startBy: null }),
      facts({ firstDamageAt: at('2026-11-28T10:00:00Z'), advice }),
      reader(),
    );
    expect(flat(message)).toMatch(
      /likely about Sat 28 Nov\. Nothing to do yet\. By this forecast the work will be: winterize Blue trailer \(antifreeze\), start by Fri 27 Nov, 12:49 \(MST\)\. You are asked for it 24 h before that, if it still holds\./,
    );
    expect(flat(message)).toContain(
      'Nothing yet. By this forecast, start by Fri 27 Nov, 12:49 (MST), work 1 h 30 min.',
    );
    expect(flat(message)).toContain('Whoever needs more than 24 h to be ready begins now.');
    expect(message.text).not.toContain('drainby mark');
  });

  it('heads-up plans nothing by advice that is held, or whose time is near or past', () => {
    const told = notice('heads-up', { action: 'nothing', startBy: null });
    const [near, far] = [at('2026-11-25T20:00:00Z'), at('2026-11-28T20:00:00Z')];
    for (const over of [{ startBy: near }, { startBy: far, reasonCode: 'held' }] as const) {
      const { text, short } = renderMessage(told, facts({ advice: { ...WINTERIZE, ...over } }), reader());
      expect(text.replaceAll(/\s+/g, ' ')).not.toMatch(/, start by |beyond the|No advice yet/);
      expect(short).toContain('No work yet.');
    }
    const { short, line } = renderMessage(told, facts({ advice: { ...WINTERIZE, startBy: far } }), reader());
    expect(short).toContain('No work yet; then winterize (antifreeze), start by Sat 28 Nov 13:00 MST.');
    expect(line.what).toBe(
      'heads-up: cold likely, no work yet; then winterize (antifreeze), start by Sat 28 Nov 13:00 MST',
    );
  });

  it('heads-up of what lies beyond the window gives the day and no advice', () => {
    const message = renderMessage(
      notice('heads-up', { action: 'nothing', startBy: null }),
      facts({ firstDamageAt: at('2026-12-03T10:00:00Z'), advice: null }),
      reader(),
    );
    expect(flat(message)).toMatch(
      /^Heads-up for Blue trailer: damaging cold is likely about Thu 3 Dec\. No advice yet/,
    );
    expect(message.text).not.toContain('drainby mark');
  });

  it('fill-again gives the steps, heater last', () => {
    const text = flat(
      renderMessage(notice('fill-again', { action: 'nothing', startBy: null }), facts(CALM), reader()),
    );
    expect(text).toMatch(/^Blue trailer may be filled again\./);
    expect(text).toContain('Heater on only after water runs steadily at the hot faucet.');
    expect(text).toContain('blue in-use');
  });

  // docs/model.md: a drained part comes to harm in air of -4 °C or below for six hours (common practice, no source).
  it('fill-again does not call a drained unit safe from every frost', () => {
    const told = notice('fill-again', { action: 'nothing', startBy: null });
    const bears = { ...CALM, drainedBears: { atC: -4, hours: 6 } };
    const text = flat(renderMessage(told, facts(bears), reader()));
    expect(text).toContain('bears light frost, but not 25 °F or below for six hours on end');
    expect(text).not.toMatch(/any frost|any cold|nothing is lost/i);
    expect(flat(renderMessage(told, facts(CALM), reader()))).toContain('but not hard cold');
  });
});

describe.each(MESSAGE_KINDS)('every message, here %s', (kind) => {
  const message = render(kind, { lastKnown: null });

  it('states every assumption and attribution in text and HTML', () => {
    const html = message.html.replace(/\s+/g, ' ');
    for (const line of [...facts().assumptions, ...facts().attributions]) {
      expect(flat(message)).toContain(line);
      expect(html).toContain(line);
    }
  });

  it('defers to manual, codes and licensed practice', () => {
    expect(flat(message)).toContain('Your unit’s manual, local codes and licensed practice come first');
  });

  it('keeps its lines short, without trailing blanks', () => {
    for (const line of message.text.split('\n')) {
      expect(line.length).toBeLessThanOrEqual(78);
      expect(line).toBe(line.trimEnd());
    }
  });

  it('never prints a chance of 0 % or 100 %, nor something undefined', () => {
    expect(message.text).not.toMatch(/\b(0|100) %/);
    expect(message.text + message.html).not.toMatch(/undefined|NaN|\bnull\b|\[object/);
  });

  it('is the same for the same input', () => {
    expect(render(kind, { lastKnown: null })).toEqual(message);
  });

  it('never offers heat other than a vented furnace on its thermostat', () => {
    expect(message.text).not.toMatch(
      /hair ?dryer|heat gun|space heater|switch on (the|an|a) (element|heater|stove)/i,
    );
  });
});

describe('the reader', () => {
  it('reads °C and degree-hours in °C', () => {
    const text = renderMessage(notice('act'), facts(), reader({ temperature: 'C' })).text;
    expect(text).toContain('−11 °C');
    expect(text).toContain('23 °C·h');
    expect(text).not.toContain('°F');
  });

  it('reads tap, caravan and gas where these are the words', () => {
    const words = { faucet: 'tap', trailer: 'caravan', gas: 'gas' } as const;
    for (const kind of MESSAGE_KINDS) {
      const { text } = renderMessage(
        notice(kind),
        facts({ unit: { id: 'x', label: 'X', attended: true } }),
        reader({ words }),
      );
      expect(text).not.toMatch(/faucet|trailer|propane\b(?! glycol)/);
    }
  });

  it('reads times on either side of the autumn change in the right zone', () => {
    const change = { asOf: at('2026-10-30T12:00:00Z') };
    const before = renderMessage(
      notice('act', { startBy: at('2026-11-01T07:30:00Z') }),
      facts(change),
      reader(),
    );
    const after = renderMessage(
      notice('act', { startBy: at('2026-11-01T08:30:00Z') }),
      facts(change),
      reader(),
    );
    expect(flat(before)).toContain('Start by Sun 1 Nov, 01:30 (MDT)');
    expect(flat(after)).toContain('Start by Sun 1 Nov, 01:30 (MST)');
  });

  it('is told to start as soon as possible where there is no start-by time', () => {
    const message = renderMessage(notice('act', { startBy: null }), facts(), reader());
    expect(message.subject).toBe('Drain Blue trailer, as soon as you can');
  });

  it('is not given the work of another action', () => {
    const text = renderMessage(
      notice('act', { action: 'winterize' }),
      facts({ advice: DRAIN }),
      reader(),
    ).text;
    expect(text).not.toContain('work 45 min');
  });
});
