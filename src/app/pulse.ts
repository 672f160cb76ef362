/**
 * Whether the program itself moves, for a watchdog that would kill it: a weather service or a mail server that is out
 * must not. Times are monotonic, so that neither a clock set right nor a sleep of the machine looks like a standstill.
 */
import { dueBefore } from '../config/cron.ts';
import type { EpochSeconds } from '../quantity/instant.ts';

/** The largest lots take minutes where every service is slow. Engineering estimate. */
const LONGEST_ROUND_S = 1800;
/** The outbox looks once a minute, and one message may take as long as its lease. */
const OUTBOX_GRACE_S = 300;
const ROUND_GRACE_S = 900;

export interface PulseOf {
  readonly now: () => EpochSeconds;
  /** In milliseconds; never set. */
  readonly elapsedMs: () => number;
}

export class Pulse {
  readonly #of: PulseOf;
  #roundSince: number | null = null;
  #roundEnded: number;
  #outboxSeen: number;

  constructor(of: PulseOf) {
    this.#of = of;
    this.#roundEnded = of.elapsedMs();
    this.#outboxSeen = of.elapsedMs();
  }

  /** With the outbox's own clock: it asks for the time whenever it looks for a message. */
  readonly outboxClock = (): EpochSeconds => {
    this.#outboxSeen = this.#of.elapsedMs();
    return this.#of.now();
  };

  roundBegan(): void {
    this.#roundSince = this.#of.elapsedMs();
  }

  /** Well or not: a round that failed is moving, too. */
  roundEnded(): void {
    this.#roundSince = null;
    this.#roundEnded = this.#of.elapsedMs();
  }

  /** What stands still; null: nothing. */
  standstill({
    schedule,
    leaseSeconds,
  }: {
    readonly schedule: string;
    readonly leaseSeconds: number;
  }): string | null {
    if (this.#ago(this.#outboxSeen) > leaseSeconds + OUTBOX_GRACE_S) return 'The outbox stands still.';
    if (this.#roundSince !== null)
      return this.#ago(this.#roundSince) > LONGEST_ROUND_S ? 'A round does not end.' : null;
    const now = this.#of.now();
    const missed = dueBefore(schedule, now - ROUND_GRACE_S, 2);
    const endedAt = now - this.#ago(this.#roundEnded);
    return missed !== null && endedAt < missed ? 'No round begins.' : null;
  }

  #ago(at: number): number {
    return (this.#of.elapsedMs() - at) / 1000;
  }
}
