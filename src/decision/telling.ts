import type { Measure } from '../model/measure.ts';
import { DAY_S, HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { isStronger, outsideAction, type Action } from './advice.ts';
import type { Contact } from './finding.ts';
import { hears } from './hearing.ts';
import type { AddressedNotice, Episode, Grounds, Memory, MessageKind, Said } from './memory.ts';
import { noticeOf } from './notice.ts';

/** Enough for the longest episode; the store keeps the rest. */
const MOST_TOLD = 40;

/** Start-by times nearer to each other than this are the same news: forecasts move by hours from run to run. */
const SAME_DEADLINE_S = 6 * HOUR_S;

/** A last call comes so long before the time to start by, and after what was told of it. */
export const LAST_CALL_S = 3 * HOUR_S;

/** More messages a day about one unit are not read. */
const MOST_A_DAY = 3;

/** More than one member of 51 that comes and goes, and more air than is written in whole degrees. */
const MOVED_CHANCE = 0.05;
const MOVED_K = 0.5;

/** What asks for work; `last-call` repeats one of them. */
const ADVICE_KINDS: readonly MessageKind[] = ['act', 'worse', 'late'];

/** These take nothing of the few that are read in a day. */
const UNCOUNTED: readonly MessageKind[] = ['frozen', 'late', 'unreached'];

export interface TellingOf {
  readonly unit: string;
  readonly now: EpochSeconds;
  readonly deadlineAt: EpochSeconds | null;
  readonly contacts: readonly Contact[];
  /** Null or absent: not known. */
  readonly under?: Grounds | null;
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

  /** What was asked until this round to keep it warm; null: nothing, or it was not kept. */
  measuresInForce(): readonly Measure[] | null {
    return this.#memory.advice?.measures ?? null;
  }

  /** What was last told of work to do in this episode. */
  lastAdvice(): Said | null {
    return lastAdvice(this.#memory);
  }

  /** The same, with a last call that had a time of its own. */
  #lastTime(): Pick<Said, 'action' | 'startBy'> | null {
    const told = this.#memory.told.filter((t) => ADVICE_KINDS.includes(t.kind) || t.kind === 'last-call');
    return told.at(-1) ?? null;
  }

  /** When work was last asked for, whether or not it has been done since; null: it was not. */
  askedAt(): EpochSeconds | null {
    return this.lastAdvice()?.at ?? this.#memory.episode?.askedAt ?? null;
  }

  /**
   * Another forecast, other air or another chance than when it was said. Without them a time to start by moves only because
   * the few members that fix it are drawn anew from hour to hour. What is not known counts as moved.
   */
  isMoved({ under: then }: Said): boolean {
    const { under: now = null } = this.#of;
    if (now === null || then === undefined || now.forecast !== then.forecast) return true;
    if (Math.abs(now.chance - then.chance) >= MOVED_CHANCE) return true;
    return now.lowestC === null || then.lowestC === null || Math.abs(now.lowestC - then.lowestC) >= MOVED_K;
  }

  /** All that was told of work to do in this episode, oldest first. */
  allAdvice(): readonly Said[] {
    return this.#memory.told.filter((t) => ADVICE_KINDS.includes(t.kind));
  }

  /** So much was told within a day that only one more may follow, which is kept for what cannot wait. */
  isBusy(): boolean {
    return this.#toldWithinADay() >= MOST_A_DAY - 1;
  }

  isFull(): boolean {
    return this.#toldWithinADay() >= MOST_A_DAY;
  }

  /** Since when forecasts have taken back, before it came, the cold that something was done for: from now on if not yet. */
  calmSince(): EpochSeconds {
    const { episode } = this.#memory;
    const calmSince = episode?.calmSince ?? this.#of.now;
    if (episode !== null) this.#memory = { ...this.#memory, episode: { ...episode, calmSince } };
    return calmSince;
  }

  forgetCalm(): void {
    const { episode } = this.#memory;
    if (episode?.calmSince === undefined) return;
    const { calmSince: _calmSince, ...rest } = episode;
    this.#memory = { ...this.#memory, episode: rest };
  }

  /** What was asked and done, where the cold that it was done for has not been called over; null: nothing. */
  done(): Pick<Said, 'action' | 'startBy'> | null {
    const action = this.#memory.episode?.done;
    return action === undefined ? null : { action, startBy: null };
  }

  say(kind: MessageKind, action: Action, startBy: EpochSeconds | null): void {
    const to = this.#listening(kind, action);
    const episode = this.#open(to);
    // As the outbox knows it: there a partial drain is a drain.
    const outside = outsideAction(action).action;
    const same = this.#memory.told.filter(
      (t) => t.kind === kind && outsideAction(t.action).action === outside,
    );
    const number = (same.at(-1)?.number ?? same.length) + 1;
    // The outbox knows a message by episode, kind and action: saying the same again needs a number.
    const key = number === 1 ? episode.id : `${episode.id}.${number}`;
    this.push(kind, { key, action, startBy, to });
    const { deadlineAt, under = null } = this.#of;
    const due = deadlineAt === null ? {} : { dueAt: deadlineAt };
    const grounds = under === null ? {} : { under };
    this.#remember({ kind, action, startBy, key, number, to, ...due, ...grounds });
  }

  /** Once for each time to start by; one that had passed when this was said is covered, too. */
  sayOnce(kind: MessageKind, action: Action, startBy: EpochSeconds | null): void {
    const said = this.#memory.told.some((t) => t.kind === kind && t.action === action && covers(t, startBy));
    if (!said) this.say(kind, action, startBy);
  }

  /**
   * Said in every round in which it holds: each reader hears it once, when it comes as near as they asked; and once more when
   * it is known which work it will take, and by when.
   */
  sayHeadsUp(wanting: readonly string[], isPlanned: boolean): void {
    const readers = this.#listening('heads-up', 'nothing').filter((person) => wanting.includes(person));
    if (readers.length === 0) return;
    const episode = this.#open(readers);
    const planned = `${episode.id}.planned`;
    const isSaid = (name: string): boolean =>
      this.#memory.told.some((t) => t.kind === 'heads-up' && t.key === name);
    const key = isPlanned || isSaid(planned) ? planned : episode.id;
    this.push('heads-up', { key, action: 'nothing', startBy: null, to: readers });
    if (isSaid(key)) return;
    this.#remember({ kind: 'heads-up', action: 'nothing', startBy: null, key, number: 1, to: readers });
  }

  /** To those who were told of the cold, and to nobody else; that it may be filled again says so, too. */
  sayOver(kind: 'all-clear' | 'fill-again', standsDrained: boolean): void {
    const { episode, ...rest } = this.#memory;
    if (episode === null) return;
    const to = this.#listening(kind, 'nothing').filter((person) => episode.heard?.includes(person) ?? true);
    this.push(kind, { key: episode.id, action: 'nothing', startBy: null, to });
    const { dry: _dry, ...over } = { ...rest, episode: null, told: [] };
    const isDue = kind === 'all-clear' && standsDrained;
    this.#memory = isDue ? { ...over, dry: { episode: episode.id, to } } : over;
  }

  /** What the all-clear could not yet say: once, to those who heard that. */
  sayFillAgain(): void {
    const { dry, ...rest } = this.#memory;
    if (dry === undefined) return;
    const to = this.#listening('fill-again', 'nothing').filter((person) => dry.to.includes(person));
    this.push('fill-again', { key: dry.episode, action: 'nothing', startBy: null, to });
    this.#memory = rest;
  }

  /** No longer drained, or in another story, whose own end will say so. */
  forgetDry(): void {
    const { dry: _dry, ...rest } = this.#memory;
    this.#memory = rest;
  }

  /** Loss of the forecast is an episode of its own, told once. */
  sayBlind(since: EpochSeconds, action: Action, startBy: EpochSeconds | null): void {
    if (this.#memory.told.some((t) => t.kind === 'no-forecast' && t.at >= since)) return;
    const { unit } = this.#of;
    const to = this.#listening('no-forecast', action);
    const key = blindKey(unit, since);
    this.push('no-forecast', { key, action, startBy, to });
    this.#remember({ kind: 'no-forecast', action, startBy, key, number: 1, to });
  }

  /** Without remembering it. */
  push(kind: MessageKind, { key, action, startBy, to, ...more }: Pushed): void {
    const { now, deadlineAt } = this.#of;
    if (to.length === 0) return;
    const before = this.#lastTime() ?? (kind === 'worse' ? this.done() : null);
    const asked = this.measuresInForce();
    const measures = asked === null ? {} : { measures: asked };
    const previous = before === null ? null : { action: before.action, startBy: before.startBy, ...measures };
    const notice = noticeOf(kind, { episode: key, action, startBy, now, deadlineAt, previous });
    this.#notices.push({ ...notice, ...more, to });
  }

  /** Ids of those who hear it. */
  #listening(kind: MessageKind, action: Action): string[] {
    const { contacts, now } = this.#of;
    const hearing = { kind, action, now, memory: this.#memory };
    return contacts.filter((c) => hears(c, hearing)).map((c) => c.person);
  }

  /** But for what never waits: a freeze, what is late, more work than was told before; and what only managers hear. */
  #toldWithinADay(): number {
    const { told } = this.#memory;
    const isCounted = (kind: MessageKind): boolean => !UNCOUNTED.includes(kind);
    const isMore = ({ kind, action }: Said, index: number): boolean => {
      const before = told.slice(0, index).findLast((t) => ADVICE_KINDS.includes(t.kind));
      return ADVICE_KINDS.includes(kind) && before !== undefined && isStronger(action, before.action);
    };
    return told.filter((t, i) => t.at > this.#of.now - DAY_S && isCounted(t.kind) && !isMore(t, i)).length;
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
    const base = fresh ? { id: `${unit}.${isoSecond(now)}`, since: now, ...doneIn(before) } : before;
    const heard = [...new Set([...(before?.heard ?? []), ...readers])];
    const episode = before !== null && before.heard === undefined ? base : { ...base, heard };
    this.#memory = { ...this.#memory, episode };
    return episode;
  }
}

/** What was done for the cold of an episode, which outlives its name until that cold is called over. */
function doneIn(before: Episode | null): Partial<Episode> {
  const { done, dueAt, askedAt } = before ?? {};
  return {
    ...(done === undefined ? {} : { done }),
    ...(dueAt === undefined ? {} : { dueAt }),
    ...(askedAt === undefined ? {} : { askedAt }),
  };
}

interface Pushed {
  readonly key: string;
  readonly action: Action;
  readonly startBy: EpochSeconds | null;
  readonly to: readonly string[];
  readonly forecastBack?: true;
}

export function lastAdvice({ told }: Memory): Said | null {
  return told.findLast((t) => ADVICE_KINDS.includes(t.kind)) ?? null;
}

/** Under which the outbox knows what is said of the loss of the forecast. */
export function blindKey(unit: string, since: EpochSeconds): string {
  return `${unit}.blind.${isoSecond(since)}`;
}

/** Whether something was told under a key, or under that and more after a full stop. */
export function isOfKey(told: string, key: string): boolean {
  return told === key || told.startsWith(`${key}.`);
}

/** Whether what was told is still the news: times less than some hours apart are the same. */
export function covers(told: Said, startBy: EpochSeconds | null): boolean {
  if (told.startBy === null || startBy === null) return told.startBy === startBy;
  return Math.abs(told.startBy - startBy) < SAME_DEADLINE_S || startBy <= told.at;
}

/** Without the oldest, but with the last of each kind and action: it holds their number. */
function thinned(told: readonly Said[]): readonly Said[] {
  const isLast = (said: Said, index: number): boolean =>
    !told.slice(index + 1).some((t) => t.kind === said.kind && t.action === said.action);
  return told.filter((said, index) => index >= told.length - MOST_TOLD || isLast(said, index));
}
