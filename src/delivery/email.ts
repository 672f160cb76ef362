import { readFileSync } from 'node:fs';
import type { ConnectionOptions } from 'node:tls';
import addressparser from 'nodemailer/lib/addressparser';
import type { SMTPConnectionOptions } from 'nodemailer/lib/smtp-connection';
import type { EmailConfig } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { Channel } from './channel.ts';
import { composeMail, toAddress } from './mime.ts';
import type { Address } from './mime.ts';
import { smtpFailure } from './smtp-failure.ts';
import { openSession } from './smtp-session.ts';

export type Environment = Readonly<Record<string, string | undefined>>;

export interface EmailOptions {
  /** Where a password named by `password.env` is read. */
  readonly env: Environment;
  /** Further TLS settings, such as a private authority's certificate; absent: the system's authorities hold. */
  readonly tls?: ConnectionOptions;
  readonly timeouts?: Partial<Timeouts>;
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

/**
 * E-mail over SMTP. The password is read here, once; every message has a connection of its own.
 *
 * @throws {DeliveryError} 'delivery-config' when the password or the sender's address cannot be used.
 */
export function openEmail(config: EmailConfig, options: EmailOptions): Channel {
  const from = parseFrom(config.from);
  const timeouts = { ...TIMEOUTS, ...options.timeouts };
  const connection = connectionOptions(config, timeouts, options.tls);
  const password = readPassword(config, options.env);
  const auth = config.user === null ? null : { user: config.user, pass: password ?? '' };
  return {
    id: 'email',
    async send(message, signal) {
      const to = recipient(message);
      const raw = await composeMail(message, from, to);
      const envelope = { from: from.address, to: to.address };
      const takingMs = timeouts.taking;
      const session = openSession({ connection, auth, envelope, raw, signal, takingMs });
      try {
        await session.done;
      } catch (error) {
        throw smtpFailure(error, { ...config, handedOver: session.isHandedOver() });
      }
    },
    async close() {
      // Every message had a connection of its own.
    },
  };
}

/** The sender as the config writes it: `name@domain` or `Name <name@domain>`. */
export function parseFrom(from: string): Address {
  const [first, ...others] = addressparser(from, { flatten: true });
  if (first === undefined || others.length > 0) return toAddress('', from);
  return toAddress(first.name, first.address);
}

function recipient({ to }: OutgoingMessage): Address {
  if (to.email !== null) return toAddress(to.name, to.email);
  throw new DeliveryError('delivery-config', `There is no e-mail address for ${to.id}.`, {
    hint: `Give people.${to.id} an email, or another channel.`,
  });
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

function readPassword({ password }: EmailConfig, env: Environment): string | null {
  if (password === null) return null;
  const text = 'env' in password ? env[password.env] : readSecretFile(password.file);
  if (text !== undefined && text !== '') return text;
  const where = 'env' in password ? `The environment variable ${password.env}` : `The file ${password.file}`;
  throw new DeliveryError('delivery-config', `${where} holds no password for the mail server.`, {
    hint: 'Set it before the program starts, or take delivery.email.password out of the configuration.',
  });
}

/** Editors end a file with a line end that is not the password's. */
function readSecretFile(file: string): string {
  try {
    return readFileSync(file, 'utf8').replace(/\r?\n$/, '');
  } catch (error) {
    throw new DeliveryError('delivery-config', `The password file ${file} cannot be read.`, {
      hint: 'Check that it exists and that this user may read it.',
      cause: error,
    });
  }
}
