import { asksForWork, isFrozenIn, type Advice } from './advice.ts';
import type { Finding } from './finding.ts';
import { hears } from './hearing.ts';
import type { AddressedNotice, Memory } from './memory.ts';
import { isToCome, isUncalled } from './tell-act.ts';
import { isOver } from './tell-calm.ts';
import { blindKey, type Telling } from './telling.ts';

interface BackOf {
  readonly advice: Advice;
  readonly before: Memory;
}

/** Those who were told that there is no forecast hear that there is one again, unless this round tells them more. */
export function sayBack(telling: Telling, finding: Finding, { advice, before }: BackOf): void {
  const since = before.blindSince;
  if (since === null || !before.told.some((t) => t.kind === 'no-forecast' && t.at >= since)) return;
  // A heads-up is repeated in every round, and most have it already.
  const spoken = new Set(telling.notices.filter((n) => n.kind !== 'heads-up').flatMap((n) => n.to));
  const { action, startBy } = advice;
  const kind = backKind(telling, finding, advice);
  const hearing = { kind, action, now: finding.now, memory: telling.memory };
  const to = finding.contacts.filter((c) => hears(c, hearing) && !spoken.has(c.person)).map((c) => c.person);
  const key = blindKey(finding.unit, since);
  telling.push(kind, { key, action, startBy, to, forecastBack: true });
}

/** What holds now, under its own kind; `all-clear` only where the unit would be safe even full of water. */
function backKind(telling: Telling, finding: Finding, advice: Advice): AddressedNotice['kind'] {
  if (isFrozenIn(advice)) return 'frozen';
  const isCalled = telling.lastAdvice() !== null;
  if (asksForWork(advice) && (isCalled || !(isUncalled(finding, advice) || isToCome(finding, advice))))
    return advice.late ? 'late' : 'act';
  // Where its own story is not over yet, this one's end is no all-clear.
  return telling.memory.episode === null && isOver(telling, finding) ? 'all-clear' : 'heads-up';
}
