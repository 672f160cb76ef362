/** Where links lead, if they can lead anywhere. */
import { isIP } from 'node:net';
import type { WebConfig } from './config.ts';
import type { ParsedConfig } from './schema.ts';

export function deriveWeb(web: ParsedConfig['web']): WebConfig | null {
  if (web === undefined) return null;
  const { listen } = web;
  if (web.publicUrl !== undefined) return { listen, publicUrl: plainUrl(web.publicUrl) };
  const own = `http://${listen}`;
  return { listen, publicUrl: URL.canParse(own) && !isOnlyHere(own) ? plainUrl(own) : null };
}

/** As a browser writes it, so that blanks around it do not end up in the middle of a link. */
function plainUrl(text: string): string {
  const { origin, pathname } = new URL(text);
  return `${origin}${pathname}`.replace(/\/+$/u, '');
}

/**
 * Loopback (RFC 1122, 3.2.1.3; RFC 4291, 2.5.3; RFC 6761, 6.3) or unspecified: on the reader's device it is whatever
 * listens there, and that would be handed a valid link.
 */
export function isOnlyHere(url: string): boolean {
  // The URL standard writes 127.1 as 127.0.0.1, and 0 as 0.0.0.0.
  const host = new URL(url).hostname.replaceAll(/^\[|\]$|\.$/gu, '');
  if (isIP(host) === 0) return /(?:^|\.)localhost(?:\.localdomain)?$/u.test(host);
  return /^(?:127\.|0\.0\.0\.0$|::1?$|::ffff:7f[0-9a-f]{2}:|::ffff:0:0$)/u.test(host);
}
