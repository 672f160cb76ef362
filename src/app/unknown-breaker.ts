/** What would be on at once on a post whose breaker nobody has told: nothing is refused there, so it is said. */
import { isWarmedBy } from '../model/heat-plan.ts';
import { loadW } from '../model/post-load.ts';
import type { UnitEvaluation } from './evaluate.ts';
import { loadedUnit, warmUnits } from './warmings.ts';

/** What the commonest post, of 30 A at 120 V, bears for long [W]: 0.8 of it. Common practice, no source. */
const USUAL_POST_W = 2880;

type Asked = Pick<UnitEvaluation, 'unit' | 'water' | 'assessment'>;

/** As it stands, or with what is advised, whichever is more [W]; 0: the breaker is known, or nothing draws on it. */
export function unknownLoadW({ unit, water, assessment }: Asked): number {
  const { model } = unit;
  if ((model.electrics ?? unit.keptWarm?.electrics)?.limitW !== null) return 0;
  const stands = loadW(model, isWarmedBy(model, water));
  const measures = assessment?.advice.measures;
  if (measures === undefined) return stands;
  const asked = { unitOf: warmUnits(unit), asked: measures };
  return Math.max(stands, loadW(loadedUnit(unit, measures, asked), true));
}

export function breakerSentence(loadOnW: number): string {
  const said = `The breaker of the post is not given: ${Math.round(loadOnW)} W would be on at once.`;
  if (loadOnW <= USUAL_POST_W) return said;
  return `${said} A 30-A post bears ${USUAL_POST_W} W for long: where it trips, everything on it stops, the heat too. Look at the breaker, and say what it is under power.`;
}
