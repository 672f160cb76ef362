import type { UnitFacts } from './message.ts';

/** The pump pushes against what may be ice: where there may be some, it stays off. */
export function pumpStep({ suspect, alreadyDamaged }: UnitFacts, otherwise: string): string {
  if (!suspect && !alreadyDamaged) return otherwise;
  return 'Leave the pump off: it may have frozen, and what the pump pushes against ice bursts. Open its strainer and the filter bowl, and let out what comes.';
}
