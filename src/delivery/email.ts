import type { EmailConfig } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { Channel } from './channel.ts';
import { toAddress } from './address.ts';
import { composeMail } from './mime.ts';
import type { Address } from './address.ts';
import { smtpSender } from './smtp-sender.ts';
import type { MailOptions } from './smtp-sender.ts';

/**
 * E-mail over SMTP.
 *
 * @throws {DeliveryError} 'delivery-config' when the password or the sender's address cannot be used.
 */
export function openEmail(config: EmailConfig, options: MailOptions): Channel {
  const sender = smtpSender(config, options);
  const { onTrouble } = options;
  return {
    id: 'email',
    async send(message, signal) {
      const to = recipient(message);
      const head = { from: sender.from, to, ...(onTrouble === undefined ? {} : { onTrouble }) };
      await sender.send(await composeMail(message, head), to, signal);
    },
    async close() {
      // Every message had a connection of its own.
    },
  };
}

function recipient({ to }: OutgoingMessage): Address {
  if (to.email !== null) return toAddress(to.name, to.email);
  throw new DeliveryError('delivery-config', `There is no e-mail address for ${to.id}.`, {
    hint: `Give people.${to.id} an email, or another channel.`,
  });
}
