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
  /** The command that was answered; 'API': the library itself refused. */
  readonly command?: string;
}

/** What was going on when it failed. */
export interface Circumstances extends Server {
  /** The server had the whole message, up to its end, and has not answered. */
  readonly handedOver: boolean;
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
 */
export function smtpFailure(error: unknown, { handedOver, ...server }: Circumstances): DeliveryError {
  const failure: SmtpError = error instanceof Error ? error : new Error(String(error));
  const where = `The mail server ${server.host}:${server.port}`;
  if (handedOver && failure.responseCode === undefined) return unsure(where, failure);
  if (isLogin(failure)) return refusedLogin(where, failure);
  if (isAboutTheMessage(failure)) return refusedMessage(where, failure);
  if (isSecurity(failure)) return untrusted(where, failure);
  if (failure.command === 'API' && (failure.code === 'EENVELOPE' || failure.code === 'EMESSAGE')) {
    return new DeliveryError('delivery-config', `The message cannot be sent as it is: ${failure.message}.`, {
      hint: 'Check the addresses of the sender and of the person.',
      cause: failure,
    });
  }
  return unavailable(where, failure);
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

function unsure(where: string, cause: SmtpError): DeliveryError {
  return new DeliveryError(
    'delivery-unsure',
    `${where} has the message and did not say whether it takes it: ${cause.message}.`,
    {
      retryable: true,
      hint: 'Ask the person whether it arrived; if this happens again, look into the log of the mail server.',
      cause,
    },
  );
}

function refusedLogin(where: string, cause: SmtpError): DeliveryError {
  return new DeliveryError('delivery-refused', `${where} refused the login: ${cause.message}.`, {
    retryable: true,
    hint: 'Check delivery.email.user and the password; after a change start the program again.',
    cause,
  });
}

function refusedMessage(where: string, cause: SmtpError): DeliveryError {
  return new DeliveryError('delivery-refused', `${where} refused the message: ${cause.message}.`, {
    hint: 'Check the address of the person and whether the server sends for this sender.',
    cause,
  });
}

function untrusted(where: string, cause: SmtpError): DeliveryError {
  return new DeliveryError(
    'delivery-unreachable',
    `${where} offers no trusted encryption: ${cause.message}.`,
    {
      retryable: true,
      hint: 'Check delivery.email.security, the port and the certificate of the server.',
      cause,
    },
  );
}

function unavailable(where: string, cause: SmtpError): DeliveryError {
  const answered = cause.responseCode !== undefined;
  const what = answered ? 'did not take the message now' : 'gave no answer';
  return new DeliveryError('delivery-unreachable', `${where} ${what}: ${cause.message}.`, {
    retryable: true,
    hint: 'Check delivery.email.host and port, and that the server runs.',
    cause,
  });
}
