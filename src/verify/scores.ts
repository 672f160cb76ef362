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
 * @param members - weights that sum to 1
 */
export function crpsOfMembers(members: readonly WeightedValue[], observedC: number): number {
  const stair = members.toSorted((x, y) => x.valueC - y.valueC);
  const [first, last] = [stair[0], stair.at(-1)];
  if (first === undefined || last === undefined) return Number.NaN;
  let area = Math.max(0, first.valueC - observedC, observedC - last.valueC);
  let share = 0;
  for (const [i, { weight, valueC: left }] of stair.entries()) {
    const right = stair[i + 1]?.valueC ?? left;
    const cut = Math.min(right, Math.max(left, observedC));
    share += weight;
    area += share ** 2 * (cut - left) + (1 - share) ** 2 * (right - cut);
  }
  return area;
}

export interface Quantile {
  readonly probability: number;
  readonly valueC: number;
}

/** So many members stand for a law of which quantiles are known. */
const STEPS = 100;
const STEP_SCORES = Array.from({ length: STEPS }, (_, i) => normalQuantile((i + 0.5) / STEPS));

/**
 * CRPS of a law of which at least two quantiles are known [K], in order of their probability. In between and beyond
 * them it is taken to go on as a normal law does: for one the score is right to 0.5 % of its deviation.
 */
export function crpsOfQuantiles(quantiles: readonly Quantile[], observedC: number): number {
  const knots = quantiles.map(({ probability, valueC }) => ({ score: normalQuantile(probability), valueC }));
  const members = STEP_SCORES.map((score) => ({ weight: 1 / STEPS, valueC: onLine(knots, score) }));
  return crpsOfMembers(members, observedC);
}

interface Knot {
  readonly score: number;
  readonly valueC: number;
}

function onLine(knots: readonly Knot[], score: number): number {
  const next = knots.findIndex((knot, i) => i > 0 && (knot.score >= score || i === knots.length - 1));
  const [from, to] = [knots[next - 1], knots[next]];
  if (from === undefined || to === undefined) return Number.NaN;
  return from.valueC + ((score - from.score) * (to.valueC - from.valueC)) / (to.score - from.score);
}
