import { readFileSync } from 'node:fs';
import type { ConnectionOptions } from 'node:tls';
import { createTransport } from 'nodemailer';
import type { SMTPTransportOptions } from 'nodemailer';
import addressparser from 'nodemailer/lib/addressparser';
import type { EmailConfig } from '../config/config.ts';
import { DeliveryError } from '../errors.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { Channel } from './channel.ts';
import { composeMail, toAddress } from './mime.ts';
import type { Address } from './mime.ts';
import { smtpFailure } from './smtp-failure.ts';

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
  /** Silence on an open connection. */
  readonly silence: number;
}

const TIMEOUTS: Timeouts = { connection: 10_000, greeting: 10_000, silence: 20_000 };

/**
 * E-mail over SMTP. The password is read here, once; every message has a connection of its own.
 *
 * @throws {DeliveryError} 'delivery-config' when the password or the sender's address cannot be used.
 */
export function openEmail(config: EmailConfig, options: EmailOptions): Channel {
  const from = parseFrom(config.from);
  const transport = createTransport(transportOptions(config, options));
  return {
    id: 'email',
    async send(message, signal) {
      const to = recipient(message);
      const raw = await composeMail(message, from, to);
      try {
        await transport.sendMail({ raw, envelope: { from: from.address, to: to.address }, signal });
      } catch (error) {
        throw smtpFailure(error, config);
      }
    },
    async close() {
      transport.close();
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

function transportOptions(config: EmailConfig, { env, tls, timeouts }: EmailOptions): SMTPTransportOptions {
  const { connection, greeting, silence } = { ...TIMEOUTS, ...timeouts };
  const password = readPassword(config, env);
  return {
    host: config.host,
    port: config.port,
    secure: config.security === 'tls',
    requireTLS: config.security === 'starttls',
    ignoreTLS: config.security === 'none',
    connectionTimeout: connection,
    greetingTimeout: greeting,
    socketTimeout: silence,
    dnsTimeout: connection,
    disableFileAccess: true,
    disableUrlAccess: true,
    // Log in even where the server does not offer it: better a clear refusal than mail sent as nobody.
    forceAuth: true,
    ...(config.user === null ? {} : { auth: { user: config.user, pass: password ?? '' } }),
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
