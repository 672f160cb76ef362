/** Rounds at start, on schedule, and again soon after one that failed. */
import { schedule, type ScheduledTask } from 'node-cron';
import type { Config } from '../config/config.ts';
import { StoreError } from '../errors.ts';
import type { Log } from '../outbox/log.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { Collector } from './collect.ts';
import type { Machinery } from './compose.ts';
import { messageOf } from './error-words.ts';
import { runRound } from './round.ts';
import { NO_TROUBLES, type Troubles } from './trouble.ts';

/** Too slow for a hot loop, too soon to lose a night by. */
const RETRY_MS = 300_000;

interface RoundsOf {
  readonly now: () => EpochSeconds;
  readonly log: Log;
  readonly config: Config;
  readonly machinery: Machinery;
  readonly signal: AbortSignal;
  readonly wake: () => void;
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
    await this.#once();
    if (!this.#again || this.#of.signal.aborted) return;
    this.#again = false;
    await this.#run();
  }

  /** A round that fails is logged here, once, never ends the program, and does not wait for the schedule. */
  async #once(): Promise<void> {
    const { config, machinery, signal, now, log, wake } = this.#of;
    const { store, sources, owner } = machinery;
    try {
      const before = this.#troubles;
      const round = { config, sources: sources.offered, store, owner, now, signal, log, before };
      const { troubles, evaluation } = await runRound(round);
      this.#troubles = troubles;
      wake();
      await this.#collector.collect(evaluation);
    } catch (error) {
      if (signal.aborted && !(error instanceof StoreError)) return;
      log.error({ error: messageOf(error) }, 'The round failed; it is run again in five minutes.');
      if (!signal.aborted) this.#retry = setTimeout(() => this.#due(), RETRY_MS);
    }
  }
}
