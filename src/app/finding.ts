/** What a round found of a unit, for the decision on what to say. */
import type { Config } from '../config/config.ts';
import type { Finding } from '../decision/finding.ts';
import { hasActed, withoutFuture, type Memory } from '../decision/memory.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import { contactsOf } from './contacts.ts';
import type { UnitEvaluation } from './evaluate.ts';
import type { PlaceEvaluation } from './evaluate-place.ts';
import { heldWater, isDone, standsDrained } from './held-water.ts';
import { coversWindow } from './reach.ts';
import { coldFrom } from './spell.ts';

export function findingOf(
  config: Config,
  { unit, assessment, record, place }: UnitEvaluation,
  now: EpochSeconds,
): Finding {
  const memory = withoutFuture(record.memory, now);
  const { water, waterAt } = heldWater(unit, record, now);
  const inForce = memory.advice;
  const acted = hasActed(memory, waterAt);
  const deadlineAt = assessment?.firstDamage.deadlineAt ?? null;
  const asItStands = assessment?.chances.perAction.nothing;
  const covered = place.outlook !== null && coversWindow(place.outlook, now, config.policy.windowHours);
  return {
    unit: unit.id,
    now,
    advice: assessment?.advice ?? null,
    relaxing: assessment?.relaxing ?? memory.relaxing,
    acted,
    waterAt,
    isDone: acted && inForce !== null && isDone(unit.model, water, inForce),
    // Hours that no forecast covers may hold anything: nothing is called over from them.
    chanceIfWet: covered ? (assessment?.chanceIfWet ?? 1) : 1,
    chanceAhead: assessment?.chanceAhead ?? 1,
    chanceIfWetAhead: covered ? (assessment?.chanceIfWetAhead ?? 1) : 1,
    standsDrained: standsDrained(unit.model, water),
    isFreezing: isFreezing(place, now),
    alreadyDamaged: assessment?.alreadyDamaged ?? false,
    iceHasRoom: assessment?.middle.frozenPath === true && assessment.middle.iceHasRoom,
    checkedAt: record.checkedAt,
    ...(asItStands === undefined ? {} : { chanceAsItStands: asItStands }),
    ...(place.outlook === null ? {} : { forecast: place.outlook.version }),
    ...(place.outlook === null || deadlineAt === null
      ? {}
      : { coldFrom: coldFrom(place.outlook, deadlineAt) }),
    deadlineAt,
    firstDamageAt: assessment?.firstDamage.median ?? assessment?.firstDamage.deadlineAt ?? null,
    lowest: lowestOf(assessment, place, now),
    blindTooLong: blindTooLong(config, { last: memory.lastKnown, place }, now),
    policy: { ...unit.policy, tolerance: assessment?.tolerance ?? unit.policy.tolerance },
    contacts: contactsOf(config, unit, { record, now }),
  };
}

/** By the middle course. */
function isFreezing({ outlook }: PlaceEvaluation, now: EpochSeconds): boolean {
  const air = outlook?.members[outlook.middle]?.temperatureC;
  const hour = outlook === null ? 0 : Math.floor((now - outlook.firstHour) / HOUR_S);
  return (air?.[hour] ?? 0) < 0;
}

function lowestOf(
  assessment: UnitEvaluation['assessment'],
  { outlook }: PlaceEvaluation,
  now: EpochSeconds,
): Finding['lowest'] {
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  if (outside === undefined || outlook === null) return null;
  const madeAt = Math.min(now, outlook.issuedAt ?? outlook.fetchedAt);
  return { temperatureC: outside.minimumC, at: outside.minimumAt, madeAt };
}

/** A hiccup of the service is no news; silence beyond the age limit of its last answer is. */
function blindTooLong(
  config: Config,
  { last, place }: Pick<UnitEvaluation, 'place'> & { readonly last: Memory['lastKnown'] },
  now: EpochSeconds,
): boolean {
  if (last === null) return true;
  const limits = config.weather.sources
    .filter((s) => place.place.sources.includes(s.id))
    .map((s) => s.staleAfterHours ?? 0);
  return now - last.asOf >= Math.max(0, ...limits) * HOUR_S;
}
