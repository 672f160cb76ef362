import type { Reader, UnitFacts } from './message.ts';
import type { Job, Procedure } from './procedure.ts';
import { drainProcedure } from './steps-drain.ts';
import { lateProcedure, refillProcedure, thawProcedure } from './steps-frozen.ts';
import { outsideProcedure } from './steps-outside.ts';
import { partialProcedure } from './steps-partial.ts';
import { dumpProcedure, fillProcedure } from './steps-service.ts';
import { keepWarmProcedure } from './steps-warm.ts';
import { airProcedure, antifreezeProcedure } from './steps-winterize.ts';

/** Whom the steps are for: their words and their unit of temperature. */
export type StepReader = Pick<Reader, 'words' | 'temperature'>;

/** The ordered steps of a job for this unit, with what is needed and how long it usually takes. */
export function stepsFor(job: Job, facts: UnitFacts, { words, temperature }: StepReader): Procedure {
  const partial = partialProcedure(job, facts, { words, temperature });
  if (partial !== null) return partial;
  switch (job) {
    case 'keep-warm':
      return keepWarmProcedure(facts, words);
    case 'drain-part':
      return outsideProcedure(facts, words);
    case 'drain':
      return drainProcedure(facts, words);
    case 'antifreeze':
      return antifreezeProcedure(facts, { words, temperature });
    case 'air':
      return airProcedure(facts, words);
    case 'late':
      return lateProcedure(facts, words);
    case 'thaw':
      return thawProcedure(facts, words);
    case 'refill':
      return refillProcedure(words);
    case 'fill':
      return fillProcedure(words);
    case 'dump':
      return dumpProcedure();
  }
}
