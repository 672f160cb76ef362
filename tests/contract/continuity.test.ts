/**
 * A forecast of 24.9 °F and one of 25.1 °F are the same night: as its low moves by tenths of a kelvin, no chance of
 * damage moves by more than a few points, and the advice changes only where a chance crosses its tolerance.
 */
import { OUTSIDE_ACTIONS } from '../../src/decision/advice.ts';
import { expect, it } from 'vitest';
import { CREEK, checkAt, configOf, csvOf, scenario } from '../support/scenario.ts';

const UNITS = [
  ['travel-trailer', 'open'],
  ['motorhome', 'enclosed'],
] as const;

/** Mild days and one night, 36 h ahead, whose low is asked about. */
function air(lowC: number): number[] {
  return Array.from({ length: 24 * 7 }, (_, i) => {
    const [low, high] = Math.floor((i - 1) / 24) === 4 ? [lowC, 6] : [3, 9];
    return (low + high) / 2 + ((high - low) / 2) * Math.cos((2 * Math.PI * (i - 1)) / 24);
  });
}

async function answersAt(lowC: number) {
  const units = UNITS.map(([kind, belly]) => ({
    id: `${kind}-${belly}`,
    place: 'creek',
    kind,
    belly,
    heat: 'none',
    water: { state: 'in-use' },
    contacts: ['ann'],
  }));
  const config = configOf({ places: [CREEK], errorModel: { kind: 'growing' }, units });
  const temperatureC = air(lowC);
  const wind = { windSpeedMps: temperatureC.map(() => 1) };
  const series = csvOf({ start: '2026-11-20T23:00:00Z', temperatureC, ...wind });
  return (await checkAt(scenario(config, { 'series.csv': series }), '2026-11-24T00:00:00Z')).units;
}

/** Measured worst: 3.9 points, two members of 51. */
/** As the answer names them. */
const OUTSIDE = OUTSIDE_ACTIONS;

const MOST_STEP = 0.06;

it('moves by no cliff from −3.3 to −4.3 °C, and its advice where a chance crosses its tolerance', async () => {
  let before = await answersAt(-3.3);
  let worst = { step: 0, what: '' };
  for (let tenth = 34; tenth <= 43; tenth++) {
    const now = await answersAt(-tenth / 10);
    now.forEach((unit, i) => {
      const then = before[i]!;
      for (const action of OUTSIDE) {
        const step = Math.abs((unit.chanceOfDamage?.[action] ?? 0) - (then.chanceOfDamage?.[action] ?? 0));
        if (step > worst.step) worst = { step, what: `${unit.id} ${action} at ${-tenth / 10} °C` };
      }
      const within = (of: typeof unit): string =>
        OUTSIDE.map((a) => (of.chanceOfDamage?.[a] ?? 1) <= (of.tolerance?.[a] ?? 0)).join();
      if (unit.advice?.action !== then.advice?.action)
        expect(within(unit), `${unit.id} at ${-tenth / 10} °C`).not.toBe(within(then));
    });
    before = now;
  }
  process.stdout.write(`worst step of chance for 0.1 K: ${JSON.stringify(worst)}\n`);
  expect(worst.step, worst.what).toBeLessThan(MOST_STEP);
}, 300_000);
