import { describe, expect, it } from 'vitest';
import { withAnswerLinks } from '../../src/message/answer-links.ts';
import { letter } from '../support/letter.ts';

const MESSAGE = letter({
  text: 'Done? Say so:\n  Drained well: drainby-answer:drained-well\n  Stop. drainby-answer:stop.\nBye.\n',
  html: '<p>Done?</p><ul><li><a href="drainby-answer:drained-well" style="x">Drained well</a></li><li><a\n href="drainby-answer:stop">Stop</a> asking</li></ul><p>Bye.</p>',
});

describe('what stands for the link of an answer', () => {
  it('becomes the link, in text as it is and in HTML escaped', () => {
    const { text, html } = withAnswerLinks(MESSAGE, (message, answer) => {
      return `https://example.org/a?m=${message.unit}&c=${answer}"'`;
    });
    expect(text).toBe(
      `Done? Say so:\n  Drained well: https://example.org/a?m=blue&c=drained-well"'\n  Stop. https://example.org/a?m=blue&c=stop"'.\nBye.\n`,
    );
    expect(html).toContain(
      '<a href="https://example.org/a?m=blue&amp;c=drained-well&quot;&#39;" style="x">Drained well</a>',
    );
    expect(html).toContain('href="https://example.org/a?m=blue&amp;c=stop&quot;&#39;">Stop</a> asking');
  });

  it.each([
    ['nobody can answer', null],
    ['this one has no link', () => null],
  ])('is gone with its line, its anchor and what that leaves empty, where %s', (_why, link) => {
    const { text, html } = withAnswerLinks(MESSAGE, link);
    expect(text).toBe('Done? Say so:\nBye.\n');
    expect(html).toBe('<p>Done?</p><ul><li> asking</li></ul><p>Bye.</p>');
  });

  it('is gone when the code is none of ours', () => {
    const odd = letter({
      text: 'a\ndrainby-answer:explode\nb',
      html: '<p>x drainby-answer:explode y</p><p><a href="drainby-answer:explode">z</a></p>',
    });
    const { text, html } = withAnswerLinks(odd, (_message, answer) => `https://example.org/${answer}`);
    expect(text).toBe('a\nb');
    expect(html).toBe('<p>x  y</p>');
  });

  it('is asked for once for each answer', () => {
    const asked: string[] = [];
    withAnswerLinks(MESSAGE, (_message, answer) => {
      asked.push(answer);
      return 'https://example.org/';
    });
    expect(asked).toEqual(['drained-well', 'stop']);
  });
});
