/** What e-mail and text messages share: the mail server, its login, and one conversation for each mail. */
import type { ConnectionOptions } from 'node:tls';
import addressparser from 'nodemailer/lib/addressparser';
import type { SMTPConnectionOptions } from 'nodemailer/lib/smtp-connection';
import type { EmailConfig } from '../config/config.ts';
import { toAddress } from './address.ts';
import type { Address } from './address.ts';
import type { OnTrouble } from './channel.ts';
import { readSecret } from './secret.ts';
import type { Environment } from './secret.ts';
import { smtpFailure } from './smtp-failure.ts';
import { openSession } from './smtp-session.ts';

export interface MailOptions {
  /** Where a password named by `password.env` is read. */
  readonly env: Environment;
  /** Further TLS settings, such as a private authority's certificate; absent: the system's authorities hold. */
  readonly tls?: ConnectionOptions;
  readonly timeouts?: Partial<Timeouts>;
  readonly onTrouble?: OnTrouble;
}

/** In milliseconds. */
export interface Timeouts {
  readonly connection: number;
  readonly greeting: number;
  /** From the start until the server has the whole message: until then another attempt costs nothing. */
  readonly taking: number;
  /** Silence on an open connection, and so the wait for the verdict on the whole message. */
  readonly silence: number;
}

/**
 * A server may take its time to look into a message before it says that it has it; one that is given up early
 * gets the message again, and the reader every copy. RFC 5321, 4.5.3.2.6, asks for 10 minutes.
 */
const TIMEOUTS: Timeouts = { connection: 10_000, greeting: 10_000, taking: 60_000, silence: 600_000 };

export interface SmtpSender {
  readonly from: Address;
  /** @throws {DeliveryError} */
  send(raw: Buffer, to: Address, signal: AbortSignal): Promise<void>;
}

/**
 * The password is read here, once; every mail has a connection of its own.
 *
 * @throws {DeliveryError} 'delivery-config' when the password or the sender's address cannot be used.
 */
export function smtpSender(config: EmailConfig, options: MailOptions): SmtpSender {
  const from = parseFrom(config.from);
  const timeouts = { ...TIMEOUTS, ...options.timeouts };
  const connection = connectionOptions(config, timeouts, options.tls);
  const password = readSecret(config.password, options.env, PASSWORD);
  const auth = config.user === null ? null : { user: config.user, pass: password ?? '' };
  return {
    from,
    async send(raw, to, signal) {
      const envelope = { from: from.address, to: to.address };
      const takingMs = timeouts.taking;
      const session = openSession({ connection, auth, envelope, raw, signal, takingMs });
      try {
        await session.done;
      } catch (error) {
        throw smtpFailure(error, { ...config, handedOver: session.isHandedOver(), login: auth });
      }
    },
  };
}

const PASSWORD = { what: 'password for the mail server', key: 'delivery.email.password' };

/** The sender as the config writes it: `name@domain` or `Name <name@domain>`. */
export function parseFrom(from: string): Address {
  const [first, ...others] = addressparser(from, { flatten: true });
  if (first === undefined || others.length > 0) return toAddress('', from);
  return toAddress(first.name, first.address);
}

function connectionOptions(
  { host, port, security }: EmailConfig,
  { connection, greeting, silence }: Timeouts,
  tls: ConnectionOptions | undefined,
): SMTPConnectionOptions {
  return {
    host,
    port,
    secure: security === 'tls',
    requireTLS: security === 'starttls',
    ignoreTLS: security === 'none',
    connectionTimeout: connection,
    greetingTimeout: greeting,
    socketTimeout: silence,
    dnsTimeout: connection,
    ...(tls === undefined ? {} : { tls }),
  };
}
