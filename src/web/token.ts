/** The secret that whoever posts readings must know. */
import { createHash, timingSafeEqual } from 'node:crypto';

/** Shorter ones can be guessed by trying. */
const SHORTEST = 16;

/** What a header can carry without being cut or folded: RFC 6750, 2.1, `b64token`. */
const TOKEN = /^[A-Za-z0-9\-._~+/]+=*$/;

/** Why it is none to rely on; null: it is one. */
export function tokenWeakness(token: string): string | null {
  if (token.length < SHORTEST) return `is shorter than ${SHORTEST} characters`;
  return TOKEN.test(token) ? null : 'may hold letters, digits and -._~+/ only';
}

/** Whether an `Authorization` header carries the token; takes as long for any other. */
export function tokenGuard(token: string): (authorization: string | undefined) => boolean {
  const expected = digest(token);
  return (authorization) => {
    const [, given = ''] = /^Bearer +(\S+)\s*$/i.exec(authorization ?? '') ?? [];
    return timingSafeEqual(digest(given), expected);
  };
}

/** Of one length for tokens of any length. */
function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}
