/** What happened to units in a winter, told the same way of the program and of a fixed rule. */
import type { EpochSeconds } from '../../src/quantity/instant.ts';
import { truthAt } from './forecasts.ts';
import type { Winter } from './series.ts';

const HOUR = 3600;
const DAY = 24 * HOUR;

/** The forecasts' own rhythm, and that of the rounds. */
const ROUND_S = 6 * HOUR;
export const WINDOW_S = 72 * HOUR;
/** From hearing that it is over to water in the lines. */
export const FILLING_S = 2 * HOUR;
/** So long above freezing, and what was frozen has thawed and been looked at. */
const THAW_HOURS = 36;

export interface Call {
  readonly at: EpochSeconds;
  readonly what: string;
}

/** One unit from when it was filled, or has thawed and been checked, until it is filled again. */
export interface Stretch {
  readonly unit: string;
  /** Null: it has been in use all along. */
  readonly filledAt: EpochSeconds | null;
  readonly from: EpochSeconds;
  readonly to: EpochSeconds;
  /** Everything said meanwhile that asks for work now. */
  readonly calls: readonly Call[];
  /** When the work that was asked for was first done; null: it was not, or not yet. */
  readonly workedAt: EpochSeconds | null;
  /** When it came to harm as it really stood, with whatever had been done by then; null: it did not. */
  readonly harmedAt: EpochSeconds | null;
}

export interface Season {
  readonly stretches: readonly Stretch[];
  /** When each message to one person went out, by unit. */
  readonly messages: ReadonlyMap<string, readonly EpochSeconds[]>;
}

/** Stretches of one unit as they are written down. */
export class Diary {
  readonly #unit: string;
  readonly #done: Stretch[] = [];
  #now: {
    filledAt: number | null;
    from: number;
    calls: Call[];
    workedAt: number | null;
    harmedAt: number | null;
  };

  constructor(unit: string, from: EpochSeconds) {
    this.#unit = unit;
    this.#now = { filledAt: null, from, calls: [], workedAt: null, harmedAt: null };
  }

  get harmedAt(): EpochSeconds | null {
    return this.#now.harmedAt;
  }

  get calls(): readonly Call[] {
    return this.#now.calls;
  }

  get filledAt(): EpochSeconds | null {
    return this.#now.filledAt;
  }

  call(at: EpochSeconds, what: string): void {
    this.#now.calls.push({ at, what });
  }

  work(at: EpochSeconds): void {
    this.#now.workedAt ??= at;
  }

  harm(at: EpochSeconds): void {
    this.#now.harmedAt ??= at;
  }

  fill(at: EpochSeconds): void {
    this.#done.push({ unit: this.#unit, ...this.#now, to: at });
    this.#now = { filledAt: at, from: at, calls: [], workedAt: null, harmedAt: null };
  }

  until(to: EpochSeconds): readonly Stretch[] {
    return [...this.#done, { unit: this.#unit, ...this.#now, to }];
  }
}

/** When the air has been above freezing for long enough. */
export function thawAfter(winter: Winter, at: EpochSeconds): EpochSeconds {
  let above = 0;
  let hour = Math.ceil(at / HOUR) * HOUR;
  for (; above < THAW_HOURS && hour < at + 120 * DAY; hour += HOUR)
    above = truthAt(winter, hour) > 0 ? above + 1 : 0;
  return hour;
}

/** The first days are the first round's past, the last its future; a shorter stretch of the winter by its days. */
export function roundsOf(winter: Winter, days: readonly [number, number] = [0, Infinity]): EpochSeconds[] {
  const all = winter.temperatureC.length / 24;
  const [first, last] = [Math.max(4, days[0]), Math.min(all - 8, days[1])];
  const rounds: EpochSeconds[] = [];
  for (let now = winter.firstHour + first * DAY; now < winter.firstHour + last * DAY; now += ROUND_S)
    rounds.push(now);
  return rounds;
}
