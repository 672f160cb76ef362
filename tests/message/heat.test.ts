/** What is said of heat: how long it lasts, why it is refused, what it takes; and of fluids. */
import { describe, expect, it } from 'vitest';
import type { UnitFacts } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { reasonText } from '../../src/message/reason.ts';
import { stepsFor } from '../../src/message/steps.ts';
import { DRAIN, KEEP_WARM, MEASURES_OF_ALL, WINTERIZE, at, facts, notice, reader } from './facts.ts';

function warm(change: Partial<UnitFacts> = {}): string {
  const message = renderMessage(
    notice('act', { action: 'keep-warm' }),
    facts({ advice: KEEP_WARM, ...change }),
    reader(),
  );
  return message.text.replace(/\s+/g, ' ');
}

function winterized(change: Partial<UnitFacts>, temperature: 'C' | 'F' = 'F'): string {
  const told = notice('act', { action: 'winterize' });
  return renderMessage(told, facts({ advice: WINTERIZE, ...change }), reader({ temperature })).text.replace(
    /\s+/g,
    ' ',
  );
}

describe('heat that runs out', () => {
  it('has its hour in the first line and among the figures', () => {
    const text = warm({
      heatLasts: { gasUntil: at('2026-11-27T20:00:00Z'), batteryUntil: null, gasShortFrom: null },
    });
    expect(text).toMatch(/^Hose off and heat on.*work 20 min\. Have the propane refilled before Fri 13:00\./);
    expect(text).toContain('Propane on board: lasts until Fri 13:00; have it refilled before');
    expect(text).not.toContain('Battery:');
  });

  it('of a battery is told apart', () => {
    const text = warm({
      heatLasts: { gasUntil: null, batteryUntil: at('2026-11-27T09:00:00Z'), gasShortFrom: null },
    });
    expect(text).toContain('Battery: runs the furnace until Fri 02:00; have it charged before');
    expect(text).not.toContain('on board:');
  });
});

describe('heat that stops', () => {
  it('leaves so long, and the part that goes first', () => {
    expect(warm()).toContain(
      'If the heat stops: holds out about 4 h at worst, then the pump strainer Place:',
    );
  });

  it('is one with the power where nothing else runs the furnace', () => {
    const text = warm({ powerCut: { hours: 4.4, part: 'pump strainer' } });
    expect(text).toContain('If heat or power stops: holds out about 4 h at worst, then the pump strainer');
    expect(text).not.toContain('If the power fails');
  });

  it('and a power cut that leaves longer are told apart', () => {
    const text = warm({ powerCut: { hours: 9.5, part: 'city inlet' } });
    expect(text).toContain('If the power fails: holds out about 9 h at worst, then the city inlet');
    expect(text).toContain('If the heat stops: holds out about 4 h');
  });
});

describe('keeping warm', () => {
  it('turns electric heaters down only where ducts below live off the furnace', () => {
    expect(warm()).toContain('turn electric heaters down');
    const measures = ['furnace-on', 'taps-known'] as const;
    expect(warm({ measures })).not.toMatch(/heaters down|cupboard doors/);
  });

  it('has the water heater on with its tank full where that was computed', () => {
    const dusk = { heaterOn: 'gas', showerValves: null } as const;
    expect(warm({ dusk, measures: [...MEASURES_OF_ALL, 'water-heater-on'] })).toContain(
      'Water heater on (propane), with its tank full',
    );
    expect(warm()).not.toContain('Water heater on');
  });

  it('is refused where the post does not bear it, and the reason says so', () => {
    const display = { temperature: 'F', timeZone: 'America/Denver' } as const;
    const refused = reasonText(DRAIN, facts({ overloadW: 1480 }), display);
    expect(refused).toContain('Keeping it warm is refused: it would draw 1.5 kW more than the post bears');
    expect(reasonText(DRAIN, facts(), display)).not.toContain('refused');
  });
});

describe('a cylinder too cold for its furnace', () => {
  it('is said beside how long its gas lasts', () => {
    const gasShortFrom = at('2026-11-28T04:52:00Z');
    const lasts = { gasUntil: null, batteryUntil: null, gasShortFrom };
    expect(warm({ heatLasts: lasts }).replaceAll(/\s+/g, ' ')).toMatch(
      /Propane in the cold:? from Fri 21:52 on the cold cylinder cannot feed the furnace fully/,
    );
    expect(warm()).not.toContain('in the cold');
  });
});

describe('a post that trips', () => {
  it('is the first thing a reader is told of the reason', () => {
    const display = { temperature: 'F', timeZone: 'America/Denver' } as const;
    const reason = reasonText(DRAIN, facts({ tripped: { askedW: 6000, borneW: 1440 } }), display);
    expect(reason).toMatch(
      /^The post cannot carry what is switched on: 6000 W asked, 1440 W borne. It is counted as tripped from now on. Switch loads off/,
    );
    expect(reasonText(DRAIN, facts(), display)).not.toContain('post cannot');
  });

  it('is the first thing to do in a mail, and is in the short form', () => {
    const told = notice('act', { action: 'drain' });
    const { text, short } = renderMessage(told, facts({ tripped: { askedW: 6000, borneW: 1440 } }), reader());
    expect(text.replaceAll(/\s+/g, ' ')).toMatch(
      /First:? Switch loads off until the post bears the rest \(6000 W asked, 1440 W borne\), see that the heat is back/,
    );
    expect(short).toMatch(/^Drain Blue trailer by .*\. Post overloaded: switch loads off first\. /);
    const without = renderMessage(told, facts(), reader());
    expect(without.text + without.short).not.toMatch(/Switch loads off|overloaded/);
  });
});

describe('a post that trips while there is no forecast', () => {
  it('is still the first thing to do', () => {
    const trip = { tripped: { askedW: 6000, borneW: 1440 }, advice: null };
    const { text, short } = renderMessage(
      notice('no-forecast', { action: 'nothing' }),
      facts(trip),
      reader(),
    );
    expect(text.replaceAll(/\s+/g, ' ')).toMatch(
      /First:? Switch loads off until the post bears the rest.* What to do:? /,
    );
    expect(short).toContain('Post overloaded: switch loads off first.');
    const without = renderMessage(
      notice('no-forecast', { action: 'nothing' }),
      facts({ advice: null }),
      reader(),
    );
    expect(without.text).not.toContain('Switch loads off');
  });
});

describe('antifreeze', () => {
  it('that meets water takes so many times its volume', () => {
    expect(winterized({ dilution: { fluidPercent: 28, litres: 2.91 } })).toContain(
      'For 13 °F and a few degrees to spare, water left behind takes at least 3 times its own volume of 28 % fluid.',
    );
  });

  it('that would take more than anybody pumps is called too weak', () => {
    expect(winterized({ dilution: { fluidPercent: 28, litres: 39 } })).toContain(
      'fluid of 28 % bears hardly any water left behind: take a stronger one.',
    );
  });

  it('too weak for the cold is not praised', () => {
    expect(winterized({ dilution: { fluidPercent: 28, litres: null } }, 'C')).toContain(
      'Fluid of 28 % does not hold for −11 °C and a few degrees to spare: take a stronger one.',
    );
  });

  it('of alcohol that is in it brings its own cautions', () => {
    const caution = 'A glycol refractometer reads alcohol-based fluid wrongly.';
    const text = winterized({ fluidCautions: [caution] });
    expect(text.slice(text.indexOf('Cautions'))).toContain(caution);
  });
});

// A valve that hangs on lines under pressure runs when it is opened: common practice, and physics.
it('the outside shower is shut off by its own valves first, and never left open on lines under pressure', () => {
  const dusk = { heaterOn: null };
  const listed = (showerValves: boolean | 'unknown' | null): string =>
    stepsFor('keep-warm', facts({ dusk: { ...dusk, showerValves } }), reader()).steps.join('\n');
  expect(listed(true)).toMatch(/shower: shut its own valves, then open it/);
  expect(listed('unknown')).toMatch(/shut its own valves, if it has any,.*pump off before you open it/);
  expect(listed(false)).toMatch(/outside shower has no valves of its own:.*stays full/);
  expect(listed(null)).not.toContain('outside shower');
});
