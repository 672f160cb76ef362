/** How each unit stands after a round, as the outbox holds it for the broker. */
import { outsideAction, outsideActions } from '../decision/advice.ts';
import type { Config, UnitConfig } from '../config/config.ts';
import type { OutgoingMessage } from '../message/message.ts';
import type { HeatWish, UnitFigures, UnitState } from '../message/unit-state.ts';
import { HOUR_S, isoSecond, type EpochSeconds } from '../quantity/instant.ts';
import type { OutboxEntry } from '../store/store.ts';
import { damagedUnit } from './damaged-unit.ts';
import type { UnitEvaluation } from './evaluate.ts';
import { longestGapHours } from './round-interval.ts';

/** A round that fails is made good by the next one; after two that did not come nothing is known any more. */
const ROUNDS_VALID = 2;
const SHORTEST_VALID_HOURS = 3;
const LONGEST_VALID_HOURS = 24;

/** None where no broker is told. */
export function stateEntries(
  config: Config,
  evaluated: UnitEvaluation,
  now: EpochSeconds,
): readonly OutboxEntry[] {
  if (config.delivery.mqtt === null) return [];
  const state = unitState(config, evaluated, now);
  // Every round has a telling of its own, which takes the place of one that still waits.
  const episode = `state.${state.unit}.${isoSecond(now)}`;
  const message: OutgoingMessage = {
    messageId: `<${episode.replaceAll(':', '')}@drainby.invalid>`,
    kind: 'state',
    unit: state.unit,
    action: state.advice?.action ?? 'nothing',
    startBy: state.advice?.startBy ?? null,
    cause: state.advice?.reasonCode ?? state.problem?.code ?? 'no-forecast',
    to: {
      id: '',
      name: '',
      email: null,
    },
    createdAt: now,
    subject: '',
    text: '',
    html: '',
    place: state.place,
    episode,
    useBefore: state.validUntil,
    state,
  };
  return [{ episode, channel: 'mqtt', useBefore: state.validUntil, notBefore: now, message }];
}

function unitState(config: Config, evaluated: UnitEvaluation, now: EpochSeconds): UnitState {
  const { unit, water, assessment } = evaluated;
  const advice = assessment?.advice ?? null;
  return {
    unit: unit.id,
    label: unit.label,
    place: unit.place,
    asOf: now,
    validUntil: now + validHours(config.schedule) * HOUR_S,
    advice:
      advice === null
        ? null
        : { ...outsideAction(advice.action), startBy: advice.startBy, reasonCode: advice.reasonCode },
    figures: unitFigures(evaluated),
    waterState: water.all.state.kind,
    problem: problemOf(evaluated),
  };
}

/** What is known of a unit in numbers, for every message that a machine may read. */
export function unitFigures({ unit, record, assessment }: UnitEvaluation): UnitFigures {
  const outside = assessment?.middle.zones.find((z) => z.zone === 'outside')?.statistics;
  const advice = assessment?.advice ?? null;
  const through = advice?.throughCold ?? null;
  const suspect = record.memory.suspectSince !== null || (assessment?.alreadyDamaged ?? false);
  return {
    method: advice?.method ?? null,
    late: advice?.late ?? null,
    chanceOfDamage: assessment === null ? null : outsideActions(assessment.chances.perAction),
    throughCold:
      through === null ? null : { until: through.until, chanceOfDamage: outsideActions(through.chances) },
    lowestC: outside?.minimumC ?? null,
    lowestAt: outside?.minimumAt ?? null,
    suspect,
    heat: heatWish(unit, advice?.measures?.includes('furnace-on') === true && !suspect),
  };
}

/**
 * A furnace has a vent and a thermostat, so it may be asked for where nobody is there. Electric heaters, pads and tape
 * never are; and what may have split is not thawed behind closed doors.
 */
function heatWish(unit: UnitConfig, isWarmthWanted: boolean): HeatWish {
  const heat = (unit.keptWarm ?? unit.model).heat;
  return isWarmthWanted && heat !== null && heat.capacityW > 0 ? 'furnace-on' : 'unchanged';
}

/** Unknown always says why. */
function problemOf({ unit, record, place, assessment }: UnitEvaluation): UnitState['problem'] {
  if (record.damaged === true) {
    const { code, message } = damagedUnit(unit.id);
    return { code, message };
  }
  if (place.problem !== null) return { code: place.problem.code, message: place.problem.message };
  if (assessment !== null) return null;
  return { code: 'forecast-short', message: 'The forecast does not cover the time ahead.' };
}

function validHours(schedule: string): number {
  const hours = ROUNDS_VALID * longestGapHours(schedule);
  return Math.min(Math.max(hours, SHORTEST_VALID_HOURS), LONGEST_VALID_HOURS);
}
