/** How long a unit holds out once its heat stops, or the power at the post does. */
import { asItStands, heatStops, powerFails } from '../decision/options.ts';
import { isWarmedBy } from '../model/heat-plan.ts';
import type { RiskAssessor, Scenario } from '../model/risk.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { RiskQuestion } from './risk-question.ts';

export interface HoldOut {
  /** From the stop to the first damage that it brings, at its shortest. */
  readonly hours: number;
  /** The stop for which that holds. */
  readonly stopsAt: EpochSeconds;
  readonly part: string;
}

export interface HoldOuts {
  /** Once all heat stops. Null: no stop within the window does harm. */
  readonly holdOut: HoldOut | null;
  /** Once shore power fails and the furnace lives on its battery, if it has one. Absent: there is no shore power. */
  readonly powerCut?: HoldOut | null;
}

/** Stops that are tried, from now to the end of the window. */
const EVERY_HOURS = 3;
/** A unit that has come through two days without heat holds out. */
const LONGEST_HOURS = 48;

/**
 * The stop that leaves the least time, under the middle member. Only parts count that would come through those two
 * days with the heat on. Nothing where there is no heat to stop.
 */
export function holdOuts(question: RiskQuestion, assessor: RiskAssessor): HoldOuts | null {
  const { unit, now, water } = question;
  const { model } = unit;
  if (!isWarmedBy(model, water)) return null;
  const holdOut = shortest(question, assessor, (at) => heatStops(model, { water, now, at }));
  if (model.heat?.shore !== true) return { holdOut };
  if (model.heat.battery === undefined) return { holdOut, powerCut: holdOut };
  return { holdOut, powerCut: shortest(question, assessor, (at) => powerFails(model, { water, now, at })) };
}

function shortest(
  { unit: { model }, now, outlook, water, config }: RiskQuestion,
  assessor: RiskAssessor,
  stopped: (at: EpochSeconds) => Scenario,
): HoldOut | null {
  const count = Math.floor(config.policy.windowHours / EVERY_HOURS);
  const stops = Array.from({ length: count }, (_, i) => now + i * EVERY_HOURS * HOUR_S);
  const scenarios = stops.map((at) => ({ ...stopped(at), until: at + LONGEST_HOURS * HOUR_S }));
  const [lasts, ...risks] = assessor.assessMember(
    [asItStands(model, water, now), ...scenarios],
    outlook.middle,
  );
  const losses = risks.flatMap(({ partAt }, i) => {
    const stopsAt = stops[i] ?? now;
    const kept = (part: number): boolean =>
      (lasts?.partAt[part] ?? Infinity) > stopsAt + LONGEST_HOURS * HOUR_S;
    return Array.from(partAt, (at, part) => ({ part, stopsAt, hours: (at - stopsAt) / HOUR_S })).filter(
      ({ part, hours }) => hours <= LONGEST_HOURS && kept(part),
    );
  });
  const [first] = losses.toSorted((x, y) => x.hours - y.hours);
  if (first === undefined) return null;
  return { hours: first.hours, stopsAt: first.stopsAt, part: model.parts[first.part]?.id ?? '' };
}
