/** A sign of life to an address elsewhere, only while everything is fresh: its silence is what calls somebody. */
import { request } from 'undici';
import type { Log } from '../outbox/log.ts';
import type { Wellness } from '../web/routes.ts';
import { messageOf } from './error-words.ts';

export interface HeartbeatOptions {
  readonly url: string;
  readonly everyMs: number;
  readonly wellness: () => Promise<Wellness>;
  readonly signal: AbortSignal;
  readonly log: Log;
  readonly timeoutMs?: number;
}

const TIMEOUT_MS = 10_000;

export class Heartbeat {
  readonly #of: HeartbeatOptions;
  #timer: NodeJS.Timeout | null = null;
  #beating: Promise<void> = Promise.resolve();
  /** The last attempt reached its address. */
  #reached = false;
  #said: string | null = null;

  constructor(of: HeartbeatOptions) {
    this.#of = of;
  }

  start(): void {
    this.#timer = setInterval(() => this.#due(), this.#of.everyMs);
  }

  /** What was held back or went amiss need not wait for its time. */
  roundEnded(): void {
    if (!this.#reached) this.#due();
  }

  async ended(): Promise<void> {
    if (this.#timer !== null) clearInterval(this.#timer);
    await this.#beating;
  }

  #due(): void {
    this.#beating = this.#beating.then(() => this.#beat());
  }

  async #beat(): Promise<void> {
    const { signal, log, wellness, url } = this.#of;
    if (isAborted(signal)) return;
    this.#reached = false;
    try {
      const { reasons } = await wellness();
      if (reasons.length > 0) {
        this.#say(() => log.warn({ reasons }, HELD_BACK), reasons.join(' '));
        return;
      }
      await this.#ask(url);
      this.#reached = true;
      this.#say(() => log.info({}, 'The heartbeat is sent.'), '');
    } catch (error) {
      if (isAborted(signal)) return;
      const text = messageOf(error);
      this.#say(() => log.warn({ error: text }, 'The heartbeat could not be sent; it is tried again.'), text);
    }
  }

  /** Redirects are not followed: they lead to hosts that the config does not name. */
  async #ask(url: string): Promise<void> {
    const { signal, timeoutMs = TIMEOUT_MS } = this.#of;
    const deadline = AbortSignal.any([signal, AbortSignal.timeout(timeoutMs)]);
    const { statusCode, body } = await request(url, { method: 'GET', signal: deadline });
    await body.dump({ limit: 65_536 });
    if (statusCode < 200 || statusCode > 299)
      throw new Error(`The heartbeat's address answered with status ${statusCode}.`);
  }

  /** Not again what was said before. */
  #say(say: () => void, what: string): void {
    if (what === this.#said) return;
    this.#said = what;
    say();
  }
}

/** Asked anew each time: it changes while something is awaited. */
function isAborted(signal: AbortSignal): boolean {
  return signal.aborted;
}

const HELD_BACK = 'The heartbeat is held back: not everything is fresh.';
