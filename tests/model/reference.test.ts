/**
 * The model against an independent solver on units, weather and plans made up at random: every zone, some parts,
 * the furnace's heat and when the battery is flat. Gas is taken to be refilled: what boils off a cylinder that sinks
 * falls by the hour in the model and without a step in a solver, so that `supply.test.ts` holds it by hand.
 */
import { describe, it } from 'vitest';
import { Random } from '../support/random.ts';
import { randomPlan, randomUnit, randomWeather, someParts } from '../support/random-unit.ts';
import { compareUnit } from '../support/unit-comparison.ts';

const HOURS = 240;
const SEEDS = Array.from({ length: 30 }, (_, i) => 20_261_125 + i);

function expectAgreement(seed: number): void {
  const random = new Random(seed);
  const unit = randomUnit(random);
  const weather = randomWeather(random, HOURS);
  const plan = randomPlan(random, HOURS);
  compareUnit({ unit, weather, plan, parts: someParts(random, unit) });
}

describe('ten days of a random unit in random weather, against an independent solver', () => {
  it.each(SEEDS)('seed %d: zones and parts agree to 1e-6 K and 1e-6 ice', (seed) => {
    expectAgreement(seed);
  });
});
