import { HOUR_S } from '../quantity/instant.ts';
import type { Finding } from './finding.ts';
import type { Telling } from './telling.ts';

/** With nothing to do: a heads-up of what lies ahead, or that it is over. */
export function sayQuiet(telling: Telling, finding: Finding): void {
  if (finding.chanceAhead > finding.policy.headsUpChance) telling.sayHeadsUp(headsUpReaders(finding));
  else if (isOver(telling, finding)) telling.sayAllClear();
}

/** Those who want a heads-up as early as this. */
function headsUpReaders({ contacts, firstDamageAt, now }: Finding): string[] {
  const aheadS = (firstDamageAt ?? now) - now;
  return contacts.filter((c) => aheadS <= c.headsUpHours * HOUR_S).map((c) => c.person);
}

/** The unit would be safe even full of water. */
export function isOver(
  telling: Telling,
  { policy, chanceIfWet, chanceAhead, alreadyDamaged }: Finding,
): boolean {
  const isWhole = !alreadyDamaged && telling.memory.suspectSince === null;
  return isWhole && chanceIfWet <= policy.tolerance.nothing / 2 && chanceAhead <= policy.headsUpChance / 2;
}
