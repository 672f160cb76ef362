/**
 * How good forecasts of a number were: bias, errors, and the continuous ranked probability score (CRPS).
 *
 * References:
 * 1. Hersbach, H., 2000: Decomposition of the continuous ranked probability score for ensemble prediction systems.
 *    Weather and Forecasting 15:559-570. The score is the area of (P − H)², P the forecast's distribution and H the
 *    step at what was observed.
 */
import { normalQuantile } from '../weather/error-law.ts';

export interface ErrorScores {
  readonly n: number;
  /** Mean of forecast minus observation [K]. */
  readonly biasK: number;
  readonly rmseK: number;
  readonly maeK: number;
}

/** @param errorsK - forecast minus observation; of none, all scores are NaN */
export function errorScores(errorsK: readonly number[]): ErrorScores {
  return {
    n: errorsK.length,
    biasK: mean(errorsK),
    rmseK: Math.sqrt(mean(errorsK.map((e) => e * e))),
    maeK: mean(errorsK.map(Math.abs)),
  };
}

/** NaN of nothing. */
export function mean(values: readonly number[]): number {
  return values.reduce((sum, x) => sum + x, 0) / values.length;
}

export interface WeightedValue {
  readonly weight: number;
  readonly valueC: number;
}

/**
 * CRPS of weighted members [K]: P is a stair with a step of its weight at each member [1]. NaN where anything is
 * unknown.
 *
 * @param stair - in order of their values, weights that sum to 1
 */
export function crpsOfStair(stair: readonly WeightedValue[], observedC: number): number {
  const [first, last] = [stair[0], stair.at(-1)];
  if (first === undefined || last === undefined) return Number.NaN;
  let sum = Math.max(0, first.valueC - observedC, observedC - last.valueC);
  let share = 0;
  let left = first;
  for (const right of stair) {
    const cut = Math.min(right.valueC, Math.max(left.valueC, observedC));
    sum += share ** 2 * (cut - left.valueC) + (1 - share) ** 2 * (right.valueC - cut);
    share += right.weight;
    left = right;
  }
  return sum;
}

/** Those that `crpsOfQuantiles` takes. */
export const QUANTILES = [0.05, 0.25, 0.5, 0.75, 0.95] as const;

/** So many members of like weight stand for a law of which the quantiles are known. */
const STEPS = 100;

/** Where they stand: so far from one quantile to the next, by the normal law; below 0 and above 1 beyond the outermost. */
const PLACES = Array.from({ length: STEPS }, (_, i) => {
  const probability = (i + 0.5) / STEPS;
  const next = QUANTILES.findIndex((q, k) => k > 0 && (q >= probability || k === QUANTILES.length - 1));
  const [low, high] = [QUANTILES[next - 1] ?? 0, QUANTILES[next] ?? 1].map(normalQuantile);
  return { next, part: (normalQuantile(probability) - (low ?? 0)) / ((high ?? 1) - (low ?? 0)) };
});

/**
 * CRPS of a law of which the `QUANTILES` are known [K]. In between and beyond them it is taken to go on as a normal law
 * does: for one the score is right to 0.5 % of its deviation.
 *
 * @param quantilesC - as many as there are `QUANTILES`, rising
 */
export function crpsOfQuantiles(quantilesC: readonly number[], observedC: number): number {
  const stair = PLACES.map(({ next, part }) => {
    const from = quantilesC[next - 1] ?? Number.NaN;
    return { weight: 1 / STEPS, valueC: from + part * ((quantilesC[next] ?? Number.NaN) - from) };
  });
  return crpsOfStair(stair, observedC);
}
