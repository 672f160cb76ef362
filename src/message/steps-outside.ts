/** The steps of a partial drain: what lies outside is emptied and left open, what is inside stays in use. */
import { circuitWords, circuitsWords } from './circuits.ts';
import type { UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';
import { showerSteps } from './steps-shower.ts';
import { capital, minutesWords } from './words.ts';

const USUAL_MINUTES = 15;

export function outsideProcedure(facts: UnitFacts, words: Words): Procedure {
  const { advice, outsideCircuits } = facts;
  const isTold = advice?.action === 'drain-part';
  const circuits = (isTold ? advice.circuits : undefined) ?? outsideCircuits;
  const minutes = isTold ? advice.workMinutes : USUAL_MINUTES;
  return {
    title: `Drain ${circuitsWords(circuits)}; the inside stays in use`,
    time: `About ${minutesWords(minutes)}.`,
    needs: ['a flashlight, gloves and a bucket'],
    steps: [
      ...circuits.flatMap((circuit) => stepsOf(circuit, facts, words)),
      'Leave what was emptied open, so that what is left in it has room.',
      'The lines inside stay full, and the heat stays as it is: look again with every new forecast.',
    ],
  };
}

function stepsOf(circuit: string, facts: UnitFacts, words: Words): readonly string[] {
  if (circuit === 'outside-shower') return showerSteps(facts);
  const name = capital(circuitWords(circuit));
  return [`${name}: ${OPENED.get(circuit)?.(words) ?? 'open its drain and leave it open.'}`];
}

/** In place of the steps for a unit that is drained altogether: here there is pressure inside. */
const OPENED: ReadonlyMap<string, (words: Words) => string> = new Map<string, (words: Words) => string>([
  [
    'post',
    ({ faucet }) =>
      `shut the ${faucet} at the post, take hose, regulator and filter off, drain and stow them. A frost-free hydrant drains itself only with nothing left on it. From then on water comes from the fresh tank.`,
  ],
  [
    'inlet',
    ({ faucet }) =>
      `nothing connected to it. Pump off, open a ${faucet} until no pressure is left, then press the pin of its check valve until nothing comes.`,
  ],
  ['flush', () => 'take the hose off its inlet and let it run out.'],
  [
    'outside-kitchen',
    ({ faucet }) => `shut its own valves, then open its ${faucet}, let it run out and leave it open.`,
  ],
]);
