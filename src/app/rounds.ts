/** Rounds at start, on schedule, and again soon after one that failed. */
import { schedule, type ScheduledTask } from 'node-cron';
import type { Config } from '../config/config.ts';
import { StoreError } from '../errors.ts';
import type { Log } from '../outbox/log.ts';
import { isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { Collector } from './collect.ts';
import type { Machinery } from './compose.ts';
import { messageOf } from './error-words.ts';
import type { KeptForecasts } from './kept-forecasts.ts';
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
  #forecasts: KeptForecasts = new Map();
  /** The next round asks the weather services anew. */
  #isAnew = true;

  constructor(of: RoundsOf) {
    this.#of = of;
    this.#collector = new Collector({ ...of, ...of.machinery });
  }

  start(): void {
    const { config, log } = this.#of;
    this.#task = schedule(config.schedule, () => this.#scheduled(), { timezone: 'Etc/UTC' });
    this.#task.on('execution:missed', () => {
      log.warn({}, 'A scheduled round was missed, as after a sleep of the machine; it is run now.');
      this.#scheduled();
    });
    log.info(
      { schedule: config.schedule, places: config.places.length, units: config.units.length },
      'Started.',
    );
    this.#scheduled();
  }

  /**
   * For what does not wait for the schedule, such as what somebody has just answered: one more round now; asked again
   * within five minutes, at their end. It computes from what the weather services have just said.
   */
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

  async ended(): Promise<void> {
    await this.#task?.destroy();
    if (this.#cooling !== null) clearTimeout(this.#cooling);
    this.#stopRetry();
    await this.#running;
    await this.#collector.ended();
  }

  #scheduled(): void {
    this.#isAnew = true;
    this.#due();
  }

  /** One at a time: a round that fails between two tries puts the next off, and makes no second one. */
  #retryAfter(ms: number): void {
    this.#stopRetry();
    if (this.#of.signal.aborted) return;
    this.#retry = setTimeout(() => this.#scheduled(), ms);
  }

  #stopRetry(): void {
    if (this.#retry !== null) clearTimeout(this.#retry);
    this.#retry = null;
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
      this.#retryAfter(CLOCK_RETRY_MS);
      return;
    }
    try {
      const before = this.#troubles;
      // What is asked for anew is not held twice meanwhile: of many places it is large.
      if (this.#isAnew) this.#forecasts = new Map();
      this.#isAnew = false;
      const kept = this.#forecasts;
      const round = { config, sources: sources.offered, store, owner, now, signal, log, before, kept };
      const { troubles, evaluation, forecasts } = await runRound(round);
      this.#stopRetry();
      this.#troubles = troubles;
      this.#forecasts = forecasts;
      wake();
      onEnded();
      await this.#collector.collect(evaluation);
    } catch (error) {
      if (signal.aborted && !(error instanceof StoreError)) return;
      log.error({ error: messageOf(error) }, 'The round failed; it is run again in five minutes.');
      this.#retryAfter(RETRY_MS);
    }
  }
}
