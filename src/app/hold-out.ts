/** How long a unit holds out once its heat stops: by gas, by power, by a blower that dies in the night. */
import { heatStops } from '../decision/options.ts';
import { isWarmedBy } from '../model/heat-plan.ts';
import type { RiskAssessor } from '../model/risk.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { RiskQuestion } from './risk-question.ts';

export interface HoldOut {
  /** From the stop to the first damage that it brings, at its shortest. */
  readonly hours: number;
  /** The stop for which that holds. */
  readonly stopsAt: EpochSeconds;
  readonly part: string;
}

/** Stops that are tried, from now to the end of the window. */
const EVERY_HOURS = 3;
/** A unit that has come through two days without heat holds out. */
const LONGEST_HOURS = 48;

/**
 * The stop that leaves the least time, under the middle member. Only parts count that would come through with
 * the heat on. Null: no stop within the window does harm; absent: there is no heat to stop.
 */
export function holdOut(
  { unit: { model }, now, outlook, water, config }: RiskQuestion,
  assessor: RiskAssessor,
): { holdOut?: HoldOut | null } {
  if (!isWarmedBy(model, water)) return {};
  const stops = Math.floor(config.policy.windowHours / EVERY_HOURS);
  const instants = Array.from({ length: stops }, (_, i) => now + i * EVERY_HOURS * HOUR_S);
  const scenarios = instants.map((at) => ({
    ...heatStops(model, { water, now, at }),
    until: at + LONGEST_HOURS * HOUR_S,
  }));
  const lasting = heatStops(model, { water, now, at: Infinity });
  const [lasts, ...risks] = assessor.assessMember([lasting, ...scenarios], outlook.middle);
  let shortest: HoldOut | null = null;
  risks.forEach((risk, i) => {
    const stopsAt = instants[i] ?? now;
    risk.partAt.forEach((at, part) => {
      const bySelf = lasts?.partAt[part] ?? Infinity;
      const hours = (at - stopsAt) / HOUR_S;
      if (at > stopsAt + LONGEST_HOURS * HOUR_S || bySelf <= at + 1 || (shortest !== null && hours >= shortest.hours))
        return;
      shortest = { hours, stopsAt, part: model.parts[part]?.id ?? '' };
    });
  });
  return { holdOut: shortest };
}
