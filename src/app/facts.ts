/** From an evaluated unit to what a message or the check answer can say of it. */
import type { Config } from '../config/config.ts';
import { STOWED_CIRCUIT } from '../model/damage.ts';
import { overloadW } from '../model/kept-warm.ts';
import { circuitState, isWet } from '../model/water-state.ts';
import { waterStateWords } from '../message/words.ts';
import type { UnitFacts } from '../message/message.ts';
import { isoSecond } from '../quantity/instant.ts';
import type { UnitEvaluation } from './evaluate.ts';
import { yetToCome } from './held-water.ts';
import { coveredHours, coversWindow, lastHourOf } from './reach.ts';

export function unitFacts(config: Config, evaluated: UnitEvaluation, now: number): UnitFacts {
  const { unit, place, record, water, assessment } = evaluated;
  const label = unit.model.parts.find((p) => p.id === assessment?.firstPart)?.label ?? null;
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  return {
    asOf: now,
    unit: { id: unit.id, label: unit.label, attended: unit.attended },
    place: { id: place.place.id, label: place.place.label, timeZone: place.place.timeZone },
    advice: assessment?.advice ?? null,
    chances: assessment?.chances ?? null,
    windowHours: coveredHours(place.outlook, now, config.policy.windowHours),
    lowestOutside: outside === undefined ? null : { temperatureC: outside.minimumC, at: outside.minimumAt },
    spells: assessment?.middle.spells.filter((s) => s.zone === 'outside') ?? [],
    firstPart: label,
    firstDamageAt: assessment?.firstDamage.median ?? assessment?.firstDamage.deadlineAt ?? null,
    suspect: record.memory.suspectSince !== null,
    alreadyDamaged: assessment?.alreadyDamaged ?? false,
    holdOutHours: assessment?.holdOuts?.holdOut?.hours ?? null,
    heatLasts: {
      gasUntil: assessment?.middle.gasOutAt ?? null,
      batteryUntil: assessment?.middle.batteryOutAt ?? null,
    },
    hasHeat: unit.model.heat !== null,
    hasHose:
      unit.model.parts.some((p) => p.circuit === STOWED_CIRCUIT) &&
      isWet(circuitState(water, STOWED_CIRCUIT).state),
    waterState: waterStateWords(water.all.state),
    problem: place.problem?.message ?? null,
    lastKnown: record.memory.lastKnown,
    assumptions: assumptionsOf(config, evaluated, now),
    attributions: [place.outlook?.attribution ?? []].flat(),
  };
}

/** Everything that was taken for granted, in full sentences. */
export function assumptionsOf(
  { policy }: Config,
  { unit, place, water }: UnitEvaluation,
  now: number,
): string[] {
  const { outlook } = place;
  const sentences = [...(outlook?.assumptions ?? []), ...unit.model.assumptions];
  if (water.all.state.kind === 'unknown')
    sentences.push('Nobody has said what is in the lines: they are taken as full of water.');
  const over = unit.keptWarm === null ? 0 : overloadW(unit.keptWarm);
  if (over > 0)
    sentences.push(
      `Kept warm it would draw ${(over / 1000).toFixed(1)} kW more than the post bears, and everything would stop at once: that is not advised. Switch loads off and say so under power and heat.`,
    );
  const gaugedAt = unit.model.heat?.gaugedAt ?? now;
  if (outlook !== null && gaugedAt < outlook.firstHour)
    sentences.push(
      `Gas and charge were read at ${isoSecond(gaugedAt)}, longer ago than is computed: what was used before ${isoSecond(outlook.firstHour)} is not counted. Read them again.`,
    );
  const later = yetToCome(unit, now);
  if (later !== null)
    sentences.push(
      `The config says what is in the lines from ${isoSecond(later)} on, which is yet to come: it is not used before.`,
    );
  if (outlook === null) return sentences;
  const end = lastHourOf(outlook);
  if (!coversWindow(outlook, now, policy.windowHours))
    sentences.push(`The forecast ends at ${isoSecond(end)}; what comes after is unknown.`);
  return sentences;
}
