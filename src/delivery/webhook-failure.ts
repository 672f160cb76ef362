import { DeliveryError } from '../errors.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/** An answer, as far as anything hangs on it. */
export interface Answer {
  readonly status: number;
  /** `Retry-After` as it came; null: there is none. */
  readonly retryAfter: string | null;
}

/** A receiver may ask for patience, but not for so much that a warning comes too late. */
const LONGEST_WAIT_S = 3600;

/** Answers that mean "later": RFC 9110, 15.5.9; RFC 8470, 5.2; RFC 6585, 4. */
const LATER: readonly number[] = [408, 425, 429];

/**
 * What an answer other than "taken" means, decided here and once. The address is said by its host only: its path
 * may hold a secret.
 */
export function answerFailure(
  { status, retryAfter }: Answer,
  host: string,
  now: EpochSeconds,
): DeliveryError {
  const where = `The webhook at ${host}`;
  if (status >= 300 && status < 400) {
    return new DeliveryError('delivery-refused', `${where} redirects elsewhere (${status}).`, {
      hint: 'Messages do not follow: give the address itself in delivery.webhook.url.',
    });
  }
  if (status >= 500 || LATER.includes(status)) {
    const retryAfterS = waitSeconds(retryAfter, now);
    return new DeliveryError('delivery-unreachable', `${where} cannot take the message now (${status}).`, {
      retryable: true,
      hint: 'Look into the log of the receiver.',
      ...(retryAfterS === null ? {} : { retryAfterS }),
    });
  }
  return new DeliveryError('delivery-refused', `${where} refused the message (${status}).`, {
    hint: 'Check delivery.webhook.url and its secret, and look into the log of the receiver.',
  });
}

/** Seconds or an HTTP date (RFC 9110, 10.2.3); null: neither. */
function waitSeconds(text: string | null, now: EpochSeconds): number | null {
  const asked = text?.trim() ?? '';
  const isDate = asked.endsWith('GMT') && !Number.isNaN(Date.parse(asked));
  if (!isDate && !/^\d{1,9}$/.test(asked)) return null;
  const seconds = isDate ? Date.parse(asked) / 1000 - now : Number(asked);
  return Math.min(Math.max(seconds, 0), LONGEST_WAIT_S);
}

/**
 * No answer. It may have been taken all the same, and is sent again: the receiver knows it by its id. What the
 * library says may hold the address, so only its code is passed on.
 */
export function silenceFailure(error: unknown, host: string): DeliveryError {
  const code = codeOf(error);
  const where = `The webhook at ${host}`;
  if (code === 'EPRIVATE') return privateAddress(host);
  if (/CERT|^ERR_TLS|SSL|SELF_SIGNED/.test(code)) {
    return new DeliveryError('delivery-unreachable', `${where} offers no trusted encryption (${code}).`, {
      retryable: true,
      hint: 'Check the certificate of the receiver.',
    });
  }
  return new DeliveryError('delivery-unreachable', `${where} gave no answer (${code}).`, {
    retryable: true,
    hint: 'Check delivery.webhook.url, and that the receiver runs.',
  });
}

export function privateAddress(host: string): DeliveryError {
  return new DeliveryError('delivery-config', `The webhook at ${host} lies in a private network.`, {
    hint: 'If it is your own, set delivery.webhook.allowPrivate to true.',
  });
}

/** Of the error, of what caused it, or of the first of several. */
function codeOf(error: unknown): string {
  if (typeof error !== 'object' || error === null) return 'unknown';
  const { code, cause, errors, name } = error as Partial<Record<string, unknown>>;
  if (typeof code === 'string') return code;
  if (cause !== undefined) return codeOf(cause);
  if (Array.isArray(errors) && errors.length > 0) return codeOf(errors[0]);
  return typeof name === 'string' ? name : 'unknown';
}
