import { DeliveryError } from '../errors.ts';

export interface Server {
  readonly host: string;
  readonly port: number;
}

/** What the mail library tells of a failure. */
interface SmtpError extends Error {
  readonly code?: string;
  /** The server's answer, 400 to 599; absent: it gave none. */
  readonly responseCode?: number;
  /** That answer as it came. */
  readonly response?: string;
  /** The command that was answered; 'API': the library itself refused. */
  readonly command?: string;
}

/** What was going on when it failed. */
export interface Circumstances extends Server {
  /** The server had the whole message, up to its end, and has not answered. */
  readonly handedOver: boolean;
  /** What the server was given for the login and may repeat; null: nothing. */
  readonly login: Login | null;
}

interface Login {
  readonly user: string;
  readonly pass: string;
}

/** Answers that mean "log in first" or "not with these credentials" (RFC 4954, 6). */
const LOGIN_CODES: readonly number[] = [530, 534, 535, 538];

/** The only commands whose refusal is about this message; before them it is about the server or the login. */
const ABOUT_THE_MESSAGE = /^(MAIL FROM|RCPT TO|DATA)/;

/**
 * Decides, here and once, whether another attempt can help. A refusal of the message (5xx) is permanent. No
 * answer, a "later" (4xx), and what the operator can mend before the message's time runs out (a wrong
 * password, a certificate that is not trusted, a server that is not ready) are tried again. Silence after the
 * whole message is a case of its own: it may have been taken, and another attempt may be another copy.
 *
 * What it says is logged and stored, so the password is cut out of it, and the library's error is not passed on.
 */
export function smtpFailure(error: unknown, { handedOver, login, ...server }: Circumstances): DeliveryError {
  const said: SmtpError = error instanceof Error ? error : new Error(String(error));
  const failure = withoutPassword(said, login);
  const where = `The mail server ${server.host}:${server.port}`;
  if (handedOver && failure.responseCode === undefined) return unsure(where, failure);
  if (isLogin(failure)) return refusedLogin(where, failure);
  if (isAboutTheMessage(failure)) return refusedMessage(where, failure);
  if (isSecurity(failure)) return untrusted(where, failure);
  if (failure.command === 'API' && (failure.code === 'EENVELOPE' || failure.code === 'EMESSAGE')) {
    return new DeliveryError('delivery-config', `The message cannot be sent as it is: ${failure.message}.`, {
      hint: 'Check the addresses of the sender and of the person.',
    });
  }
  return unavailable(where, failure);
}

/** As far as anything hangs on it. */
function withoutPassword(error: SmtpError, login: Login | null): SmtpError {
  const { code, command, responseCode, response, message } = error;
  const cut = (text: string): string => formsOf(login).reduce(cutOut, text);
  return {
    name: error.name,
    message: cut(message),
    ...(code === undefined ? {} : { code }),
    ...(command === undefined ? {} : { command }),
    ...(responseCode === undefined ? {} : { responseCode }),
    ...(response === undefined ? {} : { response: cut(response) }),
  };
}

/** As AUTH PLAIN (RFC 4616, 2) and LOGIN send it, without the padding, which a server may leave out, and as it is. */
function formsOf(login: Login | null): readonly string[] {
  if (login === null || login.pass === '') return [];
  const { user, pass } = login;
  const coded = [`\0${user}\0${pass}`, `${user}\0${user}\0${pass}`, pass].map((text) =>
    Buffer.from(text, 'utf8').toString('base64').replaceAll('=', ''),
  );
  return [...coded, pass];
}

function cutOut(text: string, secret: string): string {
  const literal = secret.replaceAll(/[^\w\s]/g, '\\$&');
  return text.replaceAll(new RegExp(`${literal}=*`, 'gi'), '[…]');
}

function isLogin({ code, responseCode }: SmtpError): boolean {
  return code === 'EAUTH' || code === 'ENOAUTH' || LOGIN_CODES.includes(responseCode ?? 0);
}

function isAboutTheMessage({ command, responseCode }: SmtpError): boolean {
  return (responseCode ?? 0) >= 500 && ABOUT_THE_MESSAGE.test(command ?? '');
}

function isSecurity({ code, message }: SmtpError): boolean {
  return code === 'ETLS' || /certificate|\bSSL\b|\bTLS\b/i.test(message);
}

function unsure(where: string, failure: SmtpError): DeliveryError {
  return new DeliveryError(
    'delivery-unsure',
    `${where} has the message and did not say whether it takes it: ${failure.message}.`,
    {
      retryable: true,
      hint: 'Ask the person whether it arrived; if this happens again, look into the log of the mail server.',
    },
  );
}

/** Of an answer to a login only its two codes (RFC 3463): a server may repeat the password in any form. */
function reasonOf({ message, response }: SmtpError): string {
  if (response === undefined) return `: ${message}`;
  const [, code = '', status] = /^(\d{3})(?:[ -](\d\.\d{1,3}\.\d{1,3})(?!\S))?/.exec(response) ?? [];
  return ` (${status === undefined ? code : `${code} ${status}`})`;
}

function refusedLogin(where: string, failure: SmtpError): DeliveryError {
  return new DeliveryError('delivery-refused', `${where} refused the login${reasonOf(failure)}.`, {
    retryable: true,
    hint: 'Check delivery.email.user and the password; after a change start the program again.',
  });
}

function refusedMessage(where: string, failure: SmtpError): DeliveryError {
  return new DeliveryError('delivery-refused', `${where} refused the message: ${failure.message}.`, {
    hint: 'Check the address of the person and whether the server sends for this sender.',
  });
}

function untrusted(where: string, failure: SmtpError): DeliveryError {
  return new DeliveryError(
    'delivery-unreachable',
    `${where} offers no trusted encryption: ${failure.message}.`,
    {
      retryable: true,
      hint: 'Check delivery.email.security, the port and the certificate of the server.',
    },
  );
}

function unavailable(where: string, failure: SmtpError): DeliveryError {
  const answered = failure.responseCode !== undefined;
  const what = answered ? 'did not take the message now' : 'gave no answer';
  return new DeliveryError('delivery-unreachable', `${where} ${what}: ${failure.message}.`, {
    retryable: true,
    hint: 'Check delivery.email.host and port, and that the server runs.',
  });
}
