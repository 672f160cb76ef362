/** What the commands take from the process around them. */
import type { Surroundings } from '../app/compose.ts';
import { emptyStore } from '../app/store-care.ts';
import type { Config } from '../config/config.ts';
import { UsageError, type ExitCode } from '../errors.ts';
import { parseInstant, type EpochSeconds } from '../quantity/instant.ts';
import { complain, print } from './output.ts';

export interface Io extends Surroundings {
  /** Answers. @throws OutputError */
  readonly write: (text: string) => void;
  /** Complaints. */
  readonly complain: (text: string) => void;
  readonly now: () => EpochSeconds;
}

/** A command does its work and says how it ended. */
export type Finish = (exit: ExitCode) => void;

export function processIo(): Io {
  return { env: process.env, write: print, complain, now: () => Math.floor(Date.now() / 1000) };
}

/** A database that was cut off to nothing must not pass for one that was never written. */
export function complainIfEmpty(io: Io, config: Config): void {
  const words = emptyStore(config);
  if (words !== null) io.complain(`${words}\n`);
}

export function writeJson(io: Io, value: unknown): void {
  io.write(`${JSON.stringify(value, null, 2)}\n`);
}

/** For options that take an instant. @throws UsageError */
export function instantOption(text: string): EpochSeconds {
  const instant = parseInstant(text);
  if (instant !== null) return instant;
  throw new UsageError(
    `"${text}" is no instant. Write it like 2026-11-25T08:30:00Z or 2026-11-25T01:30:00-07:00.`,
  );
}

/** The user or the system ended a command that was at work. */
export class Interruption extends Error {
  override readonly name = 'Interruption';
  constructor() {
    super('Interrupted.');
  }
}

/** Aborted by Ctrl-C or a request to stop; for commands that only look. */
export function stopSignal(): AbortSignal {
  const stop = new AbortController();
  const abort = (): void => stop.abort(new Interruption());
  process.once('SIGINT', abort);
  process.once('SIGTERM', abort);
  return stop.signal;
}
