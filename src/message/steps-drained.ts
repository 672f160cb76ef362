/** What is left of letting the water out where somebody has done some of it. */
import type { UnitFacts, Words } from './message.ts';
import { minutesWords } from './words.ts';
import { pumpStep } from './steps-pump.ts';

const JOINED: readonly string[] = ['heater', 'cold', 'hot'];

/** Some of what a drain begins with is done. */
export function isDrained({ drained = [] }: UnitFacts): boolean {
  return JOINED.some((circuit) => drained.includes(circuit));
}

/** Null: all of it is to be done, or another job is advised, whose minutes these are not. */
export function timeLeft(facts: UnitFacts): string | null {
  const { advice } = facts;
  if (!isDrained(facts) || advice?.action !== 'drain') return null;
  return `About ${minutesWords(advice.workMinutes)} for this unit; what is drained already is not counted.`;
}

/**
 * The steps up to what gravity leaves full, without those for what is drained; null: all of them. Somebody said so and
 * nobody saw it: every one of them ends with a look.
 */
export function stepsLeft(facts: UnitFacts, { faucet, gas }: Words): readonly string[] | null {
  if (!isDrained(facts)) return null;
  const { drained = [], hasHose } = facts;
  const isDone = (...circuits: readonly string[]): boolean => circuits.every((c) => drained.includes(c));
  const heaterOff = `Water heater: element off at its breaker, ${gas} off`;
  const cools = isDone('hot')
    ? 'Let it cool by itself: that takes many hours.'
    : 'Run hot water until it comes cool (about 12 min). Where none comes it cools by itself, which takes many hours: it is not opened before.';
  return [
    isDone('heater') ? `${heaterOff}; both stay off, since it is empty.` : `${heaterOff}. ${cools}`,
    hasHose
      ? `Pump off. Shut the ${faucet} at the post, take the hose off, drain and coil it; regulator and filter inside.`
      : 'Pump off, and nothing connected to the city inlet.',
    `Open one hot and one cold ${faucet} until no pressure is left. What is drained already stays open; if water comes where it should be empty, drain all of it once more.`,
    ...(isDone('heater')
      ? []
      : ['Stand aside and pull the heater’s plug or anode; open its relief valve to let air in.']),
    ...tankSteps(isDone),
    ...(isDone('cold', 'hot')
      ? []
      : [
          `Open the hot and the cold low-point drain, then every ${faucet} hot and cold, the shower and its hand spray, the outside shower and the outside kitchen.`,
          'Hold the toilet pedal down until nothing comes; the same with a second toilet.',
          pumpStep(facts, 'Run the pump in short bursts until it spits air, then switch it off.'),
        ]),
  ];
}

function tankSteps(isDone: (...circuits: readonly string[]) => boolean): readonly string[] {
  const waste = isDone('tank-black', 'tank-grey')
    ? []
    : ['Dump the black tank, then the grey; shut the valves.'];
  return isDone('tank-fresh') ? waste : [...waste, 'Open the drain of the fresh tank.'];
}
