/** The money of the decision, for the check answer and for messages. */
import type { Action, PerAction } from '../decision/advice.ts';
import type { PartAtStake } from '../decision/loss.ts';
import type { MoneyFacts } from '../message/message.ts';
import type { UnitEvaluation } from './evaluate.ts';

/** More than these is a list nobody reads. */
const PARTS_SHOWN = 5;

export interface MoneyAnswer {
  /** Work and material of each feasible action. */
  readonly costOfWork: PerAction;
  /** The same with the loss to expect once it is done. */
  readonly expectedCost: PerAction;
  /** Loss to expect within the window if nothing is done. */
  readonly lossIfNothing: number;
  /** Of it a floor flooded at the thaw. */
  readonly floodIfNothing: number;
  readonly partsAtStake: readonly PartAtStake[];
}

type Nothing = { readonly [K in keyof MoneyAnswer]: null };

const UNKNOWN: Nothing = {
  costOfWork: null,
  expectedCost: null,
  lossIfNothing: null,
  floodIfNothing: null,
  partsAtStake: null,
};

/** All null where there is no forecast. */
export function moneyAnswer({ assessment }: UnitEvaluation): MoneyAnswer | Nothing {
  if (assessment === null) return UNKNOWN;
  const { candidates, losses } = assessment;
  const per = (value: (money: { cost: number; loss: number }) => number): PerAction =>
    Object.fromEntries(
      candidates.flatMap(({ action, money }): [Action, number][] =>
        money === undefined ? [] : [[action, cents(value(money))]],
      ),
    );
  const { expected, flood, parts } = losses.ifNothing;
  const nothing = candidates.find(({ action }) => action === 'nothing')?.money?.loss ?? 0;
  return {
    costOfWork: per(({ cost }) => cost),
    expectedCost: per(({ cost, loss }) => cost + loss),
    // What was blown out may have a low spot, which no part tells of.
    lossIfNothing: cents(Math.max(expected, nothing)),
    floodIfNothing: cents(flood),
    partsAtStake: parts
      .slice(0, PARTS_SHOWN)
      .map((part) => ({ ...part, repair: cents(part.repair), expected: cents(part.expected) })),
  };
}

/** Null where there is no forecast. */
export function moneyFacts(evaluated: UnitEvaluation): MoneyFacts | null {
  const { unit, assessment } = evaluated;
  const answer = moneyAnswer(evaluated);
  if (assessment === null || answer.costOfWork === null) return null;
  const { action } = assessment.advice;
  const money = assessment.candidates.find((c) => c.action === action)?.money;
  return {
    currency: unit.policy.costs.currency,
    doing: action === 'nothing' ? null : (answer.costOfWork[action] ?? null),
    ...(money === undefined ? {} : { after: { expected: cents(money.loss), parts: money.atStake ?? [] } }),
    leaving: answer.lossIfNothing,
    flood: answer.floodIfNothing,
    parts: answer.partsAtStake.map(({ label, chance, repair }) => ({ label, chance, repair })),
  };
}

export function cents(amount: number): number {
  return Math.round(amount * 100) / 100;
}
