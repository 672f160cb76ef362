/** What is said where only some circuits are to be done. */
import { describe, expect, it } from 'vitest';
import type { Advice } from '../../src/decision/advice.ts';
import { circuitsWords } from '../../src/message/circuits.ts';
import type { MessageText } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { DRAIN, WINTERIZE, facts, notice, reader } from './facts.ts';

const TRAPS = ['trap-kitchen', 'trap-bath', 'trap-shower'];

function told(
  advice: Advice,
  kind: 'act' | 'late' | 'worse' = 'act',
): MessageText & { readonly flat: string } {
  const message = renderMessage(notice(kind, { action: advice.action }), facts({ advice }), reader());
  return { ...message, flat: message.text.replace(/\s+/g, ' ') };
}

describe('the traps alone', () => {
  const { subject, text, html, flat } = told({ ...WINTERIZE, circuits: TRAPS, workMinutes: 5 });

  it('are named where it is read first, with their own minutes', () => {
    expect(subject).toBe(
      'Winterize the traps only (kitchen, bathroom, shower) of Blue trailer, start by Thu 26 Nov, 15:10 MST',
    );
    expect(flat).toMatch(
      /^Winterize the traps only \(kitchen, bathroom, shower\) of Blue trailer\. .*work 5 min\./,
    );
    expect(flat).toContain('About 5 min. The rest is done already, or ice still closes it.');
  });

  it('have their steps and no others, and their cautions and no others', () => {
    expect(flat).toContain(
      '1. Traps (kitchen, bathroom, shower): pour one to two cups of antifreeze into each',
    );
    expect(flat).not.toMatch(/ 2\. |bypass|pull the plug|low point|scalds/);
    expect(flat).toContain('never automotive');
  });

  it('are what is said to be done, and nothing more', () => {
    const command =
      'drainby mark -c FILE blue winterized --method antifreeze --circuit trap-kitchen --circuit trap-bath --circuit trap-shower';
    expect(html).toContain(`>${command}<`);
    // As a shell reads it: a line that ends with a backslash goes on.
    expect(text.replace(/ \\\n +/g, ' ')).toContain(`    ${command}\n`);
  });

  it('are all that is still worth doing when it is late', () => {
    const late = told({ ...WINTERIZE, circuits: TRAPS, workMinutes: 5, late: true }, 'late').flat;
    expect(late).toContain('Traps (kitchen, bathroom, shower): pour');
    expect(late).not.toMatch(/low-point|Run the pump/);
  });
});

describe('some circuits', () => {
  it('each have what lets their water out, and the heater its cautions', () => {
    const { subject, flat } = told({ ...DRAIN, circuits: ['heater', 'flush'], workMinutes: 45 });
    expect(subject).toMatch(/^Drain only the water heater and the black-tank flush line of Blue trailer, /);
    expect(flat).toMatch(
      /Water heater: element off at its breaker, propane off\. Run hot water until it comes cool/,
    );
    expect(flat).toContain('Black-tank flush line: take the hose off its inlet');
    expect(flat).toContain('Hot water scalds');
    expect(flat).not.toContain('toilet');
  });

  it('get antifreeze only where it goes', () => {
    const circuits = ['heater', 'cold', 'tank-grey'];
    const { flat } = told({ ...WINTERIZE, circuits });
    expect(flat).toMatch(
      /Turn the heater bypass all the way over\..* until the colour is full: every cold faucet/,
    );
    expect(flat).toMatch(/Dump the grey tank; shut its valve\./);
    expect(flat).not.toMatch(/every hot|hot low-point/);
  });

  it('too many for a line are called a part, and named below', () => {
    const circuits = ['cold', 'hot', 'heater', 'inlet'];
    const { subject, flat } = told({ ...WINTERIZE, method: 'air', circuits });
    expect(subject).toMatch(/^Winterize part of Blue trailer, /);
    expect(flat).toContain(`Only this is to be done: ${circuitsWords(circuits)}.`);
    expect(flat).toContain('40 psi (2.8 bar) is never exceeded. Open one faucet, then connect the air');
  });

  it('of another advice than the one told are not spoken of', () => {
    const advice = { ...DRAIN, circuits: TRAPS };
    const text = renderMessage(notice('act', { action: 'winterize' }), facts({ advice }), reader());
    expect(text.subject).toBe('Winterize Blue trailer, start by Thu 26 Nov, 15:10 MST');
    expect(text.text).not.toContain('--circuit');
  });

  it('of one’s own keep their name', () => {
    expect(circuitsWords(['trap-bar', 'sauna'])).toBe('the traps (bar) and sauna');
  });
});
