import { DAY_S, HOUR_S } from '../quantity/instant.ts';
import { asksForWork, type Advice } from './advice.ts';
import type { Finding } from './finding.ts';
import type { Telling } from './telling.ts';

/** With nothing to do: a heads-up of what lies ahead, or that it is over. */
export function sayQuiet(telling: Telling, finding: Finding): void {
  const { standsDrained = false } = finding;
  if (!standsDrained || telling.memory.episode !== null) telling.forgetDry();
  const isAhead = isLikely(finding);
  if (isAhead || !isOver(telling, finding)) telling.forgetCalm();
  if (isAhead) return sayAhead(telling, finding);
  if (!isOver(telling, finding) || mayComeBack(telling, finding) || isJustAsked(telling, finding)) return;
  const mayBeFilled = standsDrained && isFillable(finding);
  if (telling.memory.episode !== null)
    return telling.sayOver(mayBeFilled ? 'fill-again' : 'all-clear', standsDrained);
  if (mayBeFilled) telling.sayFillAgain();
}

/** What is likelier to come than not; less is told when its time has come. For a day, whatever may have frozen is looked at first. */
export function sayAhead(telling: Telling, finding: Finding, advice: Advice | null = null): void {
  const isJustFrozen = telling.memory.told.some((t) => t.kind === 'frozen' && finding.now - t.at < DAY_S);
  if (finding.alreadyDamaged || isJustFrozen) return;
  const isPlanned = advice !== null && asksForWork(advice) && advice.reasonCode !== 'held';
  if (isLikely(finding)) telling.sayHeadsUp(headsUpReaders(finding), isPlanned);
}

/** Likelier to come than not. */
function isLikely({ chanceAhead, policy }: Finding): boolean {
  return chanceAhead > policy.headsUpChance;
}

/** So long forecasts must have taken back cold that is yet to come; an engineering estimate: two of their runs. */
const CONFIRMED_S = 12 * HOUR_S;

/** A forecast that takes back what was asked for within a day may be followed by one that asks for it again. */
function isJustAsked(telling: Telling, { now }: Finding): boolean {
  const askedAt = telling.askedAt();
  if (askedAt === null || now - askedAt >= DAY_S) return false;
  // Done, and the cold has come: the wait is for cold that is called off, not for the night after it.
  const { over, dueAt } = telling.memory.episode ?? {};
  return over !== true || dueAt === undefined || now - dueAt < CONFIRMED_S;
}

/**
 * Whoever has drained for a cold that one forecast takes back is not to fill for it to come back with the next; nor is
 * what was only announced over and called for in turn.
 */
function mayComeBack(telling: Telling, { now }: Finding): boolean {
  const { episode } = telling.memory;
  if (episode === null) return false;
  const isToCome = episode.dueAt === undefined ? telling.askedAt() === null : now < episode.dueAt;
  return isToCome && now - telling.calmSince() < CONFIRMED_S;
}

/** Drained, it would be safe full of water for as far ahead as a forecast is believed. */
function isFillable({ policy, chanceIfWetAhead = 1 }: Finding): boolean {
  return chanceIfWetAhead <= policy.tolerance.nothing / 2;
}

/** Those who want a heads-up as early as this. */
function headsUpReaders({ contacts, firstDamageAt, now }: Finding): string[] {
  const aheadS = (firstDamageAt ?? now) - now;
  return contacts.filter((c) => aheadS <= c.headsUpHours * HOUR_S).map((c) => c.person);
}

/** The unit would be safe even full of water; and nobody believes that it is over, or fills anything, in the frost. */
export function isOver(
  telling: Telling,
  { policy, chanceIfWet, chanceAhead, alreadyDamaged, isFreezing = false }: Finding,
): boolean {
  if (isFreezing) return false;
  const isWhole = !alreadyDamaged && telling.memory.suspectSince === null;
  return isWhole && chanceIfWet <= policy.tolerance.nothing / 2 && chanceAhead <= policy.headsUpChance / 2;
}
