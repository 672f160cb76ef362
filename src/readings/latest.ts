/** The last value of each sensor, written a minute after the first that came: sensors may report every second. */
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
const MOST_SENSORS = 1000;

export class Latest {
  readonly #options: LatestOptions;
  readonly #pending = new Map<string, Reported>();
  #timer: NodeJS.Timeout | null = null;
  #turn: Promise<void> = Promise.resolve();
  #closed = false;

  constructor(options: LatestOptions) {
    this.#options = options;
  }

  put(sensor: string, reported: Reported): void {
    if (this.#closed || (!this.#pending.has(sensor) && this.#pending.size >= MOST_SENSORS)) return;
    this.#pending.set(sensor, reported);
    this.#arm();
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
      const result = await write(entries.map(([, reported]) => reported));
      const mistaken = new Map(result.ok ? [] : result.mistakes.map(({ index, text }) => [index, text]));
      const good = entries.filter((_entry, index) => !mistaken.has(index));
      if (mistaken.size > 0 && good.length > 0) await write(good.map(([, reported]) => reported));
      for (const [index, text] of mistaken) onMistake(entries[index]?.[0] ?? '', text);
      this.#forget(entries);
    } catch (error) {
      this.#options.onTrouble(error);
    }
  }

  /** What came while the others were written stays. */
  #forget(entries: readonly (readonly [string, Reported])[]): void {
    for (const [sensor, reported] of entries)
      if (this.#pending.get(sensor) === reported) this.#pending.delete(sensor);
  }
}
