import { destination, pino } from 'pino';
import type { Log } from '../outbox/log.ts';

/** Lines that cannot be written, as to a full disk, are kept up to here and dropped beyond it. */
const LONGEST_BACKLOG_BYTES = 1024 * 1024;

/**
 * JSON lines on stderr, written before a crash can lose them. Secrets that stray into a log are cut out. A log that
 * cannot be written does not end the program: its messages matter more.
 */
export function createLogger(level: string): Log {
  const redact = ['password', 'apiKey', '*.password', '*.apiKey', 'headers.authorization'];
  const lines = destination({ fd: 2, sync: true, maxLength: LONGEST_BACKLOG_BYTES });
  lines.on('error', () => undefined);
  return pino({ level, base: null, redact }, lines);
}
