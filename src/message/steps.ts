import type { Reader, UnitFacts, Words } from './message.ts';
import type { Job, Procedure } from './procedure.ts';
import { drainProcedure } from './steps-drain.ts';
import { lateProcedure, refillProcedure, thawProcedure } from './steps-frozen.ts';
import { partialProcedure } from './steps-partial.ts';
import { dumpProcedure, fillProcedure } from './steps-service.ts';
import { airProcedure, antifreezeProcedure } from './steps-winterize.ts';
import { holdOutWords } from './words.ts';

/** Whom the steps are for: their words and their unit of temperature. */
export type StepReader = Pick<Reader, 'words' | 'temperature'>;

/** The ordered steps of a job for this unit, with what is needed and how long it usually takes. */
export function stepsFor(job: Job, facts: UnitFacts, { words, temperature }: StepReader): Procedure {
  const partial = partialProcedure(job, facts, words);
  if (partial !== null) return partial;
  switch (job) {
    case 'keep-warm':
      return keepWarmProcedure(facts, words);
    case 'drain':
      return drainProcedure(facts, words);
    case 'antifreeze':
      return antifreezeProcedure(facts, { words, temperature });
    case 'air':
      return airProcedure(facts, words);
    case 'late':
      return lateProcedure(facts, words);
    case 'thaw':
      return thawProcedure(facts, words);
    case 'refill':
      return refillProcedure(words);
    case 'fill':
      return fillProcedure(words);
    case 'dump':
      return dumpProcedure();
  }
}

/** The dusk list: before dark, every evening of the cold spell. */
function keepWarmProcedure(facts: UnitFacts, words: Words): Procedure {
  return {
    title: 'Keep it warm: the list for dusk',
    time: `About ten minutes${facts.hasHose ? ', and ten more if the hose has to be stowed; a frozen hose takes 30 to 45' : ''}.`,
    needs: [
      `${words.gas} for the night and a charged battery: the furnace needs both`,
      'someone who can come should the heat stop',
    ],
    steps: [
      ...(facts.hasHose ? hoseSteps(words) : []),
      'Empty the black-tank flush line and leave it open.',
      ...showerSteps(facts),
      'Shut the grey and the black dump valve.',
      ...warmSteps(facts, words),
      `Check the ${words.gas}, the battery and the load on the breaker. Below about 10.5 to 11 V the furnace stops with full cylinders; a 30-A post carries about 2.9 kW for hours, and all heat stops when it trips.`,
      `Do not count on a dripping ${words.faucet}: a drip only relieves pressure. A stream strong enough to stop freezing fills the grey tank within hours, and with the grey valve open it builds a plug of ice in the sewer hose.`,
      heatStopsStep(facts),
    ],
  };
}

/** It hangs on the lines: with pressure in them it can be emptied only behind valves of its own. */
function showerSteps({ dusk: { showerValves } }: UnitFacts): readonly string[] {
  switch (showerValves) {
    case null:
      return [];
    case true:
      return ['Outside shower: shut its own valves, then open it, let it run out and leave it open.'];
    case false:
      return [
        'The outside shower has no valves of its own: as long as the lines are in use it stays full, and it is counted so. Opened it would run.',
      ];
    case 'unknown':
      return [
        'Outside shower: shut its own valves, if it has any, then open it, let it run out and leave it open. Without valves of its own it stays full as long as there is pressure: pump off before you open it, and off for as long as it is cold. Shut it before the pump goes on, which fills it again.',
      ];
  }
}

/** What has to be on, down or open for the warmth to reach the water, as it was computed. */
function warmSteps({ dusk }: UnitFacts, words: Words): readonly string[] {
  const fuel = dusk.heaterOn === 'gas' ? words.gas : 'shore power';
  return [
    dusk.heatersDown
      ? 'Set the furnace on its thermostat and turn electric heaters down, so that the furnace runs: its warmth is what reaches the lines below the floor.'
      : 'Set the furnace on its thermostat.',
    ...(dusk.cupboards ? ['Open the cupboard doors under the sinks and along outside walls.'] : []),
    ...(dusk.heaterOn === null
      ? []
      : [`Water heater on (${fuel}), with its tank full: the furnace does not warm it behind its hatch.`]),
  ];
}

function hoseSteps(words: Words): readonly string[] {
  return [
    `If you need water tonight, put it into the fresh tank first (about 15 min for 40 gal, 150 L).`,
    `Shut the ${words.faucet} at the post, take the hose off, drain and coil it, and take the regulator and the filter inside. A frost-free hydrant drains itself only with nothing left on it.`,
  ];
}

function heatStopsStep(facts: UnitFacts): string {
  const look = facts.unit.attended
    ? 'Look again before bed.'
    : 'Nobody is in this unit to notice when the heat stops: have someone look in, at dusk and before bed.';
  if (facts.holdOutHours === null) return `${look} If the heat stops and stays off, drain at once.`;
  return `${look} If the heat stops at the worst hour, this unit holds out ${holdOutWords(facts.holdOutHours)}. If heat that stops cannot be brought back at once, drain.`;
}
