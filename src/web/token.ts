/** The secret that whoever posts readings must know. */
import { createHash, timingSafeEqual } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { ConfigError } from '../errors.ts';

/** Where the token is: an environment variable, or the first line of a file. */
export type TokenSource = { readonly env: string } | { readonly file: string };

/** Shorter ones can be guessed by trying. */
const SHORTEST = 16;

/** What a header can carry without being cut or folded: RFC 6750, 2.1, `b64token`. */
const TOKEN = /^[A-Za-z0-9\-._~+/]+=*$/;

/** @throws ConfigError when it is missing, too short or holds what a header cannot carry. The token is never shown. */
export function readToken(source: TokenSource, env: Readonly<Record<string, string | undefined>>): string {
  const where = 'env' in source ? `the environment variable ${source.env}` : `the file ${source.file}`;
  const token = ('env' in source ? (env[source.env] ?? '') : firstLine(source.file)).trim();
  const wrong = token === '' ? 'is empty or not there' : mistakeIn(token);
  if (wrong === null) return token;
  throw new ConfigError('config-invalid', [`The web token in ${where} ${wrong}.`], {
    hint: 'Make one with "openssl rand -hex 32".',
  });
}

/** Whether an `Authorization` header carries the token; takes as long for any other. */
export function tokenGuard(token: string): (authorization: string | undefined) => boolean {
  const expected = digest(token);
  return (authorization) => {
    const [, given = ''] = /^Bearer +(\S+)\s*$/i.exec(authorization ?? '') ?? [];
    return timingSafeEqual(digest(given), expected);
  };
}

function mistakeIn(token: string): string | null {
  if (token.length < SHORTEST) return `is shorter than ${SHORTEST} characters`;
  return TOKEN.test(token) ? null : 'may hold letters, digits and -._~+/ only';
}

/** Of one length for tokens of any length. */
function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}

function firstLine(file: string): string {
  try {
    return readFileSync(file, 'utf8').split('\n')[0] ?? '';
  } catch (cause) {
    const reason = cause instanceof Error ? cause.message : String(cause);
    throw new ConfigError('config-unreadable', [`The web token's file ${file} cannot be read: ${reason}.`], {
      cause,
    });
  }
}
