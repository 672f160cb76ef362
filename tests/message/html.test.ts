import { simpleParser } from 'mailparser';
import MailComposer from 'nodemailer/lib/mail-composer/index.js';
import { describe, expect, it } from 'vitest';
import { MESSAGE_KINDS } from '../../src/decision/memory.ts';
import { escapeHtml } from '../../src/message/html.ts';
import { DARK, LIGHT } from '../../src/message/palette.ts';
import type { Palette } from '../../src/message/palette.ts';
import { renderMessage } from '../../src/message/render.ts';
import { facts, notice, reader } from './facts.ts';

const HOSTILE = 'Blue"><script>alert(1)</script>\r\nBcc: all@example.org\u0000\u202Egnp';

const hostileFacts = facts({
  unit: { id: 'blue', label: HOSTILE, attended: false },
  place: { id: 'creek', label: HOSTILE, timeZone: 'America/Denver' },
  firstPart: HOSTILE,
  waterState: HOSTILE,
  problem: HOSTILE,
  assumptions: [HOSTILE],
  attributions: [HOSTILE],
});

const VOID = new Set(['meta', 'br', 'hr']);

/** The tags that are open at the end, or the first that closes what was not open last. */
function unbalanced(html: string): readonly string[] {
  const open: string[] = [];
  const body = html.replace(/<!DOCTYPE html>/, '').replace(/<style>.*?<\/style>/s, '');
  for (const [, slash, name = ''] of body.matchAll(/<(\/?)([a-z][a-z0-9]*)\b(?:[^<>"]|"[^"<>]*")*>/g)) {
    if (VOID.has(name)) continue;
    if (slash === '') open.push(name);
    else if (open.pop() !== name) return [`</${name}>`];
  }
  return open;
}

/** WCAG 2.2, relative luminance and contrast ratio, from `#rrggbb`. */
function contrast(colourA: string, colourB: string): number {
  const [light, dark] = [luminance(colourA), luminance(colourB)].toSorted((a, b) => b - a) as [
    number,
    number,
  ];
  return (light + 0.05) / (dark + 0.05);
}

function luminance(colour: string): number {
  const channels = [1, 3, 5].map((start) => parseInt(colour.slice(start, start + 2), 16) / 255);
  const [red, green, blue] = channels.map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
  return 0.2126 * red! + 0.7152 * green! + 0.0722 * blue!;
}

describe('the HTML body', () => {
  it.each(MESSAGE_KINDS)('is well-formed, with language, title and one top heading: %s', (kind) => {
    const { html, subject } = renderMessage(notice(kind), facts(), reader());
    expect(unbalanced(html)).toEqual([]);
    expect(html).toContain('<html lang="en">');
    expect(html).toContain(`<title>${escapeHtml(subject)}</title>`);
    expect(html.match(/<h1\b/g)).toHaveLength(1);
    expect(html).not.toMatch(/<h[3-6]\b/);
  });

  it.each(MESSAGE_KINDS)('fetches nothing and runs nothing: %s', (kind) => {
    const { html } = renderMessage(notice(kind), facts(), reader());
    expect(html).not.toMatch(/https?:|\/\/|url\(|@import|<(script|img|link|iframe|object|form)\b|\son\w+=/i);
  });

  it('names a mistake in balance, so that the check above can fail', () => {
    expect(unbalanced('<p><b>x</p></b>')).toEqual(['</p>']);
    expect(unbalanced('<div><p>x</p>')).toEqual(['div']);
  });

  it('uses for text only colours with a contrast of 4.5 on the ground they stand on', () => {
    // WCAG's own extremes, so that the formula is held too.
    expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
    expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.48, 2);
    for (const palette of [LIGHT, DARK] satisfies Palette[]) {
      for (const text of [palette.ink, palette.muted, palette.accent]) {
        for (const ground of [palette.paper, palette.panel, palette.page]) {
          expect(contrast(text, ground), `${text} on ${ground}`).toBeGreaterThanOrEqual(4.5);
        }
      }
    }
  });

  it('uses no colour that is not in the palette', () => {
    const known = new Set([LIGHT, DARK].flatMap((palette) => Object.values<string>({ ...palette })));
    for (const kind of MESSAGE_KINDS) {
      const { html } = renderMessage(notice(kind), facts(), reader());
      const used = html.match(/#[0-9a-f]{6}\b/g) ?? [];
      expect(used.length).toBeGreaterThan(0);
      expect(used.filter((colour) => !known.has(colour))).toEqual([]);
    }
  });
});

describe('free text from config or service', () => {
  it.each(MESSAGE_KINDS)('can neither make a tag nor break a line: %s', (kind) => {
    const { subject, text, html } = renderMessage(notice(kind), hostileFacts, reader());
    expect(html).not.toContain('<script');
    expect(html).toContain('&lt;script&gt;');
    expect(unbalanced(html)).toEqual([]);
    expect(subject).not.toMatch(/[\p{Cc}\u2028\u2029\u202A-\u202E\u2066-\u2069]/u);
    for (const character of ['\u0000', '\r', '\u202E']) expect(text).not.toContain(character);
    expect(text).not.toMatch(/^Bcc:/m);
  });

  it('keeps a label of any length out of the way of wrapping and of the subject', () => {
    const unit = { id: 'b'.repeat(90), label: 'ü'.repeat(300), attended: false };
    const { subject, text } = renderMessage(notice('act'), facts({ unit }), reader());
    expect(Array.from(subject).length).toBeLessThan(120);
    for (const line of text.split('\n')) expect(Array.from(line).length).toBeLessThanOrEqual(78);
  });

  it('falls back to the id where a label has nothing printable', () => {
    const unit = { id: 'blue', label: '\u0000\n\t', attended: false };
    expect(renderMessage(notice('act'), facts({ unit }), reader()).subject).toMatch(/^Drain blue, /);
  });

  it('comes through a real MIME message as it was written', async () => {
    const { subject, text, html } = renderMessage(notice('act'), hostileFacts, reader());
    const raw = await new MailComposer({ to: 'ann@example.org', subject, text, html }).compile().build();
    const parsed = await simpleParser(raw);
    expect(parsed.subject).toBe(subject);
    expect(parsed.headers.has('bcc')).toBe(false);
    expect(parsed.text?.trim()).toBe(text.trim());
    expect(String(parsed.html).trim()).toBe(html.trim());
  });
});
