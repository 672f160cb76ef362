import { DEFAULT_POLICY } from '../decision/policy.ts';
import { parseQuantity } from '../quantity/quantity.ts';
import { deliveryRules } from './delivery-rules.ts';
import type { Draft } from './draft.ts';
import { draftOf, has, mapAt, numberAt, problemAt, quantityAt, textAt } from './draft.ts';
import { shown } from './found.ts';
import { heartbeatRules } from './heartbeat-rules.ts';
import { placeRules } from './place-rules.ts';
import { DEFAULT_WINDOW } from './policy.ts';
import type { Problem } from './problem.ts';
import { referenceRules } from './reference-rules.ts';
import { serviceRules } from './service-rules.ts';
import { unitRules } from './unit-rules.ts';
import { weatherRules } from './weather-rules.ts';
import { DEFAULT_HORIZON } from './weather.ts';

/** The rules that span fields, over the file as written. */
export function ruleProblems(document: unknown): readonly Problem[] {
  const root = draftOf(document);
  return [
    ...placeRules(root),
    ...serviceRules(root),
    ...heartbeatRules(root),
    ...referenceRules(root),
    ...unitRules(root),
    ...deliveryRules(root),
    ...weatherRules(root),
    ...windowRules(root),
    ...thresholdRules(root),
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

/** Ice blocks a part no later than it fills it. The default of what is not given is held against what is. */
function thresholdRules(root: Draft): readonly Problem[] {
  const thresholds = mapAt(mapAt(root, 'policy'), 'thresholds');
  const blocked = mapAt(thresholds, 'blocked');
  const usual = DEFAULT_POLICY.thresholds;
  const solid = numberAt(thresholds, 'solid') ?? usual.solid;
  const late = (['rigid', 'flexible'] as const)
    .map((body) => ({ body, share: numberAt(blocked, body) ?? usual.blocked[body] }))
    .filter(({ share }) => share > solid);
  const given = late.filter(({ body }) => has(blocked, body));
  if (given.length > 0) {
    return given.map(({ body, share }) =>
      problemAt(blocked, body, `must not be above solid (${solid}), found ${share}`),
    );
  }
  return late.slice(-1).map(({ body, share }) => {
    const text = `must not be below what blocks a ${body} body (${share}), found ${solid}`;
    return problemAt(thresholds, 'solid', text);
  });
}

function seconds(text: string): number {
  const result = parseQuantity('duration', text);
  return result.ok ? result.value : Infinity;
}
