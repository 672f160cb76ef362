import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { ACTIONS, type Action, type Advice } from './advice.ts';
import type { Finding } from './finding.ts';
import type { Said } from './memory.ts';
import type { Telling } from './telling.ts';

const LAST_CALL_S = 3 * HOUR_S;
const WORSE_EARLIER_S = 6 * HOUR_S;
/** More time than was told is news from here on, and only to those who would soon begin. */
const LATER_S = 12 * HOUR_S;
const SOON_S = DAY_S;

/** Tells of work to do: anew, more of it, or another time to start by. */
export function sayAdvice(telling: Telling, { now }: Finding, advice: Advice): void {
  const { action, startBy } = advice;
  const before = telling.lastAdvice();
  if (before === null) {
    telling.say(advice.late ? 'late' : 'act', action, startBy);
    return;
  }
  if (advice.reasonCode === 'held') return;
  if (isStronger(action, before.action) || isStronger(action, telling.inForce())) {
    telling.say(advice.late ? 'late' : 'worse', action, startBy);
    return;
  }
  if (startBy === null) return;
  sayTime(telling, { now, action, startBy, before });
}

/** Than what was told, or than what held until now: advice that was relaxed and comes back is news, too. */
function isStronger(action: Action, than: Action): boolean {
  return ACTIONS.indexOf(action) > ACTIONS.indexOf(than);
}

interface TimeOf {
  readonly now: EpochSeconds;
  readonly action: Action;
  readonly startBy: EpochSeconds;
  readonly before: Said;
}

/** The same action as told: missed, earlier or later by much, or nearly up. */
export function sayTime(telling: Telling, { now, action, startBy, before }: TimeOf): void {
  if (startBy < now) return telling.sayOnce('late', action, startBy);
  const told = before.startBy;
  if (told !== null && startBy <= told - WORSE_EARLIER_S) return telling.say('worse', action, startBy);
  if (told !== null && startBy >= told + LATER_S && told - now <= SOON_S)
    return telling.say('act', action, startBy);
  if (startBy - now <= LAST_CALL_S && now - before.at >= LAST_CALL_S)
    telling.sayOnce('last-call', action, startBy);
}
