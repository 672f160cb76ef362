import { parseQuantity } from '../quantity/quantity.ts';
import { deliveryRules } from './delivery-rules.ts';
import type { Draft } from './draft.ts';
import { draftOf, mapAt, problemAt, quantityAt, textAt } from './draft.ts';
import { shown } from './found.ts';
import { placeRules } from './place-rules.ts';
import { DEFAULT_WINDOW } from './policy.ts';
import type { Problem } from './problem.ts';
import { referenceRules } from './reference-rules.ts';
import { unitRules } from './unit-rules.ts';
import { DEFAULT_HORIZON } from './weather.ts';

/** The rules that span fields, over the file as written. */
export function ruleProblems(document: unknown): readonly Problem[] {
  const root = draftOf(document);
  return [
    ...placeRules(root),
    ...referenceRules(root),
    ...unitRules(root),
    ...deliveryRules(root),
    ...windowRules(root),
  ];
}

function windowRules(root: Draft): readonly Problem[] {
  const policy = mapAt(root, 'policy');
  const weather = mapAt(root, 'weather');
  const windowS = quantityAt(policy, 'window', 'duration') ?? seconds(DEFAULT_WINDOW);
  const horizon = textAt(weather, 'horizon') ?? DEFAULT_HORIZON;
  if (windowS <= seconds(horizon)) return [];
  const text = `must not look beyond weather.horizon (${horizon}), found ${shown(textAt(policy, 'window') ?? DEFAULT_WINDOW)}`;
  return [problemAt(policy, 'window', text)];
}

function seconds(text: string): number {
  const result = parseQuantity('duration', text);
  return result.ok ? result.value : Infinity;
}
