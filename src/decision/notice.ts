import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Action } from './advice.ts';
import type { MessageKind, Notice } from './memory.ts';

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
  'fill-by': 2 * DAY_S,
  'dump-by': 2 * DAY_S,
  unreached: DAY_S,
};

export interface NoticeOf {
  /** Under which episode the outbox is to know it. */
  readonly episode: string;
  readonly action: Action;
  readonly startBy: EpochSeconds | null;
  readonly now: EpochSeconds;
  /** When the damage is due; ends the use of a `late`. */
  readonly deadlineAt: EpochSeconds | null;
  readonly previous: Notice['previous'];
}

export function noticeOf(kind: MessageKind, of: NoticeOf): Notice {
  const { episode, action, startBy, now, deadlineAt, previous } = of;
  const ends = kind === 'late' ? deadlineAt : startBy;
  const useBefore = ends !== null && ends > now && kind !== 'no-forecast' ? ends : now + USEFUL_S[kind];
  return { kind, episode, action, startBy, useBefore, canWait: canWait(kind, { now, startBy }), previous };
}

/** Told days ahead as a rule. */
const PLANNED: readonly MessageKind[] = ['act', 'worse', 'fill-by', 'dump-by'];

/** Quiet hours hold back only what loses nothing by waiting. */
function canWait(
  kind: MessageKind,
  { now, startBy }: { now: EpochSeconds; startBy: EpochSeconds | null },
): boolean {
  if (kind === 'heads-up' || kind === 'all-clear' || kind === 'fill-again') return true;
  return PLANNED.includes(kind) && startBy !== null && startBy - now > DAY_S;
}
