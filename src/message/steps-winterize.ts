import { formatTemperature, type TemperatureUnit } from '../quantity/temperature.ts';
import type { Reader, UnitFacts, Words } from './message.ts';
import type { Procedure } from './procedure.ts';
import { DRAIN_NEEDS, drainSteps, shutStep } from './steps-drain.ts';
import {
  airHeaterStep,
  airNeeds,
  airTime,
  antifreezeNeeds,
  antifreezeTime,
  heaterSteps,
  inletStep,
  pumpSteps,
} from './steps-route.ts';

export function antifreezeProcedure(
  facts: UnitFacts,
  { words, temperature }: Pick<Reader, 'words' | 'temperature'>,
): Procedure {
  return {
    title: 'Winterize it with antifreeze',
    time: antifreezeTime(facts),
    needs: [
      ...antifreezeNeeds(facts),
      ...DRAIN_NEEDS,
      'a refractometer, if you have one, that fits the fluid: one for glycol reads alcohol wrongly',
    ],
    steps: [
      ...drainSteps(facts, words),
      shutStep(),
      'Take the cartridge out of the water filter. The softener stays bypassed: antifreeze never goes through it.',
      ...heaterSteps(facts),
      ...pumpSteps(facts),
      `One ${words.faucet} after the other, from the nearest to the farthest: cold until the colour is full, then hot. Do not forget the shower and its hand spray, the outside shower, the outside kitchen, the toilets (pedal held down) and the black-tank flush line if the pump feeds it.`,
      'Ice maker, washing machine (a warm fill, then drain and spin), dishwasher, tankless heater: each by its own manual.',
      inletStep(facts),
      `Measure the fluid at the last ${words.faucet}. Thinned with water left in the lines it freezes far warmer; if it is weak, pump again.${dilutionWords(facts, temperature)}`,
      ...closingSteps(words),
    ],
  };
}

/** Nobody pumps more fluid through than this for each litre of water that was left. */
const MOST_TIMES = 10;

/** How much fluid water left behind takes: the amount that goes in unmixed at the far end decides, so a least. */
export function dilutionWords({ dilution, lowestOutside }: UnitFacts, unit: TemperatureUnit): string {
  if (dilution === null || lowestOutside === null) return '';
  const { fluidPercent, litres } = dilution;
  const cold = `${formatTemperature(lowestOutside.temperatureC, unit)} and a few degrees to spare`;
  if (litres === null) return ` Fluid of ${fluidPercent} % does not hold for ${cold}: take a stronger one.`;
  if (litres > MOST_TIMES)
    return ` For ${cold}, fluid of ${fluidPercent} % bears hardly any water left behind: take a stronger one.`;
  const amount = Math.ceil(10 * litres) / 10;
  return ` For ${cold}, water left behind takes at least ${amount} times its own volume of ${fluidPercent} % fluid.`;
}

export function airProcedure(facts: UnitFacts, words: Words): Procedure {
  return {
    title: 'Winterize it with air',
    time: airTime(facts),
    needs: [...airNeeds(facts), 'eye protection', ...DRAIN_NEEDS],
    steps: [
      ...drainSteps(facts, words),
      shutStep(),
      airHeaterStep(facts),
      `Set the regulator at 30 psi (2.1 bar) before anything is connected; 40 psi (2.8 bar) is never exceeded. Open one ${words.faucet}, then connect the air at the city inlet.`,
      `One ${words.faucet} at a time, 15 to 30 s each, cold and hot, until only air comes: also the shower and its hand spray, the outside shower, the outside kitchen, the toilets (pedal held down), the low points. Let the receiver fill up in between.`,
      'Go round a second time: the first round only moves the water together.',
      'Ice maker, washing machine, dishwasher, tankless heater: each by its own manual.',
      `Shut the air off and open a ${words.faucet} before you disconnect.`,
      'Blow out the black-tank flush line at its own inlet, at the same pressure and twice; let the pressure off before you disconnect.',
      'Run the pump dry in short bursts, then draw a little antifreeze through pump and strainer. Without traps and pump done it counts as drained, not as winterized.',
      ...closingSteps(words),
    ],
  };
}

/** The same day, after either way. */
function closingSteps(words: Words): readonly string[] {
  return [
    'One to two cups of antifreeze into every trap, a cup into each toilet bowl, a quart (1 L) on top of the shut dump valves.',
    `Element breaker off, ${words.gas} off, pump off, low points shut; tag on: heater empty. A photo of what came out at the last ${words.faucet} is your proof.`,
    'If it stays for the season: battery full, then disconnected; cylinders shut; refrigerator empty and propped open.',
  ];
}
