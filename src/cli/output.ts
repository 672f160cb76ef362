/** What the program prints. A write has happened, or has failed, when the call is over. */
import { writeSync } from 'node:fs';

const STDOUT = 1;
const STDERR = 2;
/** How long a reader that is behind is waited for at a time. */
const PAUSE_MS = 10;

/** Nobody takes what is written to stdout. */
export class OutputError extends Error {
  override readonly name = 'OutputError';
  /** The reader went away, as `head` does once it has seen enough: no failure of anybody. */
  readonly closed: boolean;
  constructor(cause: unknown) {
    super(`Nothing can be written to stdout: ${messageOf(cause)}.`, { cause });
    this.closed = codeOf(cause) === 'EPIPE';
  }
}

/** @throws OutputError: a message that was not printed must not count as told. */
export function print(text: string): void {
  try {
    writeAll(STDOUT, text);
  } catch (cause) {
    throw new OutputError(cause);
  }
}

/** Complaints that nobody can hear are dropped: they must not end the program. */
export function complain(text: string): void {
  try {
    writeAll(STDERR, text);
  } catch {
    // There is nowhere left to say so.
  }
}

function writeAll(descriptor: number, text: string): void {
  let rest = Buffer.from(text);
  while (rest.length > 0) rest = rest.subarray(writeSome(descriptor, rest));
}

function writeSome(descriptor: number, bytes: Buffer): number {
  try {
    return writeSync(descriptor, bytes);
  } catch (error) {
    if (codeOf(error) !== 'EAGAIN') throw error;
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, PAUSE_MS);
    return 0;
  }
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : '';
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
