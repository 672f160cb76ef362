/**
 * What sensors reported, written a minute after the first that came. Of values that are of the time at which they come
 * the last of each sensor: it may report every second. Of those that carry a time of their own every one: a logger sends
 * what it could not send before.
 */
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Reported } from './parse.ts';

/** What became of reported readings; where one is mistaken, none was kept. */
export type WriteResult =
  | { readonly ok: true }
  | { readonly ok: false; readonly mistakes: readonly { readonly index: number; readonly text: string }[] };

export interface LatestOptions {
  readonly write: (reported: readonly Reported[]) => Promise<WriteResult>;
  /** Is told that the reading of a sensor cannot be taken, and why. */
  readonly onMistake: (sensor: string, text: string) => void;
  /** Is told why nothing could be written; what is in hand is tried again. */
  readonly onTrouble: (error: unknown) => void;
  readonly everyMs: number;
}

/** A garden that invents new topics without end must not fill the memory. */
const MOST_IN_HAND = 1000;

interface InHand {
  readonly sensor: string;
  readonly reported: Reported;
}

export class Latest {
  readonly #options: LatestOptions;
  readonly #pending = new Map<string, InHand>();
  #timer: NodeJS.Timeout | null = null;
  #turn: Promise<void> = Promise.resolve();
  #closed = false;

  constructor(options: LatestOptions) {
    this.#options = options;
  }

  /**
   * @param sensor who reports it, and when where that is said: another of the same takes its place
   * @returns false where there is no room for it
   */
  put(sensor: { readonly id: string; readonly at: EpochSeconds | null }, reported: Reported): boolean {
    if (this.#closed) return true;
    const key = `${sensor.at ?? ''} ${sensor.id}`;
    if (!this.#pending.has(key) && this.#pending.size >= MOST_IN_HAND) return false;
    this.#pending.set(key, { sensor: sensor.id, reported });
    if (this.#pending.size === MOST_IN_HAND) void this.#flush();
    this.#arm();
    return true;
  }

  /** Writes what is in hand, and takes nothing more. */
  async close(): Promise<void> {
    this.#closed = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    await this.#flush();
  }

  #arm(): void {
    if (this.#closed || this.#pending.size === 0) return;
    this.#timer ??= setTimeout(() => {
      this.#timer = null;
      void this.#flush().then(() => this.#arm());
    }, this.#options.everyMs);
  }

  #flush(): Promise<void> {
    this.#turn = this.#turn.then(() => this.#write());
    return this.#turn;
  }

  async #write(): Promise<void> {
    const entries = [...this.#pending];
    if (entries.length === 0) return;
    try {
      const { write, onMistake } = this.#options;
      const result = await write(entries.map(([, { reported }]) => reported));
      const mistaken = new Map(result.ok ? [] : result.mistakes.map(({ index, text }) => [index, text]));
      const good = entries.filter((_entry, index) => !mistaken.has(index));
      if (mistaken.size > 0 && good.length > 0) await write(good.map(([, { reported }]) => reported));
      for (const [index, text] of mistaken) onMistake(entries[index]?.[1].sensor ?? '', text);
      this.#forget(entries);
    } catch (error) {
      this.#options.onTrouble(error);
    }
  }

  /** What came while the others were written stays. */
  #forget(entries: readonly (readonly [string, InHand])[]): void {
    for (const [key, inHand] of entries) if (this.#pending.get(key) === inHand) this.#pending.delete(key);
  }
}
