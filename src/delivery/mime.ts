import { createHash } from 'node:crypto';
import MailComposer from 'nodemailer/lib/mail-composer';
import type { MailComposerOptions } from 'nodemailer/lib/mail-composer';
import { PICTURE_MARK } from '../message/message.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { Address } from './address.ts';
import { calendarFile } from './calendar-file.ts';
import type { OnTrouble } from './channel.ts';
import { drawPng } from './picture.ts';
import { plainLine } from './plain-line.ts';

/** From whom to whom. */
export interface Letterhead {
  readonly from: Address;
  readonly to: Address;
  /** Hears that a picture could not be drawn; the mail goes out without it. */
  readonly onTrouble?: OnTrouble;
}

/**
 * The message as MIME (RFC 5322, RFC 2046): text and HTML as alternatives, the picture inside the HTML, the calendar
 * entry as a file beside them. The same bytes for the same message, whatever the channel and the attempt.
 */
export async function composeMail(message: OutgoingMessage, head: Letterhead): Promise<Buffer> {
  const picture = await drawn(message, head.onTrouble);
  const html = withPicture(message, picture !== null);
  const attachments = [...(picture === null ? [] : [picture]), ...calendarOf(message, head.from)];
  const base = composerOptions({ ...message, html }, head);
  const baseBoundary = boundaryOf([base.messageId, message.text, html, ...attachments.map(contentOf)]);
  return await new MailComposer({ ...base, attachments, baseBoundary }).compile().build();
}

function composerOptions(message: OutgoingMessage, { from, to }: Letterhead): MailComposerOptions {
  return {
    from: { ...from },
    to: { ...to },
    messageId: plainLine(message.messageId),
    date: new Date(message.createdAt * 1000),
    subject: plainLine(message.subject),
    headers: headersOf(message),
    text: message.text,
    html: message.html,
    newline: 'windows',
    disableFileAccess: true,
    disableUrlAccess: true,
  };
}

type Attachment = NonNullable<MailComposerOptions['attachments']>[number];

/** Null: there is no picture, or it cannot be drawn, which the text makes up for. */
async function drawn({ picture }: OutgoingMessage, onTrouble?: OnTrouble): Promise<Attachment | null> {
  if (picture === undefined) return null;
  try {
    return {
      cid: PICTURE_CID,
      filename: 'picture.png',
      contentType: 'image/png',
      contentDisposition: 'inline',
      content: await drawPng(picture.svg),
    };
  } catch (error) {
    onTrouble?.('The picture of a message cannot be drawn; the message goes out without it.', error);
    return null;
  }
}

/** Names the picture inside its mail. */
export const PICTURE_CID = 'picture@drainby';

/** The HTML says where the picture stands, or else it stands at the end; one that is not there leaves no gap. */
function withPicture({ html, picture }: OutgoingMessage, isDrawn: boolean): string {
  if (!isDrawn || picture === undefined) return html.replaceAll(PICTURE_MARK, '');
  const alt = plainLine(picture.alternative).replaceAll('&', '&amp;').replaceAll('"', '&quot;');
  const tag = `<p><img src="cid:${PICTURE_CID}" alt="${alt}" style="max-width:100%"></p>`;
  if (html.includes(PICTURE_MARK)) return html.replace(PICTURE_MARK, () => tag);
  const end = html.lastIndexOf('</body>');
  return end < 0 ? html + tag : html.slice(0, end) + tag + html.slice(end);
}

/**
 * As a file, and not as a third alternative: a program that shows the last alternative it understands (RFC 2046,
 * 5.1.4) would show an entry for the calendar in place of the warning.
 */
function calendarOf({ calendar, createdAt }: OutgoingMessage, organizer: Address): readonly Attachment[] {
  if (calendar === undefined) return [];
  const { method, content } = calendarFile(calendar, { createdAt, organizer });
  // The method in the header must be the one inside (RFC 6047, 2.4).
  const contentType = `text/calendar; charset=utf-8; method=${method}`;
  return [{ filename: 'work.ics', contentType, contentDisposition: 'attachment', content }];
}

function contentOf({ content }: Attachment): unknown {
  return Buffer.isBuffer(content) ? content.toString('base64') : content;
}

/** For the reader's filters and for programs; auto-generated keeps holiday replies away (RFC 3834, 5). */
export function headersOf(message: OutgoingMessage): Record<string, string> {
  const headers: Record<string, string> = {
    'Auto-Submitted': 'auto-generated',
    'X-Drainby-Kind': plainLine(message.kind),
    'X-Drainby-Unit': plainLine(message.unit),
    'X-Drainby-Action': plainLine(message.action),
    'X-Drainby-Cause': plainLine(message.cause),
  };
  if (message.partial === true) headers['X-Drainby-Partial'] = 'true';
  if (message.startBy !== null) headers['X-Drainby-Start-By'] = isoSecond(message.startBy);
  return headers;
}

/** A hash of all that lies between the boundaries: no text can contain its own. */
function boundaryOf(parts: readonly unknown[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex').slice(0, 32);
}
