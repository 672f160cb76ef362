/** Made-up winters: a truth, and forecasts of it every six hours that err less the nearer they come. */
import * as fc from 'fast-check';
import { normalDistribution } from '../../src/weather/error-law.ts';
import type { Weather } from './timeline.ts';

export const ROUNDS = 24 * 9;
const RUN_HOURS = 6;
const WINDOW_HOURS = 72;

export interface Winter {
  /** Cold nights: the hour of the low, and how low it really gets [°C]. */
  readonly nights: readonly { readonly hour: number; readonly lowC: number }[];
  /** Standard normal, by run of the forecast: what it errs by, and when. */
  readonly lowErrors: readonly number[];
  readonly timeErrors: readonly number[];
}

const error = fc.double({ min: -2.5, max: 2.5, noNaN: true });
const RUNS = ROUNDS / RUN_HOURS;

export const winters: fc.Arbitrary<Winter> = fc.record({
  nights: fc.array(
    fc.record({
      hour: fc.integer({ min: 3, max: 9 }).map((day) => 24 * day + 18),
      lowC: fc.double({ min: -16, max: 3, noNaN: true }),
    }),
    { minLength: 1, maxLength: 4 },
  ),
  lowErrors: fc.array(error, { minLength: RUNS, maxLength: RUNS }),
  timeErrors: fc.array(error, { minLength: RUNS, maxLength: RUNS }),
});

/** What the forecast of an hour says: chances of nights within the window, from a normal law of its error. */
export function weatherAt({ nights, lowErrors, timeErrors }: Winter, hour: number): Weather {
  const run = Math.floor(hour / RUN_HOURS);
  const seen = nights
    .filter((night) => night.hour > hour && night.hour <= hour + WINDOW_HOURS)
    .map((night) => {
      const deviation = 1 + (0.3 * (night.hour - hour)) / 24;
      const lowC = night.lowC + 0.6 * deviation * (lowErrors[run] ?? 0);
      return { ...night, lowC, deviation };
    });
  const chance = (limitC: number): number =>
    Math.max(0, ...seen.map((night) => normalDistribution((limitC - night.lowC) / night.deviation)));
  const nothing = chance(-4);
  const first = seen
    .filter((night) => normalDistribution((-4 - night.lowC) / night.deviation) > 0.025)
    .toSorted((a, b) => a.hour - b.hour)[0];
  const deadline = first === undefined ? null : first.hour - 6 + 2 * (timeErrors[run] ?? 0);
  return {
    chances: { nothing, drain: chance(-11), winterize: 0 },
    deadline,
    forecast: `run ${run}`,
    chanceAhead: nothing,
    chanceIfWet: nothing,
  };
}
