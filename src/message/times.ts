import type { Method } from '../decision/advice.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { formatLocal, formatNear } from '../quantity/local-time.ts';
import type { Told } from './body.ts';
import type { SpellFacts, UnitFacts } from './message.ts';

/** `Thu 26 Nov, 15:10 (MST)` in the reader's zone. */
export function inReaderZone(instant: EpochSeconds, told: Told): string {
  return formatLocal(instant, told.reader.timeZone).replace(/ (\S+)$/, ' ($1)');
}

/** `Thu 15:10` in the reader's zone, with the date where the weekday alone would mislead. */
export function nearForReader(instant: EpochSeconds, told: Told): string {
  return formatNear(instant, told.facts.asOf, told.reader.timeZone);
}

/** How to winterize, as far as the advice says so; null for any other action. */
export function methodOf(told: Told): Method | null {
  if (told.notice.action !== 'winterize') return null;
  return told.facts.advice?.method ?? null;
}

/** The circuits that alone are to be done for the action that is told; null: all. */
export function circuitsOf({ facts: { advice, outsideCircuits }, notice }: Told): readonly string[] | null {
  if (notice.action === 'drain-part' && advice?.action !== notice.action) return outsideCircuits;
  return advice?.action === notice.action ? (advice.circuits ?? null) : null;
}

/** Keeping it warm takes the hose off: there is one, and nothing better to be had of it. */
export function isHoseTaken({ hasHose, measures }: UnitFacts): boolean {
  return hasHose && measures.includes('hose-off');
}

/** Minutes of work for the action that is told; null where the advice is about another one. */
export function workOf(told: Told): number | null {
  const { advice, service } = told.facts;
  if (told.notice.kind === 'fill-by') return service?.fillMinutes ?? null;
  if (told.notice.kind === 'dump-by') return service?.dumpMinutes ?? null;
  return advice !== null && advice.action === told.notice.action && advice.workMinutes > 0
    ? advice.workMinutes
    : null;
}

/** When the trouble ahead begins, as well as it is known. */
export function troubleAt(told: Told): EpochSeconds | null {
  const { firstDamageAt, lowestOutside } = told.facts;
  return firstDamageAt ?? coldestSpell(told)?.start ?? lowestOutside?.at ?? null;
}

function coldestSpell(told: Told): SpellFacts | null {
  return told.facts.spells.reduce<SpellFacts | null>(
    (coldest, spell) => (coldest === null || spell.minimumC < coldest.minimumC ? spell : coldest),
    null,
  );
}
