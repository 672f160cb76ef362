import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { Action } from './advice.ts';
import type { AddressedNotice, Episode, Memory, MessageKind, Said } from './memory.ts';
import { noticeOf } from './notice.ts';

/** Enough for the longest episode; the store keeps the rest. */
const MOST_TOLD = 40;

/** Start-by times nearer to each other than this are the same news: forecasts move by hours from run to run. */
const SAME_DEADLINE_S = 6 * HOUR_S;

/** What asks for work; `last-call` repeats one of them. */
const ADVICE_KINDS: readonly MessageKind[] = ['act', 'worse', 'late'];

export interface TellingOf {
  readonly unit: string;
  readonly now: EpochSeconds;
  readonly deadlineAt: EpochSeconds | null;
  /** Ids of the unit's contacts. */
  readonly contacts: readonly string[];
}

/** Gathers what one round says of one unit, and what is remembered of it. */
export class Telling {
  readonly #of: TellingOf;
  readonly #notices: AddressedNotice[] = [];
  #memory: Memory;

  constructor(of: TellingOf, memory: Memory) {
    this.#of = of;
    this.#memory = memory;
  }

  get memory(): Memory {
    return this.#memory;
  }

  get notices(): readonly AddressedNotice[] {
    return this.#notices;
  }

  /** The advice until this round. */
  inForce(): Action {
    return this.#memory.advice?.action ?? 'nothing';
  }

  /** What was last told of work to do in this episode. */
  lastAdvice(): Said | null {
    return this.#memory.told.findLast((t) => ADVICE_KINDS.includes(t.kind)) ?? null;
  }

  say(kind: MessageKind, action: Action, startBy: EpochSeconds | null): void {
    const { contacts } = this.#of;
    const episode = this.#open(contacts);
    const same = this.#memory.told.filter((t) => t.kind === kind && t.action === action);
    const number = (same.at(-1)?.number ?? same.length) + 1;
    // The outbox knows a message by episode, kind and action: saying the same again needs a number.
    const key = number === 1 ? episode.id : `${episode.id}.${number}`;
    this.push(kind, { key, action, startBy, to: contacts });
    this.#remember({ kind, action, startBy, key, number, to: contacts });
  }

  /** Once for each time to start by; one that had passed when this was said is covered, too. */
  sayOnce(kind: MessageKind, action: Action, startBy: EpochSeconds | null): void {
    const said = this.#memory.told.some((t) => t.kind === kind && t.action === action && covers(t, startBy));
    if (!said) this.say(kind, action, startBy);
  }

  /** Said in every round in which it holds: each reader hears it once, when it comes as near as they asked. */
  sayHeadsUp(readers: readonly string[]): void {
    if (readers.length === 0) return;
    const episode = this.#open(readers);
    const key = episode.id;
    this.push('heads-up', { key, action: 'nothing', startBy: null, to: readers });
    if (this.#memory.told.some((t) => t.kind === 'heads-up' && t.key === key)) return;
    this.#remember({ kind: 'heads-up', action: 'nothing', startBy: null, key, number: 1, to: readers });
  }

  /** To those who were told of the cold, and to nobody else. */
  sayAllClear(): void {
    const { episode } = this.#memory;
    if (episode === null) return;
    const { contacts } = this.#of;
    const to = contacts.filter((person) => episode.heard?.includes(person) ?? true);
    if (to.length > 0) this.push('all-clear', { key: episode.id, action: 'nothing', startBy: null, to });
    this.#memory = { ...this.#memory, episode: null, told: [] };
  }

  /** Loss of the forecast is an episode of its own, told once. */
  sayBlind(since: EpochSeconds, action: Action, startBy: EpochSeconds | null): void {
    if (this.#memory.told.some((t) => t.kind === 'no-forecast' && t.at >= since)) return;
    const { unit, contacts: to } = this.#of;
    const key = blindKey(unit, since);
    this.push('no-forecast', { key, action, startBy, to });
    this.#remember({ kind: 'no-forecast', action, startBy, key, number: 1, to });
  }

  /** Without remembering it. */
  push(kind: MessageKind, { key, action, startBy, to, ...more }: Pushed): void {
    const { now, deadlineAt } = this.#of;
    const before = this.lastAdvice();
    const previous = before === null ? null : { action: before.action, startBy: before.startBy };
    const notice = noticeOf(kind, { episode: key, action, startBy, now, deadlineAt, previous });
    this.#notices.push({ ...notice, ...more, to });
  }

  #remember(said: Omit<Said, 'at'>): void {
    const told = [...this.#memory.told, { ...said, at: this.#of.now }];
    this.#memory = { ...this.#memory, told: thinned(told) };
  }

  /** The episode that what is said now belongs to. */
  #open(readers: readonly string[]): Episode {
    const { now, unit } = this.#of;
    const before = this.#memory.episode;
    const fresh = before === null || before.over === true;
    const base = fresh ? { id: `${unit}.${isoSecond(now)}`, since: now } : before;
    const heard = [...new Set([...(before?.heard ?? []), ...readers])];
    const episode = before !== null && before.heard === undefined ? base : { ...base, heard };
    this.#memory = { ...this.#memory, episode };
    return episode;
  }
}

interface Pushed {
  readonly key: string;
  readonly action: Action;
  readonly startBy: EpochSeconds | null;
  readonly to: readonly string[];
  readonly forecastBack?: true;
}

/** Under which the outbox knows what is said of the loss of the forecast. */
export function blindKey(unit: string, since: EpochSeconds): string {
  return `${unit}.blind.${isoSecond(since)}`;
}

function covers(told: Said, startBy: EpochSeconds | null): boolean {
  if (told.startBy === null || startBy === null) return told.startBy === startBy;
  return Math.abs(told.startBy - startBy) < SAME_DEADLINE_S || startBy <= told.at;
}

/** Without the oldest, but with the last of each kind and action: it holds their number. */
function thinned(told: readonly Said[]): readonly Said[] {
  const isLast = (said: Said, index: number): boolean =>
    !told.slice(index + 1).some((t) => t.kind === said.kind && t.action === said.action);
  return told.filter((said, index) => index >= told.length - MOST_TOLD || isLast(said, index));
}
