import { readFileSync } from 'node:fs';

/** The program's version, from its package.json. */
export function readVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  const { version } = JSON.parse(text) as { version: string };
  return version;
}

/** Names the program to the weather services, as their terms ask. */
export function userAgent(): string {
  return `drainby/${readVersion()} (self-hosted freeze watch for parked trailers)`;
}
