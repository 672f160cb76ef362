import { describe, expect, it } from 'vitest';
import { renderMessage } from '../../src/message/render.ts';
import type { UnitFacts } from '../../src/message/message.ts';
import { at, facts, notice, reader } from './facts.ts';

const WARNING = {
  event: 'KBOU.FZ.W.0007',
  title: 'Freeze Warning',
  issuer: 'NWS Boulder CO',
  headline:
    'Freeze Warning issued November 25 at 12:15PM MST until November 26 at 9:00AM MST by NWS Boulder CO',
  sentAt: at('2026-11-25T19:15:00Z'),
  onsetAt: at('2026-11-26T04:00:00Z'),
  endsAt: at('2026-11-26T16:00:00Z'),
};

const textOf = (change: Partial<UnitFacts>): string =>
  renderMessage(notice('act'), facts(change), reader()).text.replaceAll(/\s+/g, ' ');

describe('where a message comes from', () => {
  it('quotes official warnings as their issuer’s, with times in the reader’s zone', () => {
    const text = textOf({ alerts: [WARNING] });
    expect(text).toContain(
      'Freeze Warning, issued by NWS Boulder CO, in force from Wed 25 Nov, 21:00 MST until Thu 26 Nov, 09:00 MST: “Freeze Warning issued November 25',
    );
    expect(text.toLowerCase()).toContain('official warnings in force');
    expect(textOf({ alerts: [] }).toLowerCase()).not.toContain('official warnings');
  });

  it('keeps what an issuer wrote on its line and within bounds', () => {
    const headline = `a\r\nBcc: b\u202e${'x'.repeat(1000)}`;
    const text = textOf({ alerts: [{ ...WARNING, headline, onsetAt: null, endsAt: null }] });
    expect(text).toContain('in force: “a Bcc: b xxx');
    expect(text).not.toContain('x'.repeat(300));
  });

  it('says which forecast it rests on and how old that is', () => {
    expect(textOf({})).toContain(
      'The forecast of example was issued Wed 25 Nov, 05:00 (MST) and is 3 h old. Computed Wed 25 Nov, 08:30 (MST).',
    );
    const fetched = { source: 'example', issuedAt: null, fetchedAt: at('2026-11-25T15:00:00Z') };
    expect(textOf({ forecast: fetched })).toContain(
      'was last renewed Wed 25 Nov, 08:00 (MST) and is less than an hour old',
    );
    expect(textOf({ forecast: null })).not.toContain('The forecast of');
  });
});
