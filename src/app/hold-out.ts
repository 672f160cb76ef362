/** How long a unit holds out once its heat stops, or the power at the post does. */
import { asItStands, heatStops, keepWarm, powerFails } from '../decision/options.ts';
import { isWarmedBy } from '../model/heat-plan.ts';
import type { Measure } from '../model/measure.ts';
import type { RiskAssessor, Scenario } from '../model/risk.ts';
import { HOUR_S, type EpochSeconds } from '../quantity/instant.ts';
import type { RiskQuestion } from './risk-question.ts';
import { warmUnits } from './warmings.ts';
import { optionRequest } from './ways.ts';

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

/** Heat that is on, or that somebody is told to switch on, and the water with it. */
export interface Warmth {
  readonly scenario: Scenario;
  /** From when on. */
  readonly from: EpochSeconds;
}

/** As it stands; null: there is no heat to stop. */
export function standingWarmth({ unit: { model }, water, now }: RiskQuestion): Warmth | null {
  return isWarmedBy(model, water) ? { scenario: asItStands(model, water, now), from: now } : null;
}

/** Kept warm by some measures, once their work is done. */
export function advisedWarmth(
  question: RiskQuestion,
  frozen: ReadonlySet<string>,
  measures: readonly Measure[],
): Warmth {
  const unitOf = warmUnits(question.unit);
  const request = optionRequest({ ...question, unitOf }, { from: question.now, frozen }, true);
  const { scenario } = keepWarm(request, { unit: unitOf(measures), measures });
  // A stop in the instant in which it is switched on would be heat that never was.
  return { scenario, from: 1 + (scenario.change?.at ?? question.now) };
}

/**
 * The stop that leaves the least time, under the middle member. Only parts count that would come through those two
 * days with the heat on. Nothing where there is no heat to stop.
 */
export function holdOuts(
  question: RiskQuestion,
  assessor: RiskAssessor,
  warmth: Warmth | null,
): HoldOuts | null {
  if (warmth === null) return null;
  const { heat } = warmth.scenario.unit ?? question.unit.model;
  const shortestOf = (stopped: (at: EpochSeconds) => Scenario): HoldOut | null =>
    shortest(question, assessor, { ...warmth, stopped });
  const holdOut = shortestOf((at) => heatStops(warmth.scenario, at));
  if (heat?.shore !== true) return { holdOut };
  if (heat.battery === undefined) return { holdOut, powerCut: holdOut };
  return { holdOut, powerCut: shortestOf((at) => powerFails(warmth.scenario, at)) };
}

function shortest(
  { unit: { model }, now, outlook, config }: RiskQuestion,
  assessor: RiskAssessor,
  { scenario, from, stopped }: Warmth & { readonly stopped: (at: EpochSeconds) => Scenario },
): HoldOut | null {
  const until = now + config.policy.windowHours * HOUR_S;
  const count = Math.floor((until - from) / (EVERY_HOURS * HOUR_S));
  const stops = Array.from({ length: Math.max(0, count) }, (_, i) => from + i * EVERY_HOURS * HOUR_S);
  const scenarios = stops.map((at) => ({ ...stopped(at), until: at + LONGEST_HOURS * HOUR_S }));
  const [lasts, ...risks] = assessor.assessMember(
    [{ ...scenario, until: Infinity }, ...scenarios],
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
