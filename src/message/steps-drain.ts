import type { UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';

export const DRAIN_NEEDS: readonly string[] = [
  'a wrench or socket for the heater plug or anode, and a new seal for it',
  'a flashlight, gloves, towels and a bucket',
  'a tag that says "heater empty"',
];

export function drainProcedure(facts: UnitFacts, words: Words): Procedure {
  return {
    title: 'Drain it',
    time: 'About 25 min with the heater cold; letting the heater cool and draining it adds about 25, dumping the tanks 20.',
    needs: DRAIN_NEEDS,
    steps: [
      ...drainSteps(facts, words),
      'Ice maker, washing machine, dishwasher, refrigerator dispenser, tankless heater (plugs and inlet screen): each by its own manual.',
      `Leave every ${words.faucet} and low point open. Element breaker off, ${words.gas} off, tag on: heater empty.`,
      'The traps still hold water; a cup or two of potable antifreeze in each protects them.',
    ],
  };
}

/** What every way of winterizing begins with too. */
export function drainSteps(facts: UnitFacts, words: Words): readonly string[] {
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
    'Empty what gravity leaves full: filter bowl, pump strainer, black-tank flush line, and the city inlet (press the pin of its check valve). Bypass a water softener and drain it.',
  ];
}
