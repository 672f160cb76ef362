import type { EmailConfig } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { Channel } from './channel.ts';
import { toAddress } from './address.ts';
import { headersOf } from './mime.ts';
import type { Address } from './address.ts';
import { plainLine } from './plain-line.ts';
import { cutLine, sevenBitLine } from './seven-bit.ts';
import { smtpSender } from './smtp-sender.ts';
import type { MailOptions } from './smtp-sender.ts';

/** What one text message holds (3GPP TS 23.040: 140 octets of 7-bit characters). */
export const TEXT_MESSAGE_LENGTH = 160;

/**
 * Text messages, by a gateway that makes one of each mail it gets, over the same mail server as e-mail.
 *
 * @throws {DeliveryError} 'delivery-config' when the password or the sender's address cannot be used.
 */
export function openTextGateway(config: EmailConfig, options: MailOptions): Channel {
  const sender = smtpSender(config, options);
  return {
    id: 'text',
    async send(message, signal) {
      const to = recipient(message);
      await sender.send(composeTextMail(message, sender.from, to), to, signal);
    },
    async close() {
      // Every message had a connection of its own.
    },
  };
}

function recipient({ to }: OutgoingMessage): Address {
  if (typeof to.text === 'string') return toAddress('', to.text);
  throw new DeliveryError('delivery-config', `There is no address of a text-message gateway for ${to.id}.`, {
    hint: `Give people.${to.id} a text address, or another channel.`,
  });
}

/**
 * The smallest mail there is. No subject, which gateways put before the body and count; no name of the sender, no
 * second part, no soft line breaks, which some pass on as they are. Common practice, no source.
 */
function composeTextMail(message: OutgoingMessage, from: Address, to: Address): Buffer {
  const headers: Record<string, string> = {
    From: from.address,
    To: to.address,
    'Message-ID': plainLine(message.messageId),
    Date: mailDate(message.createdAt),
    ...headersOf(message),
    'MIME-Version': '1.0',
    'Content-Type': 'text/plain; charset=us-ascii',
    'Content-Transfer-Encoding': '7bit',
  };
  const lines = Object.entries(headers).map(([name, value]) => `${name}: ${sevenBitLine(value)}`);
  return Buffer.from(`${lines.join('\r\n')}\r\n\r\n${shortOf(message)}\r\n`, 'ascii');
}

/** The subject says what to do and by when, where a message was made without a short form. */
function shortOf({ short, subject }: OutgoingMessage): string {
  return cutLine(sevenBitLine(short ?? subject), TEXT_MESSAGE_LENGTH);
}

/** As RFC 5322, 3.3, wants it. */
function mailDate(at: number): string {
  return new Date(at * 1000).toUTCString().replace('GMT', '+0000');
}
