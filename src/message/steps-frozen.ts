import type { UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';
import { pumpStep } from './steps-pump.ts';

/** The start-by time has passed and ice has not come yet: each step helps though the rest be never reached. */
export function lateProcedure(facts: UnitFacts, words: Words): Procedure {
  return {
    title: 'What is still worth doing, in this order',
    time: 'The first four steps take about ten minutes.',
    needs: ['a flashlight, gloves and a bucket'],
    steps: [
      `Supply off: shut the ${words.faucet} at the post${facts.hasHose ? ', take the hose off and let it run out' : ''}. Pump off. Then no floor can flood at the thaw.`,
      `Open every ${words.faucet}, hot and cold, and the shower: an open ${words.faucet} lets pressure off, so a blocked line breaks less.`,
      `Water heater: element off at its breaker and ${words.gas} to the heater off. Drain it later, when it has cooled.`,
      'Open the low-point drains first, then the drain of the fresh tank: they empty most of the lines within minutes. What comes from the hot side may scald.',
      'Empty the outside shower, the black-tank flush line and the city inlet; hold the toilet pedal down.',
      pumpStep(facts, 'Run the pump dry in short bursts, then empty its strainer and the filter bowl.'),
      ...(facts.hasHeat
        ? [
            'Warm it inside with the vented furnace on its thermostat, cupboard doors open, for as long as the lines still hold water.',
          ]
        : []),
      'If something does not move or nothing comes out, ice is there: stop, leave it open, do not pressurise.',
    ],
  };
}

export function thawProcedure(facts: UnitFacts, words: Words): Procedure {
  const first = facts.firstPart === null ? '' : `${facts.firstPart} first, then `;
  return {
    title: 'What to do now',
    time: 'Shutting off takes ten minutes; the thaw takes from hours to days.',
    needs: ['a flashlight, towels and a bucket', 'a mild day, or a heated place'],
    steps: [
      `Do not pressurise: shut the supply at the post${facts.hasHose ? ' and take the hose off' : ''}, pump off.`,
      `Water heater: element off at its breaker, ${words.gas} to the heater off.`,
      `Open the ${words.faucet}s and leave them open. Do not run the pump to try.`,
      facts.hasHeat
        ? 'Warm it slowly: the vented furnace on its thermostat, cupboard doors and hatches open. No flame, no blowtorch, nothing hot held against a pipe.'
        : 'Warm it slowly: let a mild day do it, hatches and cupboards open, or have it moved under a heated roof. No flame, no blowtorch, nothing hot held against a pipe.',
      'Give it time: below the floor, and round a tank that holds ice, it stays frozen long after the air is mild.',
      `Look for splits, bulges and drips: ${first}elbows and fittings, pump head and strainer, toilet valve, ${words.faucet} cartridges, filter bowl, city inlet, outside shower, the heater’s fittings, tank outlets and dump valves, and below the floor.`,
      'When all of it is thawed: the pump in short bursts with an eye under each sink, then off again. Any drip: supply and pump stay off until it is repaired.',
      'The water heater last, and its element only when the tank is full.',
      'If it holds and more cold is ahead: drain or winterize it before the next night.',
    ],
  };
}

export function refillProcedure(words: Words): Procedure {
  return {
    title: 'Fill it again',
    time: 'About two hours of work, and 4 to 12 h of waiting if the system is sanitized.',
    needs: [
      'a pressure regulator and a drinking-water hose',
      'a new seal for the heater plug, the filter cartridge, towels and a flashlight',
    ],
    steps: [
      'Shut the low points and all drains, put the heater’s plug or anode back, close what was opened. Leave element and burner off.',
      `If antifreeze is in the lines: leave the heater bypassed and flush every ${words.faucet}, toilet and shower until no colour and no foam comes.`,
      `Turn the bypass back. Let water in slowly, through the regulator or by the pump, with a hot ${words.faucet} open.`,
      `One ${words.faucet} after the other until no air comes: cold, then hot, the outside shower and the toilets too.`,
      'Look under every sink, round the pump, the toilet and the heater, and below the floor. Any drip: supply off.',
      'Sanitize by the unit’s manual, let it stand as long as that says, and flush.',
      `Heater on only after water runs steadily at the hot ${words.faucet}.`,
      'A late frost is still possible: keep the wrench and a plan to drain at hand.',
    ],
  };
}
