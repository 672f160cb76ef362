/** What the work costs and what leaving it would, in a line of the check table. */
import type { CheckAnswer } from '../app/check-answer.ts';
import { moneyWords } from '../message/money-words.ts';

type UnitAnswer = CheckAnswer['units'][number];

/** Empty where there is nothing to do and nothing to lose, or no forecast. */
export function moneyLine(unit: UnitAnswer, currency: string): string {
  const { advice, costOfWork, lossIfNothing, floodIfNothing, partsAtStake } = unit;
  if (advice === null || costOfWork === null) return '';
  const doing = advice.action === 'nothing' ? null : (costOfWork[advice.action] ?? null);
  return moneyWords({
    currency,
    doing,
    leaving: lossIfNothing,
    flood: floodIfNothing,
    parts: partsAtStake,
  });
}
