import type { Config, UnitConfig } from '../config/config.ts';
import type { SustainedRule } from '../model/damage.ts';
import { RiskAssessor } from '../model/risk.ts';
import type { UnitModel } from '../model/unit.ts';
import type { UnitWater } from '../model/water-state.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';

/** What is asked of the model: what this weather does to this unit as it stands now. */
export interface RiskQuestion {
  readonly config: Config;
  readonly unit: UnitConfig;
  readonly outlook: Outlook;
  readonly water: UnitWater;
  readonly now: EpochSeconds;
}

/** An assessor under the policy's rule: computed budgets, or the rule of thumb in their place. */
export function assessorOf(
  { config, outlook, water, now, unit }: RiskQuestion,
  model: UnitModel = unit.model,
): RiskAssessor {
  return new RiskAssessor({ unit: model, outlook, water, now, rule: sustainedRule(config) });
}

export function sustainedRule({ policy: { sustained, rule } }: Pick<Config, 'policy'>): SustainedRule {
  return { ...sustained, replacesBudgets: rule === 'simple' };
}
