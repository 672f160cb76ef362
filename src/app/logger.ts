import { destination, pino } from 'pino';
import type { Log } from '../outbox/log.ts';

/** JSON lines on stderr, written before a crash can lose them. Secrets that stray into a log are cut out. */
export function createLogger(level: string): Log {
  const redact = ['password', 'apiKey', '*.password', '*.apiKey', 'headers.authorization'];
  return pino({ level, base: null, redact }, destination({ fd: 2, sync: true }));
}
