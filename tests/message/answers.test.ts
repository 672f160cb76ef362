/** Which answers a message offers, as links where they can be had and as commands where not. */
import { describe, expect, it } from 'vitest';
import { MESSAGE_KINDS, type MessageKind, type Notice } from '../../src/decision/memory.ts';
import { ANSWERS, type UnitFacts } from '../../src/message/message.ts';
import { renderMessage } from '../../src/message/render.ts';
import { DRAIN, facts, KEEP_WARM, notice, reader, WINTERIZE } from './facts.ts';

const ABOUT = ['on-my-way', 'not-mine', 'stop'];

function rendered(kind: MessageKind, change: Partial<Notice>, of: Partial<UnitFacts> = {}, linked = true) {
  return renderMessage(notice(kind, change), facts(of), reader({ linked }));
}

describe('the answers', () => {
  it('are those of the work', () => {
    const of = (action: Notice['action'], advice: UnitFacts['advice']): readonly string[] =>
      rendered('act', { action }, { advice }).answers;
    expect(of('drain', DRAIN)).toEqual(['drained-well', 'drained-quickly', ...ABOUT]);
    expect(of('keep-warm', KEEP_WARM)).toEqual(['kept-warm', 'drained-well', 'drained-quickly', ...ABOUT]);
    expect(of('winterize', WINTERIZE).slice(0, 3)).toEqual([
      'winterized-colour',
      'winterized-air-traps',
      'winterized-air',
    ]);
    expect(of('winterize', { ...WINTERIZE, method: 'air' })[0]).toBe('winterized-air-traps');
  });

  it('of a unit that may have frozen begin with that it was looked at', () => {
    expect(rendered('frozen', { action: 'nothing', startBy: null }).answers[0]).toBe('checked');
    expect(rendered('act', {}, { suspect: true }).answers[0]).toBe('checked');
  });

  it('to who hears that ice reached nobody are those of ice, and not those of the work', () => {
    const missed = (kind: MessageKind): readonly string[] => {
      const unreached = [{ person: 'bob', name: 'Bob Example', kind, error: null }];
      return rendered('unreached', { action: 'drain' }, { unreached, advice: DRAIN }).answers;
    };
    expect(missed('frozen')).toEqual(['checked', ...ABOUT]);
    expect(missed('act')).toEqual(['drained-well', 'drained-quickly', ...ABOUT]);
  });

  it('never say that the whole unit was done where only some circuits were to be', () => {
    const advice = { ...WINTERIZE, circuits: ['trap-kitchen'] };
    const message = rendered('act', { action: 'winterize' }, { advice });
    expect(message.answers).toEqual(ABOUT);
    expect(message.html).toContain(
      'drainby mark -c FILE blue winterized --method antifreeze --circuit trap-kitchen<',
    );
    expect(message.text).toContain('drainby-answer:on-my-way');
  });

  it.each(MESSAGE_KINDS)('stand in text and HTML as links, one for each that is offered: %s', (kind) => {
    const { answers, text, html } = rendered(kind, {}, { suspect: kind === 'frozen' });
    expect([...text.matchAll(/^ {2}drainby-answer:([a-z-]+)$/gm)].map(([, code]) => code)).toEqual(answers);
    expect(
      [...html.matchAll(/<a [^>]*href="drainby-answer:([a-z-]+)"[^>]*>[^<]+<\/a>/g)].map(([, c]) => c),
    ).toEqual(answers);
    expect(answers.every((code) => ANSWERS.includes(code))).toBe(true);
  });

  it.each(MESSAGE_KINDS)('are commands where no link can be had: %s', (kind) => {
    const { text, html } = rendered(kind, {}, { suspect: true }, false);
    expect(text + html).not.toContain('drainby-answer:');
    if (kind !== 'fill-by' && kind !== 'dump-by') expect(text).toContain('drainby mark -c FILE blue checked');
  });

  it('replace the command that says the same', () => {
    expect(rendered('act', {}).text).not.toContain('drainby mark');
    expect(rendered('act', {}, {}, false).text).toContain('drainby mark -c FILE blue drained');
  });
});
