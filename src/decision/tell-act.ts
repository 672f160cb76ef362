import { DAY_S, HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Measure } from '../model/measure.ts';
import { isStronger, type Action, type Advice } from './advice.ts';
import type { Finding } from './finding.ts';
import type { Said } from './memory.ts';
import { sayAhead } from './tell-calm.ts';
import { isStillLate, isToldOfIce, sayBesideIce } from './tell-still-late.ts';
import { covers, LAST_CALL_S, type Telling } from './telling.ts';

const WORSE_EARLIER_S = 6 * HOUR_S;
/** More time than was told is news from here on, and only to those who would soon begin. */
const LATER_S = 12 * HOUR_S;
const SOON_S = DAY_S;

/** Tells of work to do: anew, more of it, or another time to start by. */
export function sayAdvice(telling: Telling, finding: Finding, advice: Advice): void {
  const { now } = finding;
  const { action, startBy } = advice;
  const before = telling.lastAdvice();
  if (isUncalled(finding, advice)) return before === null ? sayAhead(telling, finding, advice) : undefined;
  if (before === null) {
    if (isToCome(finding, advice)) return sayAhead(telling, finding, advice);
    telling.say(
      advice.late ? 'late' : isMoreThanDone(telling, finding, action) ? 'worse' : 'act',
      action,
      startBy,
    );
    return;
  }
  const isMore = asksMore(advice, telling.measuresInForce());
  if (isToldOfIce(telling, finding) && !isMore) return sayBesideIce(telling, finding, advice);
  // Less would do by this forecast, but until another one confirms it the work is asked for in its time.
  if (advice.reasonCode === 'held') {
    if (startBy !== null && !isStillLate(telling, finding, advice))
      sayDue(telling, { now, action, startBy, before });
    return;
  }
  if (isStronger(action, before.action) || isMore) {
    telling.say(advice.late ? 'late' : 'worse', action, startBy);
    return;
  }
  if (isStillLate(telling, finding, advice)) return;
  // Nobody was told that it had been relaxed: that it comes back is news only with another time to start by.
  if (isStronger(action, telling.inForce()) && !covers(before, startBy)) {
    telling.say(advice.late ? 'late' : 'worse', action, startBy);
    return;
  }
  if (startBy !== null) sayTime(telling, { now, action, startBy, before });
}

/** By this forecast nothing calls for it: until another one confirms that, the advice stands, and nobody is pressed. */
export function isUncalled(
  { chanceAsItStands = 1, policy }: Pick<Finding, 'chanceAsItStands' | 'policy'>,
  { reasonCode }: Pick<Advice, 'reasonCode'>,
): boolean {
  return reasonCode === 'held' && chanceAsItStands <= policy.tolerance.nothing;
}

/** What was asked has been done and still stands, and is not enough for what the forecast has become. */
function isMoreThanDone(telling: Telling, { standsDrained = false }: Finding, action: Action): boolean {
  const done = telling.done()?.action;
  if (done === undefined || !isStronger(action, done)) return false;
  return done === 'keep-warm' || standsDrained;
}

/** Cold so far ahead is often taken back, and nobody has to begin yet: a heads-up tells of it where it is likely. */
export function isEarly(
  { now, policy: { callAheadHours } }: Pick<Finding, 'now' | 'policy'>,
  { startBy }: Pick<Advice, 'startBy'>,
): boolean {
  return startBy !== null && startBy - now > callAheadHours * HOUR_S;
}

/** Colder than it was, and keeping warm takes what nobody was asked for. */
function asksMore({ measures }: Advice, asked: readonly Measure[] | null): boolean {
  return asked !== null && (measures ?? []).some((measure) => !asked.includes(measure));
}

/** Not called for yet, and not so sure that it is called for early. */
export function isToCome(finding: Finding, advice: Advice): boolean {
  return isEarly(finding, advice) && !isNearlySure(finding);
}

/** So sure that later forecasts seldom take it back; what is not known counts as sure. */
function isNearlySure({ chanceAsItStands = 1, policy }: Finding): boolean {
  return chanceAsItStands >= policy.callAtOnceChance;
}

interface TimeOf {
  readonly now: EpochSeconds;
  readonly action: Action;
  readonly startBy: EpochSeconds;
  readonly before: Said;
}

/** The same action as told: missed, earlier or later by much, or nearly up. */
export function sayTime(telling: Telling, { now, action, startBy, before }: TimeOf): void {
  const told = before.startBy;
  if (startBy < now) return sayDue(telling, { now, action, startBy, before });
  const isEarlier = told !== null && startBy <= told - WORSE_EARLIER_S;
  if (isEarlier && !telling.isBusy() && telling.isMoved(before)) return telling.say('worse', action, startBy);
  if (told !== null && startBy >= told + LATER_S && told - now <= SOON_S && !telling.isBusy())
    return telling.say('act', action, startBy);
  sayDue(telling, { now, action, startBy, before });
}

/** Missed, or nearly up. */
function sayDue(telling: Telling, { now, action, startBy, before }: TimeOf): void {
  if (startBy < now) return telling.sayOnce('late', action, startBy);
  if (startBy - now <= LAST_CALL_S && now - before.at >= LAST_CALL_S && !telling.isFull())
    telling.sayOnce('last-call', action, startBy);
}
