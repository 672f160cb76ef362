/** What was taken for granted of the work, in full sentences. */
import { BRITTLE_BELOW_C } from '../decision/cold-work.ts';
import type { Config } from '../config/config.ts';
import { formatTemperature } from '../quantity/temperature.ts';
import type { UnitEvaluation } from './evaluate.ts';

export function workAssumptions({ display }: Config, { assessment }: UnitEvaluation): readonly string[] {
  const slowed = assessment?.advice.slowed;
  if (slowed === undefined) return [];
  const degrees = (celsius: number): string => formatTemperature(celsius, display.temperature);
  const brittle =
    slowed.airC < BRITTLE_BELOW_C
      ? ` Below about ${degrees(BRITTLE_BELOW_C)} caps and valve handles snap.`
      : '';
  return [
    `The work is counted ${slowed.factor} times as long as usual, since it is down to ${degrees(slowed.airC)} outside while it is done.${brittle}`,
  ];
}
