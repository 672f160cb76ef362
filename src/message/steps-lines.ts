/**
 * Fluid or air through some of the lines, in the order of the whole procedure: the fluid or the air goes past the water
 * heater, and through whatever is left open. Common practice, no source.
 */
import { circuitWords, traps } from './circuits.ts';
import type { Reader, UnitFacts, Words } from './message.ts';
import { covers, isJoined, ownCircuits, throughLines } from './scope.ts';
import { applianceSteps, drainSteps, shutStep } from './steps-drain.ts';
import {
  airHeaterStep,
  airNeeds,
  antifreezeNeeds,
  heaterSteps,
  inletStep,
  pumpSteps,
} from './steps-route.ts';
import { dilutionWords } from './steps-winterize.ts';

const ICE =
  'Nothing is pumped or blown into a line that ice still closes: wait until it has thawed, and look for a split first.';

export function linesByFluid(
  circuits: readonly string[],
  facts: UnitFacts,
  { words, temperature }: Pick<Reader, 'words' | 'temperature'>,
): readonly string[] {
  const outlets = outletsOf(circuits, words, facts.route?.heater === 'fill');
  const isPumped = outlets !== '' || circuits.includes('inlet');
  return [
    ...drainSteps(facts, words, circuits),
    shutStep(circuits),
    ...(isPumped ? [ICE, FILTER] : []),
    ...(circuits.includes('heater') ? heaterSteps(facts) : leftOutOfFluid(facts)),
    ...(isPumped ? pumpSteps(facts) : []),
    ...(outlets === ''
      ? []
      : [
          `One outlet after the other, from the nearest to the farthest, until the colour is full: ${outlets}.`,
        ]),
    ...(circuits.includes('flush')
      ? [
          'Black-tank flush line: pour or pump antifreeze in at its own inlet until the colour comes in the tank.',
        ]
      : []),
    ...applianceSteps(facts, circuits),
    ...(circuits.includes('inlet') || (isPumped && facts.route?.pump === 'hand') ? [inletStep(facts)] : []),
    ...(isPumped
      ? [
          `Measure the fluid at the last ${words.faucet}. Thinned with water left in the lines it freezes far warmer; if it is weak, pump again.${dilutionWords(facts, temperature)}`,
        ]
      : []),
    ...closing(circuits, words),
  ];
}

export function linesByAir(circuits: readonly string[], facts: UnitFacts, words: Words): readonly string[] {
  const outlets = outletsOf(circuits, words, true);
  return [
    ...drainSteps(facts, words, circuits),
    shutStep(circuits),
    ICE,
    circuits.includes('heater') ? airHeaterStep(facts) : leftOutOfAir(facts),
    `Set the regulator at 30 psi (2.1 bar) before anything is connected; 40 psi (2.8 bar) is never exceeded. Open one ${words.faucet}, then connect the air at the city inlet.`,
    ...(outlets === ''
      ? []
      : [
          `One outlet at a time, 15 to 30 s each, until only air comes: ${outlets}${isJoined(circuits) ? ', and the low points' : ''}. Let the receiver fill up in between.`,
          'Go round a second time: the first round only moves the water together.',
        ]),
    ...applianceSteps(facts, circuits),
    `Shut the air off and open a ${words.faucet} before you disconnect.`,
    ...(circuits.includes('flush')
      ? [
          `Blow out the black-tank flush line at its own inlet, at the same pressure and twice; let the pressure off before you disconnect.`,
        ]
      : []),
    ...(circuits.includes('cold')
      ? [
          'Run the pump dry in short bursts, then draw a little antifreeze through pump and strainer. Without traps and pump done it counts as drained, not as winterized.',
        ]
      : []),
    ...closing(circuits, words),
  ];
}

const FILTER =
  'Take the cartridge out of the water filter. The softener stays bypassed: antifreeze never goes through it.';

/** Whoever fills or blows the lines meets the heater, though it is not to be done. */
function leftOutOfFluid({ route }: UnitFacts): readonly string[] {
  if (route?.heater === 'none') return [];
  return [
    'The water heater is not to be done: before anything is pumped see that its bypass is all the way over or the jumper in place, or that it was filled with antifreeze and holds no ice.',
  ];
}

function leftOutOfAir({ route }: UnitFacts): string {
  const filter = 'Take the cartridge out of the water filter. The softener stays bypassed.';
  if (route?.heater === 'none') return filter;
  return `${filter} The water heater is not to be done: its bypass all the way over. Where there is none, no air goes in unless its tank is known to be empty: the air would drive its water into the lines, and ice in it takes no pressure.`;
}

/**
 * @param withHeater - what goes through the heater's tank comes out at the hot side
 */
function outletsOf(circuits: readonly string[], { faucet }: Words, withHeater: boolean): string {
  const has = (...some: readonly string[]): boolean => covers(circuits, ...some);
  const isHot = has('hot') || (withHeater && has('heater'));
  const outlets = [
    ...(has('cold') ? [`every cold ${faucet} and the toilets (pedal held down)`] : []),
    ...(isHot ? [`${has('cold') ? 'then ' : ''}every hot ${faucet}`] : []),
    ...(has('cold') || isHot ? ['the shower and its hand spray'] : []),
    ...(has('outside-shower') ? ['the outside shower, cold and hot'] : []),
    ...(has('outside-kitchen') ? ['the outside kitchen'] : []),
    ...ownCircuits(circuits).map(circuitWords),
  ];
  return outlets.join(', ');
}

/** The same day. */
function closing(circuits: readonly string[], { faucet, gas }: Words): readonly string[] {
  const names = traps(circuits);
  const isDumped = circuits.includes('tank-grey') || circuits.includes('tank-black');
  return [
    ...(names === '' ? [] : [`Traps (${names}): pour one to two cups of antifreeze into each drain.`]),
    ...(circuits.includes('cold') ? ['A cup of antifreeze into each toilet bowl.'] : []),
    ...(isDumped ? ['A quart (1 L) of antifreeze on top of the shut dump valves.'] : []),
    `Element breaker off, ${gas} off, pump off, low points shut${circuits.includes('heater') ? '; tag on: heater empty' : ''}. A photo of what came out at the last ${faucet} is your proof.`,
  ];
}

/** A quart for what is filled by itself; all the lines ask for as much as the whole unit. */
export function partialFluidNeeds(circuits: readonly string[], facts: UnitFacts): readonly string[] {
  if (isJoined(circuits)) return antifreezeNeeds(facts);
  const [, ...kit] = antifreezeNeeds(facts);
  const isPumped = throughLines(circuits).length > 0;
  return [
    'antifreeze for potable systems: one to two cups for each trap, a quart (1 L) for each of the rest',
    ...(isPumped ? kit : []),
  ];
}

export function partialAirNeeds(circuits: readonly string[], facts: UnitFacts): readonly string[] {
  const [compressor = '', fluid = ''] = airNeeds(facts);
  const isFluid = traps(circuits) !== '' || circuits.includes('cold');
  return [compressor, ...(isFluid ? [fluid] : []), 'eye protection'];
}
