/** What has been called late, or may have frozen, is not given time again within the same cold. */
import { HOUR_S } from '../quantity/instant.ts';
import { isStronger, type Advice } from './advice.ts';
import type { Finding } from './finding.ts';
import type { Said } from './memory.ts';
import { covers, LAST_CALL_S, type Telling } from './telling.ts';

/** A later time than this after it was called late is another night to work for, though the cold goes on. */
const ANOTHER_TIME_S = 48 * HOUR_S;
/** Work that is still called for, and still late, is called late again once a night. */
const LATE_AGAIN_S = 12 * HOUR_S;

/** Warned of the cold that threatens now: what was due then lies in it. */
function isOfSameCold({ dueAt }: Said, { coldFrom }: Finding): boolean {
  return coldFrom !== undefined && dueAt !== undefined && dueAt >= coldFrom;
}

/**
 * Called late, and nobody has done it: each night that passes without harm moves the time to start by, and that is no
 * time again. Says that it is late once more where the next night's time has passed, too. False: it is not so.
 */
export function isStillLate(telling: Telling, finding: Finding, { action, startBy }: Advice): boolean {
  const { now } = finding;
  const before = telling.lastAdvice();
  if (before?.kind !== 'late' || startBy === null) return false;
  if (isStronger(action, before.action)) return false;
  if (!isOfSameCold(before, finding) || startBy >= before.at + ANOTHER_TIME_S) return false;
  // As it was called before: a later time that has passed would say that there had been time until then.
  if (startBy < now && now - before.at >= LATE_AGAIN_S)
    telling.say('late', action, before.startBy ?? startBy);
  return true;
}

/** That it may have frozen was told in this cold, and nobody has checked it since. */
export function isToldOfIce({ memory }: Telling, finding: Finding): boolean {
  const { suspectSince } = memory;
  const { coldFrom, now } = finding;
  return suspectSince !== null && coldFrom !== undefined && suspectSince >= coldFrom && suspectSince < now;
}

/**
 * Beside ice, only what is new for what is still whole: work for other circuits than before the ice, once; more work;
 * the last call of the time that was told; and that it is late, where that was never called in this cold.
 */
export function sayBesideIce(telling: Telling, finding: Finding, advice: Advice): void {
  const { action, startBy, circuits, late } = advice;
  const { suspectSince, advice: inForce } = telling.memory;
  const said = telling.allAdvice().filter((one) => isOfSameCold(one, finding));
  const isMore = said.every((one) => isStronger(action, one.action));
  const before = telling.lastAdvice()?.action ?? 'nothing';
  const kind = late ? 'late' : isStronger(action, before) ? 'worse' : 'act';
  const isSaid = said.some(({ at }) => at >= (suspectSince ?? Infinity));
  const isOther = circuits !== undefined && circuits.join(' ') !== inForce?.circuits?.join(' ');
  const isMissed = startBy !== null && startBy < finding.now && said.every((one) => one.kind !== 'late');
  if (isMore || (isOther && !isSaid)) telling.say(kind, action, startBy);
  else if (isMissed) telling.say('late', action, startBy);
  else if (isNearlyUp(telling, finding, advice)) telling.sayOnce('last-call', action, startBy);
}

function isNearlyUp(telling: Telling, { now }: Finding, { startBy }: Advice): boolean {
  const before = telling.lastAdvice();
  if (before === null || before.kind === 'late' || startBy === null || !covers(before, startBy)) return false;
  return (
    startBy >= now && startBy - now <= LAST_CALL_S && now - before.at >= LAST_CALL_S && !telling.isFull()
  );
}
