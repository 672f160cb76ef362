import type { Words } from './message.ts';
import type { Procedure } from './procedure.ts';

/** Common practice: 40 gal run in within a quarter of an hour. */
export function fillProcedure(words: Words): Procedure {
  return {
    title: 'Fill the fresh tank',
    time: 'About 15 min for 40 gal (150 L).',
    needs: ['a drinking-water hose and a pressure regulator'],
    steps: [
      `Let the ${words.faucet} at the post run a moment before the hose goes on.`,
      'Fill by the fill port, not by the city inlet, and stay with it; shut it when the vent runs over.',
      `Shut the ${words.faucet}, take the hose off, drain and coil it; regulator and filter inside.`,
      'A full tank that is not kept warm freezes, its outlet first: its drain stays within reach.',
    ],
  };
}

export function dumpProcedure(): Procedure {
  return {
    title: 'Dump the tanks',
    time: 'About 20 min at the pad, 75 where the unit has to be towed there.',
    needs: ['a sewer hose and gloves'],
    steps: [
      'Hose on and secured, then the black valve; let it run out, rinse if there is water for it, and shut it.',
      'Then the grey, which rinses the hose; shut it.',
      'Hose off, drained and stowed: water left in it freezes into a plug.',
      'Both valves shut, caps on. A valve that does not move is not forced.',
    ],
  };
}
