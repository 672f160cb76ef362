import { createHash } from 'node:crypto';
import MailComposer from 'nodemailer/lib/mail-composer';
import type { MailComposerOptions } from 'nodemailer/lib/mail-composer';
import { DeliveryError } from '../errors.ts';
import type { OutgoingMessage } from '../message/message.ts';
import { isoSecond } from '../quantity/instant.ts';
import { plainLine } from './plain-line.ts';

/** One mailbox, kept in two parts so that neither can pass for more than one. */
export interface Address {
  readonly name: string;
  readonly address: string;
}

/** One address and nothing else: no list, no group, no comment, no second line. */
const ADDRESS = /^[^\s<>()[\]\\,;:"@\p{Cc}]+@[^\s<>()\\,;"@\p{Cc}]+$/u;

/**
 * The message as MIME (RFC 5322, RFC 2046) with text and HTML as alternatives: the same bytes for the same
 * message, whatever the channel and the attempt.
 */
export async function composeMail(message: OutgoingMessage, from: Address, to: Address): Promise<Buffer> {
  return await new MailComposer(composerOptions(message, from, to)).compile().build();
}

/** @throws {DeliveryError} permanent, when it is not one plain address. */
export function toAddress(name: string, address: string): Address {
  if (!ADDRESS.test(address)) {
    throw new DeliveryError('delivery-config', `"${plainLine(address)}" is not one e-mail address.`, {
      hint: 'Write it as name@domain, without brackets, commas or spaces.',
    });
  }
  return { name: plainLine(name), address };
}

function composerOptions(message: OutgoingMessage, from: Address, to: Address): MailComposerOptions {
  return {
    from: { ...from },
    to: { ...to },
    messageId: plainLine(message.messageId),
    date: new Date(message.createdAt * 1000),
    subject: plainLine(message.subject),
    headers: headersOf(message),
    text: message.text,
    html: message.html,
    baseBoundary: boundaryOf(message),
    newline: 'windows',
    disableFileAccess: true,
    disableUrlAccess: true,
  };
}

/** For the reader's filters and for programs; auto-generated keeps holiday replies away (RFC 3834, 5). */
function headersOf(message: OutgoingMessage): Record<string, string> {
  const headers: Record<string, string> = {
    'Auto-Submitted': 'auto-generated',
    'X-Drainby-Kind': plainLine(message.kind),
    'X-Drainby-Unit': plainLine(message.unit),
    'X-Drainby-Action': plainLine(message.action),
    'X-Drainby-Cause': plainLine(message.cause),
  };
  if (message.startBy !== null) headers['X-Drainby-Start-By'] = isoSecond(message.startBy);
  return headers;
}

/** A hash of all that lies between the boundaries: no text can contain its own. */
function boundaryOf({ messageId, text, html }: OutgoingMessage): string {
  return createHash('sha256')
    .update(JSON.stringify([messageId, text, html]))
    .digest('hex')
    .slice(0, 32);
}
