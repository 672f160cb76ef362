/** Rounds at start, on schedule, and again soon after one that failed. */
import { schedule, type ScheduledTask } from 'node-cron';
import type { Config } from '../config/config.ts';
import { StoreError } from '../errors.ts';
import type { Log } from '../outbox/log.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { Collector } from './collect.ts';
import type { Machinery } from './compose.ts';
import { messageOf } from './error-words.ts';
import type { Pulse } from './pulse.ts';
import { runRound } from './round.ts';
import { NO_TROUBLES, type Troubles } from './trouble.ts';

/** Too slow for a hot loop, too soon to lose a night by. */
const RETRY_MS = 300_000;

/** A clock is mostly set within a minute of the network being up. */
const CLOCK_RETRY_MS = 30_000;
const CLOCK_UNSET = 'The clock of this machine is not set: nothing is computed or said until it is.';
const CLOCK_HINT = 'Let NTP set it, and the program start after that: deploy/README.md, small boards.';

/** Before there was this program no clock that is right can stand. */
const EARLIEST = Date.UTC(2025, 0, 1) / 1000;

/** A small board without a clock of its own begins in 1970, or when it was last switched off. */
function isClockSet(now: EpochSeconds): boolean {
  return now >= EARLIEST;
}

interface RoundsOf {
  readonly now: () => EpochSeconds;
  readonly log: Log;
  readonly config: Config;
  readonly machinery: Machinery;
  readonly signal: AbortSignal;
  readonly wake: () => void;
  readonly pulse: Pulse;
  /** Called when a round has ended well. */
  readonly onEnded: () => void;
}

/** Runs rounds one at a time. A round that is due while one runs, or was slept through, makes one more run. */
export class Rounds {
  readonly #of: RoundsOf;
  readonly #collector: Collector;
  #running: Promise<void> | null = null;
  #again = false;
  #task: ScheduledTask | null = null;
  #retry: NodeJS.Timeout | null = null;
  #cooling: NodeJS.Timeout | null = null;
  #isAsked = false;
  #troubles: Troubles = NO_TROUBLES;

  constructor(of: RoundsOf) {
    this.#of = of;
    this.#collector = new Collector({ ...of, ...of.machinery });
  }

  start(): void {
    const { config, log } = this.#of;
    this.#task = schedule(config.schedule, () => this.#due(), { timezone: 'Etc/UTC' });
    this.#task.on('execution:missed', () => {
      log.warn({}, 'A scheduled round was missed, as after a sleep of the machine; it is run now.');
      this.#due();
    });
    log.info(
      { schedule: config.schedule, places: config.places.length, units: config.units.length },
      'Started.',
    );
    this.#due();
  }

  /** For one more round now; asked again within five minutes, at their end. */
  ask(): void {
    if (this.#of.signal.aborted) return;
    if (this.#cooling !== null) {
      this.#isAsked = true;
      return;
    }
    this.#cooling = setTimeout(() => {
      this.#cooling = null;
      if (!this.#isAsked) return;
      this.#isAsked = false;
      this.ask();
    }, RETRY_MS);
    this.#due();
  }

  /** For what cannot wait for the schedule, such as what somebody has just answered. */
  soon(): void {
    this.#due();
  }

  async ended(): Promise<void> {
    await this.#task?.destroy();
    if (this.#cooling !== null) clearTimeout(this.#cooling);
    if (this.#retry !== null) clearTimeout(this.#retry);
    await this.#running;
    await this.#collector.ended();
  }

  #due(): void {
    if (this.#of.signal.aborted) return;
    if (this.#running !== null) {
      this.#again = true;
      return;
    }
    this.#running = this.#run().finally(() => {
      this.#running = null;
    });
  }

  async #run(): Promise<void> {
    this.#of.pulse.roundBegan();
    await this.#once();
    this.#of.pulse.roundEnded();
    if (!this.#again || this.#of.signal.aborted) return;
    this.#again = false;
    await this.#run();
  }

  /** A round that fails is logged here, once, never ends the program, and does not wait for the schedule. */
  async #once(): Promise<void> {
    const { config, machinery, signal, now, log, wake, onEnded } = this.#of;
    const { store, sources, owner } = machinery;
    if (!isClockSet(now())) {
      log.error({ clock: isoSecond(now()), hint: CLOCK_HINT }, CLOCK_UNSET);
      this.#retry = setTimeout(() => this.#due(), CLOCK_RETRY_MS);
      return;
    }
    try {
      const before = this.#troubles;
      const round = { config, sources: sources.offered, store, owner, now, signal, log, before };
      const { troubles, evaluation } = await runRound(round);
      this.#troubles = troubles;
      wake();
      onEnded();
      await this.#collector.collect(evaluation);
    } catch (error) {
      if (signal.aborted && !(error instanceof StoreError)) return;
      log.error({ error: messageOf(error) }, 'The round failed; it is run again in five minutes.');
      if (!signal.aborted) this.#retry = setTimeout(() => this.#due(), RETRY_MS);
    }
  }
}
