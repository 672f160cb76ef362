/** The text message: one, of the default alphabet, that says what and by when whatever the unit is called. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ACTIONS, type Action } from '../../src/decision/advice.ts';
import { MESSAGE_KINDS, type MessageKind } from '../../src/decision/memory.ts';
import { gsmText, septets } from '../../src/message/gsm.ts';
import type { UnitFacts } from '../../src/message/message.ts';
import { plainFacts } from '../../src/message/plain.ts';
import { renderMessage } from '../../src/message/render.ts';
import { shortOf as shortForm } from '../../src/message/short.ts';
import { at, DRAIN, facts, notice, reader } from './facts.ts';

/**
 * 3GPP TS 23.038, 6.2.1 and 6.2.1.1, by code point: beyond the letters, digits and signs of ASCII that are in it.
 * Held once, for all code points up to 2FFF, against the mapping of Perl's Encode::GSM0338 2.10 (of TS 23.038 V16.0.0).
 */
const BEYOND_ASCII =
  'a1 a3 a4 a5 a7 bf c4 c5 c6 c7 c9 d1 d6 d8 dc df e0 e4 e5 e6 e8 e9 ec f1 f2 f6 f8 f9 fc 393 394 398 39b 39e 3a0 3a3 3a6 3a8 3a9';
const TWICE = '0c 5b 5c 5d 5e 7b 7c 7d 7e 20ac';
const NOT_ASCII = ['`'];

const letters = (hex: string): string[] =>
  hex.split(' ').map((code) => String.fromCodePoint(parseInt(code, 16)));
const isBasic = (letter: string): boolean =>
  letters(BEYOND_ASCII).includes(letter) ||
  (/^[ -~\n\r]$/.test(letter) && !letters(TWICE).includes(letter) && !NOT_ASCII.includes(letter));

/** What a reader must find: the action, or what else the kind is about. */
const SAID: Readonly<Record<MessageKind, RegExp>> = {
  act: /./,
  worse: /^Worse: /,
  'last-call': /^Last call: /,
  late: /^Late: .* now\./,
  frozen: /may have frozen: do not pressurise/,
  'all-clear': /^All clear: /,
  'no-forecast': /^No forecast for .*unknown is not safe/,
  'heads-up': /^Heads-up: .*cold likely about Fri 27 Nov/,
  'fill-again': /may be filled again/,
  'fill-by': /^Fill fresh tank of /,
  'dump-by': /^Dump tanks of /,
  unreached: /^Not everyone reached about /,
};
const WORK: Readonly<Record<Action, RegExp>> = {
  nothing: /./,
  'keep-warm': /heat on/i,
  'drain-part': /drain/i,
  drain: /drain/i,
  winterize: /winterize/i,
};
const ASKS: readonly MessageKind[] = ['act', 'worse', 'last-call', 'late', 'unreached', 'no-forecast'];
const TIMED: readonly MessageKind[] = [
  'act',
  'worse',
  'last-call',
  'unreached',
  'no-forecast',
  'fill-by',
  'dump-by',
];

const label = fc.oneof(
  fc.string({ unit: 'grapheme', minLength: 1, maxLength: 200 }),
  fc.string({ unit: 'binary', minLength: 1, maxLength: 80 }),
  fc.stringMatching(/^([A-Za-z]{1,14} ){1,20}[A-Za-z]{1,14}$/),
  fc.stringMatching(/^[a-z]{1,190}$/),
  fc.constantFrom('Łódź ’25 – “Blåbær” [7]', '雪のトレーラー', '🚐🚐🚐', 'Ωmega ~ {A|B} €5'),
);

function shortOf(kind: MessageKind, action: Action, change: Partial<UnitFacts>): string {
  const method = action === 'winterize' ? 'antifreeze' : null;
  const advice = { ...DRAIN, action, method } as const;
  return shortForm({
    notice: notice(kind, { action }),
    facts: plainFacts(facts({ advice, ...change })),
    reader: reader(),
  });
}

describe('the short form', () => {
  it('fits one text message, with the action and its time, whatever the label', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...MESSAGE_KINDS),
        fc.constantFrom(...ACTIONS),
        label,
        fc.double({ min: 0, max: 1, noNaN: true }),
        fc.boolean(),
        (kind, action, name, chance, hasTraps) => {
          const circuits = hasTraps && action === 'winterize' ? ['trap-kitchen', 'trap-bath'] : null;
          const short = shortOf(kind, action, {
            unit: { id: 'u7', label: name, attended: false },
            chances: { perAction: { nothing: chance }, tolerance: {}, resolution: 1 / 51 },
            ...(circuits === null ? {} : { advice: { ...DRAIN, action, method: 'air', circuits } }),
          });
          expect(Array.from(short).every(isBasic), short).toBe(true);
          expect(Array.from(short).length, short).toBeLessThanOrEqual(160);
          expect(short).toMatch(SAID[kind]);
          if (ASKS.includes(kind) && !(action === 'nothing')) expect(short).toMatch(WORK[action]);
          if (
            TIMED.includes(kind) &&
            !(action === 'nothing' && (kind === 'unreached' || kind === 'no-forecast'))
          )
            expect(short).toContain('Thu 26 Nov 15:10 MST');
          expect(short.split(name.trim()).join(' ')).not.toMatch(/undefined|NaN|null|\n/);
        },
      ),
      { numRuns: 1500 },
    );
  });

  it('never cuts a word of a label that has shorter ones', () => {
    fc.assert(
      fc.property(fc.stringMatching(/^([A-Za-z]{3,9} ){8,25}[A-Za-z]{3,9}$/), (name) => {
        const short = shortOf('act', 'drain', { unit: { id: 'u7', label: name, attended: false } });
        const kept = /^Drain (.*?)(\.\.)? by /.exec(short)?.[1]?.split(' ') ?? [];
        expect(name.split(' ').slice(0, kept.length)).toEqual(kept);
      }),
    );
  });

  it('goes along with every message', () => {
    for (const kind of MESSAGE_KINDS)
      expect(renderMessage(notice(kind), facts(), reader()).short).toBe(shortOf(kind, 'drain', {}));
  });

  it('is this where there is room', () => {
    expect(shortOf('act', 'drain', {})).toBe(
      'Drain Blue trailer by Thu 26 Nov 15:10 MST. over 98% chance of damage. Low 13F Fri 27 Nov 06:00 MST.',
    );
    expect(shortOf('late', 'keep-warm', {})).toMatch(/^Late: hose off and heat on for Blue trailer now\. /);
    expect(shortOf('frozen', 'nothing', {})).toMatch(
      /^Blue trailer may have frozen: do not pressurise\. Supply, pump, heater element off now\./,
    );
  });

  it('gives up the low, then the chance, then the end of the label', () => {
    const of = (length: number): string =>
      shortOf('act', 'drain', { unit: { id: 'u7', label: 'Ab '.repeat(length).trim(), attended: false } });
    expect(of(20)).toContain('Low 13F');
    expect(of(30)).not.toContain('Low');
    expect(of(30)).toContain('over 98% chance of damage');
    expect(of(38)).not.toContain('damage');
    expect(of(38)).not.toContain('..');
    expect(of(60)).toMatch(/^Drain (Ab )+Ab\.\. by Thu 26 Nov 15:10 MST\.$/);
  });

  it('calls the unit by its id where its label cannot be written or cut', () => {
    const named = (name: string): string =>
      shortOf('act', 'drain', { unit: { id: 'u7', label: name, attended: false } });
    expect(named('雪のトレーラー')).toMatch(/^Drain u7 by /);
    expect(named('x'.repeat(180))).toMatch(/^Drain u7 by /);
    expect(named('Łódź ’25 [7]')).toMatch(/^Drain Lodz '25 \(7\) by /);
  });

  it('keeps the last known low where there is no forecast', () => {
    const lastKnown = {
      asOf: at('2026-11-24T12:00:00Z'),
      lowestOutsideC: -7,
      lowestAt: at('2026-11-27T13:00:00Z'),
    };
    const short = shortOf('no-forecast', 'drain', { lastKnown, chances: null, forecast: null });
    expect(short).toBe(
      'No forecast for Blue trailer: unknown is not safe. Drain it by Thu 26 Nov 15:10 MST. Last known low 19F.',
    );
  });
});

describe('the default alphabet', () => {
  it('is that of the standard, and its second table counts twice', () => {
    for (let code = 0; code < 0x3000; code++) {
      const letter = String.fromCodePoint(code);
      const expected = isBasic(letter) ? 1 : letters(TWICE).includes(letter) ? 2 : null;
      expect(septets(letter), code.toString(16)).toBe(expected);
    }
    expect(septets('€')).toBe(2);
    expect(septets('°')).toBeNull();
  });

  it('takes letters without their marks, and says where it takes none', () => {
    expect(gsmText('Čeněk −7 °C “ß” ﬁ')).toBe('Cenek -7 C "ß" fi');
    expect(gsmText('雪 a')).toBe('? a');
  });
});
