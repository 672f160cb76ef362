/** What is left of the usual work at a unit that somebody has drained already. */
import type { UnitConfig } from '../config/config.ts';
import type { Action } from '../decision/advice.ts';
import { emptyingMinutes } from '../model/catalogue-work.ts';
import { circuitState, type UnitWater } from '../model/water-state.ts';
import { circuitsIn } from './mark-request.ts';

/** Circuits whose water was let out, in the order of the parts. */
export function drainedCircuits(unit: Pick<UnitConfig, 'model'>, water: UnitWater): readonly string[] {
  return circuitsIn(unit).filter((circuit) => circuitState(water, circuit).state.kind === 'drained');
}

/** Looking at what gravity leaves full, and the way round the unit. Common practice, no source. */
const LEAST_MINUTES = 15;

/** Without the minutes of what is done; those that a person states are their own, whatever was done. */
export function withWorkLeft(unit: UnitConfig, water: UnitWater): UnitConfig {
  const { work, model } = unit;
  const drained = drainedCircuits(unit, water);
  const done = emptyingMinutes(model.parts, work.hands ?? 'owner', drained);
  const left = (action: Action, minutes: number): number =>
    work.slowedByCold?.includes(action) === true
      ? Math.max(Math.min(minutes, LEAST_MINUTES), minutes - done)
      : minutes;
  if (done === 0) return unit;
  const { airMinutes } = work;
  return {
    ...unit,
    work: {
      ...work,
      drainMinutes: left('drain', work.drainMinutes),
      winterizeMinutes: left('winterize', work.winterizeMinutes),
      ...(airMinutes === undefined ? {} : { airMinutes: left('winterize', airMinutes) }),
    },
  };
}
