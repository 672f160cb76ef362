/** The end of a place's water service in the check answer. */
import type { Config } from '../config/config.ts';
import type { EpochSeconds } from '../quantity/instant.ts';
import { instant, rounded } from './answer-values.ts';
import type { UnitEvaluation } from './evaluate.ts';
import { serviceFacts, serviceOf } from './service.ts';

/** Null: not known, or not ended within the window. */
interface ServiceAnswer {
  readonly waterShutAt: string | null;
  readonly waterOpensAt: string | null;
  readonly dumpShutAt: string | null;
  readonly dumpOpensAt: string | null;
  readonly because: 'date' | 'cold';
  readonly fillBy: string | null;
  readonly dumpBy: string | null;
  /** Days that the water on board lasts. */
  readonly onBoardDays: number | null;
}

/** Absent: nothing ends within the window, or nobody uses water there. */
export function serviceAnswer(
  config: Config,
  evaluated: UnitEvaluation,
  now: EpochSeconds,
): { service?: ServiceAnswer } {
  const found = serviceOf(config, evaluated, now);
  if (found === null) return {};
  const facts = serviceFacts(found, evaluated);
  const { onBoardLitres, perDayLitres } = facts;
  const days = onBoardLitres === null || perDayLitres === null ? null : onBoardLitres / perDayLitres;
  return {
    service: {
      waterShutAt: instant(facts.waterShutAt),
      waterOpensAt: instant(facts.waterOpensAt ?? null),
      dumpShutAt: instant(facts.dumpShutAt),
      dumpOpensAt: instant(facts.dumpOpensAt ?? null),
      because: facts.because,
      fillBy: instant(facts.fillBy ?? null),
      dumpBy: instant(facts.dumpBy ?? null),
      onBoardDays: rounded(days),
    },
  };
}
