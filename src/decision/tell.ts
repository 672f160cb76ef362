/** What a round has to say of a unit, given what was said before. Pure: memory in, memory and notices out. */
import { DAY_S, HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import { ACTIONS, type Action, type Advice } from './advice.ts';
import type { Memory, MessageKind, Notice } from './memory.ts';
import type { Policy } from './policy.ts';

/** What this round found; null advice: the place has no usable forecast. */
export interface Finding {
  readonly unit: string;
  readonly now: EpochSeconds;
  readonly advice: Advice | null;
  readonly relaxing: Memory['relaxing'];
  /** Chance that the unit, full of water and as it stands otherwise, comes to harm within the window. */
  readonly chanceIfWet: number;
  /** Chance of damage as it stands, within as far ahead as people want to be told. */
  readonly chanceAhead: number;
  readonly alreadyDamaged: boolean;
  readonly deadlineAt: EpochSeconds | null;
  readonly lowest: { readonly temperatureC: number; readonly at: EpochSeconds } | null;
  /** Without a forecast for longer than its age limit. */
  readonly blindTooLong: boolean;
  readonly policy: Policy;
}

export interface Told {
  readonly memory: Memory;
  readonly notices: readonly Notice[];
}

const LAST_CALL_S = 3 * HOUR_S;
const WORSE_EARLIER_S = 6 * HOUR_S;
/** Enough for the longest episode; the store keeps the rest. */
const MOST_TOLD = 40;
/** How long a message stays true when nothing else ends it. */
const USEFUL_S: Readonly<Record<MessageKind, number>> = {
  'heads-up': DAY_S,
  act: DAY_S,
  'last-call': 6 * HOUR_S,
  worse: DAY_S,
  late: 12 * HOUR_S,
  frozen: 7 * DAY_S,
  'all-clear': 2 * DAY_S,
  'no-forecast': DAY_S,
  'fill-again': 7 * DAY_S,
};

export function tell(finding: Finding, memory: Memory): Told {
  return finding.advice === null ? tellBlind(finding, memory) : tellSeen(finding, finding.advice, memory);
}

function tellSeen(finding: Finding, advice: Advice, memory: Memory): Told {
  const seen = { ...memory, blindSince: null, relaxing: finding.relaxing, lastKnown: known(finding, memory) };
  const log = new Log(finding, seen);
  if (finding.alreadyDamaged && memory.suspectSince === null) log.say('frozen', advice.action, null);
  sayOf(log, finding, advice);
  return log.finish({
    suspectSince: memory.suspectSince ?? (finding.alreadyDamaged ? finding.now : null),
    advice: inForceAfter(finding, advice, memory),
  });
}

/** Ice in the way suspends advice; it does not relax it. */
function inForceAfter({ now }: Finding, advice: Advice, memory: Memory): Memory['advice'] {
  if (advice.action === 'nothing' && advice.reasonCode === 'frozen-path') return memory.advice;
  const { action, method, startBy } = advice;
  return { action, method, startBy, since: memory.advice?.action === action ? memory.advice.since : now };
}

function sayOf(log: Log, finding: Finding, advice: Advice): void {
  if (advice.action !== 'nothing') return sayAdvice(log, finding, advice);
  // Doing nothing because nothing can be done is not calm.
  if (advice.reasonCode === 'frozen-path') return log.sayOnce('frozen', 'nothing', null);
  if (advice.reasonCode === 'nothing-suffices') return log.sayOnce('act', 'nothing', null);
  sayQuiet(log, finding);
}

function known({ now, lowest }: Finding, memory: Memory): Memory['lastKnown'] {
  return lowest === null
    ? memory.lastKnown
    : { asOf: now, lowestOutsideC: lowest.temperatureC, lowestAt: lowest.at };
}

function sayAdvice(log: Log, { now }: Finding, advice: Advice): void {
  const { action, startBy } = advice;
  const before = log.lastAdvice();
  if (before === null) {
    log.say(advice.late ? 'late' : 'act', action, startBy);
    return;
  }
  if (advice.reasonCode === 'held') return;
  if (isStronger(action, before.action) || isStronger(action, log.inForce())) {
    log.say(advice.late ? 'late' : 'worse', action, startBy);
    return;
  }
  if (startBy === null) return;
  sayTime(log, { now, action, startBy, before });
}

/** Than what was told, or than what held until now: advice that was relaxed and comes back is news, too. */
function isStronger(action: Action, than: Action): boolean {
  return ACTIONS.indexOf(action) > ACTIONS.indexOf(than);
}

interface TimeOf {
  readonly now: EpochSeconds;
  readonly action: Action;
  readonly startBy: EpochSeconds;
  readonly before: { readonly at: EpochSeconds; readonly startBy: EpochSeconds | null };
}

/** The same action as told: earlier by much, nearly up, or missed. */
function sayTime(log: Log, { now, action, startBy, before }: TimeOf): void {
  if (startBy < now) log.sayOnce('late', action, startBy);
  else if (before.startBy !== null && before.startBy - startBy >= WORSE_EARLIER_S)
    log.say('worse', action, startBy);
  else if (startBy - now <= LAST_CALL_S && now - before.at >= LAST_CALL_S)
    log.sayOnce('last-call', action, startBy);
}

function sayQuiet(log: Log, finding: Finding): void {
  const { policy, chanceIfWet, chanceAhead } = finding;
  if (chanceAhead > policy.headsUpChance) {
    log.sayHeadsUp();
    return;
  }
  const whole = !finding.alreadyDamaged && !log.isSuspect();
  const over =
    whole && chanceIfWet <= policy.tolerance.nothing / 2 && chanceAhead <= policy.headsUpChance / 2;
  if (log.inEpisode() && over) log.sayAllClear();
}

/** Without a forecast the clock still runs on what was said before. */
function tellBlind(finding: Finding, memory: Memory): Told {
  const { now } = finding;
  const blindSince = memory.blindSince ?? now;
  const log = new Log(finding, { ...memory, blindSince });
  const { advice } = memory;
  if (advice !== null && advice.action !== 'nothing' && advice.startBy !== null) {
    const before = log.lastAdvice();
    if (before !== null) sayTime(log, { now, action: advice.action, startBy: advice.startBy, before });
  }
  if (finding.blindTooLong) log.sayBlind(blindSince, advice?.action ?? 'nothing', advice?.startBy ?? null);
  return log.finish({});
}

/** Gathers notices and what is remembered of them. */
class Log {
  readonly #finding: Finding;
  readonly #notices: Notice[] = [];
  #memory: Memory;

  constructor(finding: Finding, memory: Memory) {
    this.#finding = finding;
    this.#memory = memory;
  }

  isSuspect(): boolean {
    return this.#memory.suspectSince !== null;
  }

  inEpisode(): boolean {
    return this.#memory.episode !== null;
  }

  /** The advice until this round. */
  inForce(): Action {
    return this.#memory.advice?.action ?? 'nothing';
  }

  /** What was last told of work to do in this episode. */
  lastAdvice(): Memory['told'][number] | null {
    return (
      this.#memory.told.findLast((t) => t.kind === 'act' || t.kind === 'worse' || t.kind === 'late') ?? null
    );
  }

  say(kind: MessageKind, action: Action, startBy: EpochSeconds | null): void {
    const { now, unit } = this.#finding;
    const episode = this.#memory.episode ?? { id: `${unit}.${isoSecond(now)}`, since: now };
    this.#memory = { ...this.#memory, episode };
    // The outbox knows a message by episode, kind and action: saying the same again needs a number.
    const before = this.#memory.told.filter((t) => t.kind === kind && t.action === action).length;
    this.#push(kind, { episode: before === 0 ? episode.id : `${episode.id}.${before + 1}`, action, startBy });
  }

  sayOnce(kind: MessageKind, action: Action, startBy: EpochSeconds | null): void {
    if (this.#memory.told.some((t) => t.kind === kind && t.action === action)) return;
    this.say(kind, action, startBy);
  }

  /** Said in every round in which it holds: each reader hears it once, when it comes as near as they asked. */
  sayHeadsUp(): void {
    const { now, unit } = this.#finding;
    const episode = this.#memory.episode ?? { id: `${unit}.${isoSecond(now)}`, since: now };
    this.#memory = { ...this.#memory, episode };
    this.#push('heads-up', { episode: episode.id, action: 'nothing', startBy: null });
  }

  sayAllClear(): void {
    this.say('all-clear', 'nothing', null);
    this.#memory = { ...this.#memory, episode: null, told: [] };
  }

  /** Loss of the forecast is an episode of its own, told once. */
  sayBlind(since: EpochSeconds, action: Action, startBy: EpochSeconds | null): void {
    if (this.#memory.told.some((t) => t.kind === 'no-forecast' && t.at >= since)) return;
    this.#push('no-forecast', {
      episode: `${this.#finding.unit}.blind.${isoSecond(since)}`,
      action,
      startBy,
    });
  }

  finish(changes: Partial<Memory>): Told {
    return { memory: { ...this.#memory, ...changes }, notices: this.#notices };
  }

  #push(kind: MessageKind, of: { episode: string; action: Action; startBy: EpochSeconds | null }): void {
    const { now, deadlineAt } = this.#finding;
    const before = this.lastAdvice();
    const ends = kind === 'late' ? deadlineAt : of.startBy;
    const useBefore = ends !== null && ends > now && kind !== 'no-forecast' ? ends : now + USEFUL_S[kind];
    this.#notices.push({
      kind,
      ...of,
      useBefore,
      canWait: canWait(kind, { now, startBy: of.startBy }),
      previous: before === null ? null : { action: before.action, startBy: before.startBy },
    });
    if (kind === 'heads-up' && this.#memory.told.some((t) => t.kind === kind)) return;
    const told = { kind, action: of.action, at: now, startBy: of.startBy };
    this.#memory = { ...this.#memory, told: [...this.#memory.told, told].slice(-MOST_TOLD) };
  }
}

/** Quiet hours hold back only what loses nothing by waiting. */
function canWait(
  kind: MessageKind,
  { now, startBy }: { now: EpochSeconds; startBy: EpochSeconds | null },
): boolean {
  if (kind === 'heads-up' || kind === 'all-clear' || kind === 'fill-again') return true;
  return (kind === 'act' || kind === 'worse') && startBy !== null && startBy - now > DAY_S;
}
