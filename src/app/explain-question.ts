import type { Config } from '../config/config.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import type { Outlook } from '../weather/outlook.ts';
import type { UnitEvaluation } from './evaluate.ts';

/** One member of one unit's outlook, to be laid open. */
export interface ExplainQuestion {
  readonly config: Config;
  readonly evaluated: UnitEvaluation;
  readonly outlook: Outlook;
  readonly member: number;
  readonly now: EpochSeconds;
}
