import { createHash } from 'node:crypto';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { Resvg } from '@resvg/resvg-js';
import { simpleParser } from 'mailparser';
import { describe, expect, it, onTestFinished } from 'vitest';
import { openEmail } from '../../src/delivery/email.ts';
import { openFile } from '../../src/delivery/file.ts';
import { drawPng } from '../../src/delivery/picture.ts';
import { PICTURE_CID } from '../../src/delivery/mime.ts';
import { PICTURE_MARK } from '../../src/message/message.ts';
import type { CalendarEntry, OutgoingMessage } from '../../src/message/message.ts';
import { letter, NOW } from '../support/letter.ts';
import { startSmtp } from '../support/smtp.ts';
import { temporaryDirectory } from '../support/temporary.ts';

const NEVER = new AbortController().signal;
const SVG =
  '<svg xmlns="http://www.w3.org/2000/svg" width="620" height="200"><rect width="620" height="200" fill="#fff"/><text x="20" y="60" font-family="sans-serif" font-size="24">−9 °C</text></svg>';
const ALTERNATIVE = 'Air falls to −9 °C "at" <night> & stays';
const CALENDAR: CalendarEntry = {
  uid: 'blue-1.ann@drainby.example.org',
  sequence: 0,
  cancelled: false,
  start: NOW + 7200,
  end: NOW + 9900,
  summary: 'Drain Blue trailer',
  description: 'Faucets open.',
  location: 'Creek row',
};

async function received(over: Partial<OutgoingMessage>, onTrouble?: (what: string) => void) {
  const smtp = await startSmtp();
  onTestFinished(() => smtp.close());
  const config = {
    ...({ host: '127.0.0.1', port: smtp.port, security: 'none', user: null, password: null } as const),
    from: 'Drain watch <drainby@example.org>',
  };
  const sender = openEmail(config, { env: {}, ...(onTrouble === undefined ? {} : { onTrouble }) });
  await sender.send(letter(over), NEVER);
  await sender.send(letter(over), NEVER);
  const [first, second] = [await smtp.next(), await smtp.next()];
  expect(first.raw).toBe(second.raw);
  return first;
}

/** Content types as they are nested, from the raw mail. */
function structure(raw: string): string[] {
  return [...raw.matchAll(/^content-type: ([a-z]+\/[a-z]+)/gim)].map(([, type]) => type ?? '');
}

describe('a picture', () => {
  const html = `<p>Cold.</p>${PICTURE_MARK}<p>Start by 10:30.</p>`;

  it('stands inside the mail where the HTML has it, as a PNG', async () => {
    const { mail, raw } = await received({ html, picture: { svg: SVG, alternative: ALTERNATIVE } });
    expect(structure(raw)).toEqual([
      'multipart/alternative',
      'text/plain',
      'multipart/related',
      'text/html',
      'image/png',
    ]);
    const [png, ...others] = mail.attachments;
    expect(others).toEqual([]);
    expect(png).toMatchObject({
      cid: PICTURE_CID,
      contentType: 'image/png',
      related: true,
      contentDisposition: 'inline',
    });
    expect(png?.content.subarray(0, 8)).toEqual(Buffer.from('\x89PNG\r\n\x1A\n', 'latin1'));
    // The parser puts the picture where its cid stood.
    expect(mail.html).toMatch(
      /^<p>Cold\.<\/p><p><img src="data:image\/png;base64,[^"]+" alt="[^"]+"[^>]*><\/p><p>Start/,
    );
  });

  it('stands at the end where the HTML does not say where', async () => {
    const { mail } = await received({
      html: '<body><p>Cold.</p></body>',
      picture: { svg: SVG, alternative: ALTERNATIVE },
    });
    expect(mail.html).toMatch(
      /<p>Cold\.<\/p><p><img src="data:[^"]+" alt="Air falls to −9 °C &quot;at&quot; <night> &amp; stays"[^>]*><\/p><\/body>/,
    );
  });

  it('that cannot be drawn stops no mail and leaves no gap', async () => {
    const said: string[] = [];
    const { mail } = await received({ html, picture: { svg: '<svg', alternative: 'x' } }, (what) =>
      said.push(what),
    );
    expect(mail.attachments).toEqual([]);
    expect(mail.html).toBe('<p>Cold.</p><p>Start by 10:30.</p>');
    expect(said).toHaveLength(2);
    expect(said[0]).toContain('picture');
  });

  it('that is not there leaves no gap either', async () => {
    const { mail } = await received({ html });
    expect(mail.html).toBe('<p>Cold.</p><p>Start by 10:30.</p>');
  });

  it('is drawn with letters, though the machine has no fonts', async () => {
    const without = SVG.replace(/<text.*<\/text>/, '');
    const black = (png: Uint8Array): string => createHash('sha256').update(png).digest('hex');
    const drawn = await drawPng(SVG);
    expect(black(drawn)).not.toBe(black(await drawPng(without)));
    // The library itself, told of no font, draws none: so the letters above come from the fonts that we bring.
    const fontless = { font: { loadSystemFonts: false }, fitTo: { mode: 'width', value: 1240 } } as const;
    expect(black(new Resvg(SVG, fontless).render().asPng())).toBe(black(await drawPng(without)));
  });

  it('that would fill the memory is not drawn', async () => {
    const tall = SVG.replace('height="200"', 'height="90000"');
    await expect(drawPng(tall)).rejects.toThrow('too tall');
  });
});

describe('a calendar entry', () => {
  it('is a file beside the text, with the method of what is in it (RFC 6047, 2.4)', async () => {
    const { mail, raw } = await received({ calendar: CALENDAR });
    expect(structure(raw)).toEqual([
      'multipart/mixed',
      'multipart/alternative',
      'text/plain',
      'text/html',
      'text/calendar',
    ]);
    const [file] = mail.attachments;
    expect(file).toMatchObject({
      filename: 'work.ics',
      contentType: 'text/calendar',
      contentDisposition: 'attachment',
    });
    expect(raw).toMatch(/^Content-Type: text\/calendar;[^\r]*(\r\n [^\r]*)*method=PUBLISH/m);
    const content = file?.content.toString('utf8') ?? '';
    expect(content).toContain('METHOD:PUBLISH\r\n');
    expect(content).toContain('SUMMARY:Drain Blue trailer\r\n');
    expect(mail.text).toContain('Start by 10:30.');
  });

  it('is taken back the same way', async () => {
    const { mail, raw } = await received({ calendar: { ...CALENDAR, cancelled: true } });
    expect(raw).toMatch(/method=CANCEL/);
    expect(mail.attachments[0]?.content.toString('utf8')).toContain('METHOD:CANCEL\r\n');
  });

  it('and a picture go into the same mail', async () => {
    const { raw, mail } = await received({ calendar: CALENDAR, picture: { svg: SVG, alternative: 'x' } });
    expect(structure(raw)).toEqual([
      'multipart/mixed',
      'multipart/alternative',
      'text/plain',
      'multipart/related',
      'text/html',
      'image/png',
      'text/calendar',
    ]);
    expect(mail.attachments).toHaveLength(2);
  });
});

it('writes picture and calendar to files as well', async () => {
  const directory = temporaryDirectory();
  const channel = openFile({ directory, from: { name: '', address: 'drainby@example.org' } });
  await channel.send(letter({ calendar: CALENDAR, picture: { svg: SVG, alternative: 'x' } }), NEVER);
  const [name = ''] = readdirSync(directory);
  const mail = await simpleParser(readFileSync(join(directory, name)));
  expect(mail.attachments.map(({ contentType }) => contentType)).toEqual(['image/png', 'text/calendar']);
});
