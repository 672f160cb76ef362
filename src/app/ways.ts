/** When work with water can begin, and what can then be done. */
import type { Action, Method } from '../decision/advice.ts';
import { optionsOf, type Option, type OptionRequest } from '../decision/options.ts';
import { workMinutes } from '../decision/policy.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { MiddleCourse } from './middle-course.ts';
import { slownessAt } from './option-money.ts';
import type { RiskQuestion } from './risk-question.ts';
import { warmingsOf, type WarmUnits } from './warmings.ts';

/** With what it takes to make the units that it would be kept warm as. */
export interface Asking extends RiskQuestion {
  readonly unitOf: WarmUnits;
}

/** To shut the supply, take the hose off and drain it: ten minutes and some to spare; common practice, no source. */
const HOSE_MINUTES = 15;

/** When it can begin, and which circuits are then closed by ice. */
export interface Way {
  readonly from: EpochSeconds;
  readonly frozen: ReadonlySet<string>;
}

/**
 * At once with what is open; and, where ice closes something, once all of it has thawed for long enough. The
 * unit as it stands and kept warm comes with the first.
 */
export function waysOf(
  { now, unit }: RiskQuestion,
  { frozen, thawedPath }: MiddleCourse,
): readonly [Way, ...Way[]] {
  const atOnce = { from: now, frozen };
  if (frozen.size === 0) return [atOnce];
  const workS = 60 * unit.work.drainMinutes;
  const thawed = thawedPath.find((i) => i.end - i.start >= workS);
  return thawed === undefined ? [atOnce] : [atOnce, { from: Math.max(now, thawed.start), frozen: new Set() }];
}

export function untilOf({ now, config }: RiskQuestion): EpochSeconds {
  return now + config.policy.windowHours * HOUR_S;
}

/** The coldest air of any member from now to the end of the window. */
export function coldestC(request: RiskQuestion): number {
  const { members, firstHour } = request.outlook;
  const from = Math.floor((request.now - firstHour) / HOUR_S);
  const to = Math.ceil((untilOf(request) - firstHour) / HOUR_S);
  return Math.min(...members.map((m) => Math.min(...m.temperatureC.subarray(Math.max(0, from), to + 1))));
}

export function optionsAt(asking: Asking, way: Way, withWork: boolean): readonly Option[] {
  const options = optionsOf(optionRequest(asking, way, withWork));
  return way.from === asking.now ? options : options.filter((o) => o.action !== 'nothing');
}

/** @param withWork - their work takes its time; otherwise as if it were done already. */
export function optionRequest(asking: Asking, { from, frozen }: Way, withWork: boolean): OptionRequest {
  const { unit, water, now, unitOf } = asking;
  const endOf = (action: Action, method: Method | null = null): EpochSeconds => {
    const start = action === 'keep-warm' ? now : from;
    if (!withWork) return start;
    const slowness = slownessAt(asking, action, start);
    const minutes = Math.round(slowness * workMinutes(unit.work, action, method));
    return start + 60 * (minutes + unit.work.travelMinutes);
  };
  return {
    unit: unit.model,
    // The unit as it stands and kept warm comes with what can be done at once.
    warmings: from === now ? warmingsOf({ unit, water, frozen }, unitOf) : [],
    attended: unit.attended,
    water,
    now,
    frozen,
    stowedAt: withWork ? from + 60 * (unit.work.travelMinutes + HOSE_MINUTES) : from,
    endOf,
    until: untilOf(asking),
    coldestC: coldestC(asking),
  };
}
