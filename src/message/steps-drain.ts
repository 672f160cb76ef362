import type { UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';
import { stepsLeft, timeLeft } from './steps-drained.ts';

export const DRAIN_NEEDS: readonly string[] = [
  'a wrench or socket for the heater plug or anode, and a new seal for it',
  'a flashlight, gloves, towels and a bucket',
  'a tag that says "heater empty"',
];

const USUAL_TIME =
  'About 25 min with the heater cold; letting the heater cool and draining it adds about 25, dumping the tanks 20.';

export function drainProcedure(facts: UnitFacts, words: Words): Procedure {
  return {
    title: 'Drain it',
    time: timeLeft(facts) ?? USUAL_TIME,
    needs: DRAIN_NEEDS,
    steps: [
      ...drainSteps(facts, words),
      ...applianceSteps(facts),
      `Leave every ${words.faucet} and low point open. Element breaker off, ${words.gas} off, tag on: heater empty.`,
      'The traps still hold water; a cup or two of potable antifreeze in each protects them.',
    ],
  };
}

/** What every way of winterizing begins with too. */
export function drainSteps(facts: UnitFacts, words: Words): readonly string[] {
  const left = stepsLeft(facts, words);
  if (left !== null) return [...left, ...pocketSteps(facts)];
  return [
    `Water heater: element off at its breaker, ${words.gas} off. Run hot water until it comes cool (about 12 min).`,
    facts.hasHose
      ? `Pump off. Shut the ${words.faucet} at the post, take the hose off, drain and coil it; regulator and filter inside.`
      : 'Pump off, and nothing connected to the city inlet.',
    `Open one hot and one cold ${words.faucet} until no pressure is left.`,
    'Stand aside and pull the heater’s plug or anode; open its relief valve to let air in.',
    'Dump the black tank, then the grey; shut the valves. Open the drain of the fresh tank.',
    `Open the hot and the cold low-point drain, then every ${words.faucet} hot and cold, the shower and its hand spray, the outside shower and the outside kitchen.`,
    'Hold the toilet pedal down until nothing comes; the same with a second toilet.',
    'Run the pump in short bursts until it spits air, then switch it off.',
    ...pocketSteps(facts),
  ];
}

/** Emptied with the rest by the steps before it. */
const DONE_BEFORE: readonly string[] = ['pump-head', 'toilet-valve', 'second-toilet', 'hand-spray'];

/** Each by its own manual. */
const APPLIANCES: ReadonlyMap<string, string> = new Map([
  ['tankless-heater', 'tankless heater (drain plugs and inlet screen)'],
  ['hydronic-coil', 'hydronic heater’s domestic coil'],
  ['washing-machine', 'washing machine (drain and spin, and its drain pump)'],
  ['dishwasher', 'dishwasher (valve and pump)'],
  ['ice-maker', 'ice maker (valve and line)'],
  ['dispenser-coil', 'refrigerator’s dispenser coil, which never empties by itself'],
  ['macerator', 'macerator pump'],
]);

/** How what stays full is emptied, in the unit's order. */
const POCKETS: ReadonlyMap<string, string> = new Map([
  ['strainer', 'pump strainer (its bowl off)'],
  ['check-valve', 'check valves (an outlet open on either side of each)'],
  ['canister-filter', 'canister filter (its bowl off, the cartridge out)'],
  ['water-softener', 'water softener (bypassed and drained)'],
  ['black-flush', 'black-tank flush line (its inlet open)'],
  ['flush-breaker', 'vacuum breaker of the flush line'],
  ['accumulator', 'accumulator (an outlet near it open)'],
]);

/** What this unit has that gravity leaves full; the city inlet too, up to its check valve. */
function pocketSteps({ pockets }: UnitFacts): readonly string[] {
  const named = pockets
    .filter(({ id }) => !DONE_BEFORE.includes(id) && !APPLIANCES.has(id))
    .map(({ id, label }) => POCKETS.get(id) ?? label);
  const all = [...named, 'city inlet (press the pin of its check valve)'];
  return [`Look at what gravity leaves full, and empty it: ${all.join('; ')}.`];
}

function applianceSteps({ pockets }: UnitFacts): readonly string[] {
  const named = pockets.flatMap(({ id }) => APPLIANCES.get(id) ?? []);
  return named.length === 0 ? [] : [`Each by its own manual: ${named.join('; ')}.`];
}
