/** When the cold is over that begins within the decision window, and how far ahead people want to be told. */
import type { Config, UnitConfig } from '../config/config.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import type { RiskQuestion } from './risk-question.ts';

/** A forecast is not believed further ahead than people want to be told; never less than the window. */
export function headsUpHours({ people, policy }: Config, { contacts }: UnitConfig): number {
  const wanted = people.filter((p) => contacts.includes(p.id)).map((p) => p.headsUpHours);
  return Math.max(policy.windowHours, ...wanted);
}

export function aheadOf({ config, unit, now }: RiskQuestion): EpochSeconds {
  return now + headsUpHours(config, unit) * HOUR_S;
}

/** Nights of frost with thaw by day are one cold; a whole day above freezing parts two. Engineering estimate. */
const MILD_HOURS = 24;

/** Since when, by the middle course, it has been cold up to an instant; the forecast's first hour where no mild day is in it. */
export function coldFrom({ members, middle, firstHour }: Outlook, at: EpochSeconds): EpochSeconds {
  const air = members[middle]?.temperatureC ?? [];
  let mild = 0;
  for (let i = Math.min(air.length - 1, Math.floor((at - firstHour) / HOUR_S)); i >= 0; i--) {
    mild = (air[i] ?? 0) > 0 ? mild + 1 : 0;
    if (mild === MILD_HOURS) return firstHour + (i + MILD_HOURS - 1) * HOUR_S;
  }
  return firstHour;
}

/**
 * By member, the end of the window, or of the cold in which it ends: the first hour after it that is above freezing, or
 * as far ahead as people want to be told.
 */
export function spellEnds(outlook: Outlook, until: EpochSeconds, latest: EpochSeconds): EpochSeconds[] {
  const from = Math.ceil((until - outlook.firstHour) / HOUR_S);
  return outlook.members.map(({ temperatureC }) => {
    let i = Math.max(0, from);
    while (i < temperatureC.length && (temperatureC[i] ?? 0) <= 0) i++;
    return i === from ? until : Math.min(latest, outlook.firstHour + i * HOUR_S);
  });
}
