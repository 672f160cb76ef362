/** What the work costs and what leaving it would, in a line of the check table. */
import type { CheckAnswer } from '../app/check-answer.ts';
import { moneyWords } from '../message/money-words.ts';

type UnitAnswer = CheckAnswer['units'][number];

/** Empty where there is nothing to do and nothing to lose, or no forecast. */
export function moneyLine(unit: UnitAnswer, currency: string): string {
  const { advice, costOfWork, partialDrain, lossIfNothing, floodIfNothing, partsAtStake } = unit;
  if (advice === null || costOfWork === null) return '';
  const ofWork = advice.partial === true ? partialDrain?.costOfWork : costOfWork[advice.action];
  const doing = advice.action === 'nothing' ? null : (ofWork ?? null);
  return moneyWords({
    currency,
    doing,
    leaving: lossIfNothing,
    flood: floodIfNothing,
    parts: partsAtStake,
  });
}
