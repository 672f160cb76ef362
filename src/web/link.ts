/** Links by which people answer: whoever holds one may give that answer, and nobody can make one without the key. */
import { createHmac, timingSafeEqual } from 'node:crypto';
import type { AnswerLink } from '../message/answer-links.ts';
import { DAY_S, type EpochSeconds } from '../quantity/instant.ts';
import { decodeStatement, encodeStatement, type Statement } from './statement.ts';

/** Where the pages are, below the public address. */
export const ANSWER_PATH = '/a/';

/** At the least: what was asked for can be done, and said, after the message itself has become old. */
const LASTS_S = 14 * DAY_S;

/** Of HMAC-SHA-256 (RFC 2104, FIPS 180-4), whole. */
const MAC_BYTES = 32;

/** What the key signs, so that it cannot be made to sign anything else. */
const PURPOSE = 'drainby answer link\0';

/** Longer ones were never made; they are not even read. */
const LONGEST_TOKEN = 1100;

export function sealStatement(statement: Statement, key: Uint8Array): string {
  const said = encodeStatement(statement);
  return Buffer.concat([said, macOf(said, key)]).toString('base64url');
}

export type Opened =
  | { readonly ok: true; readonly statement: Statement }
  /** `void`: forged, edited, cut off, or signed with a key that was replaced. */
  | { readonly ok: false; readonly why: 'void' }
  | { readonly ok: false; readonly why: 'expired'; readonly statement: Statement };

/** Takes as long for any wrong signature. */
export function openToken(token: string, key: Uint8Array, now: EpochSeconds): Opened {
  const bytes = bytesOf(token);
  if (bytes === null) return { ok: false, why: 'void' };
  const said = bytes.subarray(0, -MAC_BYTES);
  if (!timingSafeEqual(macOf(said, key), bytes.subarray(-MAC_BYTES))) return { ok: false, why: 'void' };
  const statement = decodeStatement(said);
  // One that is from the future was made here before the clock was put back: its reader did nothing wrong.
  if (statement === null) return { ok: false, why: 'void' };
  if (statement.expires <= now) return { ok: false, why: 'expired', statement };
  return { ok: true, statement };
}

/** Null for what was never made here: of each token there is one way to write it. */
function bytesOf(token: string): Buffer | null {
  if (token.length > LONGEST_TOKEN || !/^[\w-]+$/.test(token)) return null;
  const bytes = Buffer.from(token, 'base64url');
  return bytes.length > MAC_BYTES && bytes.toString('base64url') === token ? bytes : null;
}

function macOf(said: Uint8Array, key: Uint8Array): Buffer {
  return createHmac('sha256', key).update(PURPOSE).update(said).digest();
}

export interface LinksOf {
  readonly publicUrl: string;
  readonly key: Uint8Array;
}

/** Makes links at the time of sending, the same at every attempt. */
export function linksOf({ publicUrl, key }: LinksOf): AnswerLink {
  return (message, answer) => {
    const { unit, to, useBefore = 0, episode = '' } = message;
    const issued = Math.floor(message.createdAt);
    const expires = Math.max(issued + LASTS_S, useBefore);
    const statement = { unit, person: to.id, episode, answer, issued, expires };
    return `${publicUrl}${ANSWER_PATH}${sealStatement(statement, key)}`;
  };
}
