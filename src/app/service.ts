/** The end of a place's water service, for a unit that somebody lives in. Pure. */
import type { Config } from '../config/config.ts';
import { closingsOf, type Closing, type Closings } from '../decision/service.ts';
import { startBy } from '../decision/start-by.ts';
import type { ServiceDue } from '../decision/tell-service.ts';
import type { ServiceFacts } from '../message/message.ts';
import { circuitState, isWet } from '../model/water-state.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { UnitEvaluation } from './evaluate.ts';
import { timesToWork, timesWithoutForecast, type TimesToWork } from './times-to-work.ts';

export interface UnitService {
  readonly closings: Closings;
  /** In order: what is dumped makes room for what is filled. */
  readonly due: readonly ServiceDue[];
}

/** Null: nothing ends within the window or has ended, or nobody uses water there. */
export function serviceOf(config: Config, evaluated: UnitEvaluation, now: EpochSeconds): UnitService | null {
  const { unit, place, water } = evaluated;
  const terms = place.place.water;
  if (terms === null || !unit.attended || !isWet(water.all.state)) return null;
  const until = now + config.policy.windowHours * HOUR_S;
  const found = closingsOf({ terms, timeZone: place.place.timeZone, air: place.outlook, now, until });
  const near = (closing: Closing | null): Closing | null =>
    closing !== null && closing.at <= until ? closing : null;
  const closings = { water: near(found.water), dump: near(found.dump) };
  if (closings.water === null && closings.dump === null) return null;
  const due = dueOf(closings, { config, evaluated, now });
  return { closings, due: isToStandDry(evaluated) ? due.filter(({ kind }) => kind !== 'fill-by') : due };
}

/** Nobody fills what is to be emptied; without a forecast what was last advised holds. */
function isToStandDry({ assessment, record }: UnitEvaluation): boolean {
  const action = (assessment?.advice ?? record.memory.advice)?.action;
  return action === 'drain' || action === 'winterize';
}

interface Asked {
  readonly config: Config;
  readonly evaluated: UnitEvaluation;
  readonly now: EpochSeconds;
}

/** Ends so near to each other are one trip round the place. */
const ONE_TRIP_S = 24 * HOUR_S;

function dueOf({ water, dump }: Closings, asked: Asked): readonly ServiceDue[] {
  const { unit } = asked.evaluated;
  const { fillMinutes, dumpMinutes } = unit.serviceWork;
  const fill = water === null ? null : dueBy(water, fillMinutes, asked);
  const own = dump === null ? null : dueBy(dump, dumpMinutes, asked);
  const isOneTrip = water !== null && dump !== null && Math.abs(water.at - dump.at) < ONE_TRIP_S;
  const together = isOneTrip ? dueBy(dump, dumpMinutes + fillMinutes, asked) : own;
  const dumpStart = together?.startBy ?? own?.startBy ?? null;
  return [
    ...(own === null || dump === null
      ? []
      : [{ kind: 'dump-by' as const, closing: dump, startBy: dumpStart }]),
    ...(fill === null || water === null
      ? []
      : [{ kind: 'fill-by' as const, closing: water, startBy: fill.startBy }]),
  ];
}

/** Null: it has ended. A time to start that has passed is none. */
function dueBy(
  { at }: Closing,
  workMinutes: number,
  { config, evaluated, now }: Asked,
): { readonly startBy: EpochSeconds | null } | null {
  if (at <= now) return null;
  const { late, startBy: start } = startBy({
    deadlineAt: at,
    workMinutes,
    // Whoever lives in it is there.
    travelMinutes: 0,
    marginMinutes: config.policy.marginMinutes,
    now,
    ...timesOf({ config, evaluated, now }, at),
  });
  return { startBy: late ? null : start };
}

function timesOf({ config, evaluated, now }: Asked, end: EpochSeconds): TimesToWork {
  const { unit, place, assessment } = evaluated;
  const asked = { config, unit, place: place.place, now };
  if (place.outlook === null || assessment === null) return timesWithoutForecast({ ...asked, end });
  return timesToWork({ ...asked, outlook: place.outlook, thawedPath: assessment.middle.thawedPath });
}

/** What a message can say of it. */
export function serviceFacts(
  { closings: { water, dump }, due }: UnitService,
  { unit: { waterUse, serviceWork }, water: state }: UnitEvaluation,
): ServiceFacts {
  const startOf = (kind: ServiceDue['kind']): EpochSeconds | null =>
    due.find((one) => one.kind === kind)?.startBy ?? null;
  return {
    waterShutAt: water?.at ?? null,
    waterOpensAt: water?.opensAt ?? null,
    dumpShutAt: dump?.at ?? null,
    dumpOpensAt: dump?.opensAt ?? null,
    because: (water ?? dump)?.because ?? 'date',
    dumpBecause: (dump ?? water)?.because ?? 'date',
    onBoardLitres: waterUse?.onBoardLitres ?? null,
    tankLitres: waterUse?.tankLitres ?? null,
    perDayLitres: waterUse?.perDayLitres ?? null,
    fillBy: startOf('fill-by'),
    dumpBy: startOf('dump-by'),
    fillMinutes: serviceWork.fillMinutes,
    dumpMinutes: serviceWork.dumpMinutes,
    tankDrained: !isWet(circuitState(state, 'tank-fresh').state),
  };
}
